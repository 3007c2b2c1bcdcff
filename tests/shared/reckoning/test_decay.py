"""RothC's pools, against Rothamsted's own rates and figures, and against an independent package's run."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared.errors import OutOfRange
from shared.reckoning.decay import (
    clay_ratio,
    cover_rate,
    decayed,
    driest_mm,
    fresh,
    litter_pools,
    moisture_rates,
    rothc,
    warmth_rate,
)


# Rates of the Rothamsted release (Milne, Prout & Coleman 2024), computed from its code.
@pytest.mark.parametrize(
    ("celsius", "rate"),
    [
        (0, 0.1439),
        (5, 0.4971),
        (9.25, 0.9944),
        (10, 1.09904),
        (15, 1.8984),
        (20, 2.82149),
        (25, 3.8020),
        (-6, 0.0),
    ],
)
def test_warmth_sets_the_pace(celsius, rate):
    assert warmth_rate(celsius) == pytest.approx(rate, abs=1e-4)


def test_clay_keeps_more_carbon_in_the_soil():
    x = clay_ratio(20.0)
    assert x == pytest.approx(3.6443, abs=1e-4)
    assert x / (x + 1) == pytest.approx(0.78468, abs=1e-5)
    assert 0.46 / (x + 1) == pytest.approx(0.09905, abs=1e-5)
    assert 0.54 / (x + 1) == pytest.approx(0.11627, abs=1e-5)
    assert clay_ratio(23.4) == pytest.approx(3.5142, abs=1e-4)


def test_the_driest_soil_depends_on_clay_and_depth():
    assert driest_mm(20.0) == pytest.approx(-42.0)
    assert driest_mm(23.4) == pytest.approx(-44.94, abs=0.01)
    assert driest_mm(20.0, 46.0) == pytest.approx(-84.0)


def test_growing_cover_slows_decay():
    assert (cover_rate(covered=True), cover_rate(covered=False)) == (0.6, 1.0)


def test_a_wet_month_does_not_slow_decay_and_a_drought_leaves_a_fifth():
    assert moisture_rates([80.0], [40.0], [True]) == (1.0,)
    assert moisture_rates([0.0] * 6, [150.0] * 6, [True] * 6)[-1] == pytest.approx(0.2)
    # Bare ground dries no further than 0.556 of the way: 0.2 + 0.8 (1 - 0.556) / (1 - 0.444).
    bare = moisture_rates([0.0] * 6, [150.0] * 6, [False] * 6)[-1]
    assert bare == pytest.approx(0.2 + 0.8 * 0.444 / 0.556)


# 10 t of carbon at DPM/RPM 0.25, rate 1, clay 20 %, nothing added: the Rothamsted release's steps.
@pytest.mark.parametrize(
    ("months", "decomposable", "resistant", "microbes", "humus"),
    [(1, 0.8692, 7.8025, 0.1316, 0.1544), (12, 0.0001, 5.9265, 0.2767, 0.4844)],
)
def test_ten_tons_of_carbon_pass_through_the_pools(months, decomposable, resistant, microbes, humus):
    found = rothc(10.0, months)
    assert found.decomposable == pytest.approx(decomposable, abs=1e-3)
    assert found.resistant == pytest.approx(resistant, abs=1e-3)
    assert found.microbes == pytest.approx(microbes, abs=1e-3)
    assert found.humus == pytest.approx(humus, abs=1e-3)


@pytest.mark.parametrize(("months", "total"), [(12, 6.6877), (24, 5.3338), (36, 4.3005)])
def test_what_is_left_falls_year_by_year(months, total):
    assert rothc(10.0, months).total == pytest.approx(total, abs=1e-3)


# pyRothC 0.0.4 (CC0) integrates where Rothamsted's release steps by month, so microbes differ by 3 %; the same
# case, printed by tests/soak/reckoner_soak.py at the temperature where its rate is 1.
@pytest.mark.parametrize(
    ("months", "resistant", "microbes", "humus"),
    [
        (12, 5.926530, 0.269273, 0.484993),
        (24, 4.381926, 0.264498, 0.674856),
        (35, 3.321576, 0.234902, 0.803709),
    ],
)
def test_an_independent_package_agrees_within_its_other_method(months, resistant, microbes, humus):
    found = rothc(10.0, months)
    assert found.resistant == pytest.approx(resistant, rel=0.005)
    assert found.microbes == pytest.approx(microbes, rel=0.03)
    assert found.humus == pytest.approx(humus, rel=0.003)


def test_no_carbon_is_made_and_what_is_lost_is_the_share_of_clay():
    before = fresh(10.0)
    after = decayed(before)
    lost = before.total - after.total
    gone = before.total - (after.total - (after.microbes + after.humus))
    assert lost / gone == pytest.approx(0.78468, abs=1e-5)


@given(st.floats(0.0, 240.0), st.floats(0.0, 24.0), st.floats(0.0, 60.0))
def test_carbon_only_ever_gets_less(months, more, clay):
    found = rothc(10.0, months, clay_pct=clay)
    later = rothc(10.0, months + more, clay_pct=clay)
    assert 0.0 <= later.total <= found.total + 1e-9 <= 10.0 + 1e-8
    assert later.litter <= found.litter + 1e-9


@given(st.floats(0.0, 1e6), st.floats(0.0, 60.0))
def test_twice_the_carbon_leaves_twice_as_much(carbon, months):
    assert rothc(2 * carbon, months).total == pytest.approx(2 * rothc(carbon, months).total)


@given(st.floats(0.1, 3.0), st.floats(0.0, 3.0))
def test_a_quicker_pace_leaves_less_litter(pace, quicker):
    assert litter_pools(2.0, pace + quicker).litter <= litter_pools(2.0, pace).litter + 1e-12


def test_months_are_counted_whole_where_rounding_falls_short():
    assert litter_pools(1 / 12 * 7).total == pytest.approx(rothc(1.0, 7).total, rel=1e-12)


def test_seasons_are_used_in_turn():
    cold, warm = 0.2, 2.0
    year = rothc(10.0, 2, rates=(cold, warm))
    assert year == decayed(decayed(fresh(10.0), 1.0, cold), 1.0, warm)
    assert rothc(10.0, 4, rates=(cold, warm)).total < rothc(10.0, 4, rates=(cold,)).total


@pytest.mark.parametrize(
    "call",
    [
        lambda: rothc(-1.0, 12),
        lambda: rothc(math.nan, 12),
        lambda: rothc(1.0, -1),
        lambda: rothc(1.0, math.inf),
        lambda: rothc(1.0, 12, rates=()),
        lambda: rothc(1.0, 12, rates=(-1.0,)),
        lambda: rothc(1.0, 12, ratio=-0.1),
        lambda: clay_ratio(101.0),
        lambda: moisture_rates([1.0], [1.0, 2.0], [True]),
    ],
)
def test_what_no_soil_does_is_refused(call):
    with pytest.raises(OutOfRange):
        call()
