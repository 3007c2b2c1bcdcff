"""Nitrogen from cover crops, as a range."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared.errors import OutOfRange
from shared.reckoning.nitrogen import cover_nitrogen, nitrogen_short

PCT = st.floats(0.0, 7.0)
TONS = st.floats(0.0, 20.0)


# Anchors of Sullivan & Andrews 2012, PNW 636: none under 1.5 % N, about 35 lb a ton at 3.5 %, linear between.
@pytest.mark.parametrize(
    ("n_pct", "pounds"),
    [(1.0, 0.0), (1.5, 0.0), (2.0, 8.75), (2.5, 17.5), (3.0, 26.25), (3.5, 35.0), (4.5, 35.0)],
)
def test_a_ton_gives_what_its_nitrogen_says(n_pct, pounds):
    assert cover_nitrogen(n_pct, 1.0).available_n_lb == pytest.approx(pounds, abs=1e-6)


def test_two_tons_of_vetch_at_3_5_pct_give_70_lb_within_a_range():
    found = cover_nitrogen(3.5, 2.0)
    assert found.available_n_lb == 70.0
    # Univ. of Minnesota: half of 140 lb worked in, 40 % left on top.
    assert (found.low_n_lb, found.high_n_lb) == (pytest.approx(56.0), 70.0)


def test_a_cereal_may_tie_up_50_lb():
    found = cover_nitrogen(1.2, 3.0, cereal=True)
    assert (found.low_n_lb, found.available_n_lb) == (-50.0, 0.0)
    assert cover_nitrogen(1.2, 3.0).low_n_lb == 0.0
    assert cover_nitrogen(1.2, 0.0, cereal=True).low_n_lb == 0.0


@given(PCT, TONS, st.booleans())
def test_low_is_under_the_middle_and_high_over_it(n_pct, tons, cereal):
    found = cover_nitrogen(n_pct, tons, cereal)
    assert -50.0 <= found.low_n_lb <= found.available_n_lb <= found.high_n_lb
    # No more can come than is in it, however much is credited.
    assert found.high_n_lb <= max(n_pct / 100 * 2000 * tons, 1e-9) * 1.0000001


@given(PCT, TONS, st.floats(0.0, 2.0))
def test_more_nitrogen_never_gives_less(n_pct, tons, more):
    richer = cover_nitrogen(min(7.0, n_pct + more), tons)
    found = cover_nitrogen(n_pct, tons)
    assert richer.available_n_lb >= found.available_n_lb
    assert richer.low_n_lb >= found.low_n_lb - 1e-9


@given(PCT, st.floats(0.0, 10.0))
def test_twice_the_tons_give_twice_the_pounds(n_pct, tons):
    one, two = cover_nitrogen(n_pct, tons), cover_nitrogen(n_pct, 2 * tons)
    assert two.low_n_lb == pytest.approx(2 * one.low_n_lb)
    assert two.high_n_lb == pytest.approx(2 * one.high_n_lb)


@pytest.mark.parametrize(
    ("n_pct", "tons", "name"), [(-0.1, 1.0, "n_pct"), (8.0, 1.0, "n_pct"), (3.0, 25.0, "dry_tons")]
)
def test_what_no_cover_has_is_refused(n_pct, tons, name):
    with pytest.raises(OutOfRange) as caught:
        cover_nitrogen(n_pct, tons)
    assert caught.value.name == name


def test_rice_straw_lacks_8_kg_of_nitrogen_a_ton_to_a_ratio_of_30():
    # cacn.jp: carbon 42 %, nitrogen 0.6 %, wanted C:N 30 gives 0.8 %.
    assert nitrogen_short(42.0, 0.6, 30.0).short_pct == pytest.approx(0.8)
    # Median leaves (480 and 9.4 g/kg) to the 24:1 at which microbes neither take nor give.
    assert nitrogen_short(48.0, 0.94, 24.0).short_pct == pytest.approx(1.06)
    assert nitrogen_short(42.0, 3.5, 24.0).short_pct == 0.0
