"""Sample sizes, shares of quadrats, and the word on whether a round has enough stops."""

from __future__ import annotations

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats
from statsmodels.stats.proportion import proportion_confint

from shared.errors import OutOfRange
from shared.reckoning.round import (
    Enough,
    enough_counts,
    enough_depth,
    enough_firmness,
    enough_mean,
    occupied,
    quadrats_needed,
    quadrats_needed_clumped,
    stops_for,
)


def test_the_published_sample_adequacy():
    # Mississippi Administrative Code 11-8-2, Appendix A: n = 27.28, so 28.
    found = quadrats_needed(7.7, 8.4556, 1.383, 0.1)
    assert found.quadrats == pytest.approx(27.28, abs=0.01)
    assert found.whole == 28


@pytest.mark.parametrize(
    ("mean", "k", "quadrats"), [(2.0, 0.5, 40), (0.5, 0.25, 96), (3.11, 0.25, 69), (0.18, 0.25, 153)]
)
def test_clumped_plants_take_many_quadrats(mean, k, quadrats):
    # n = (1/m + 1/k) / E2 at a standard error of a quarter, with the densities of Johnson 1996, Weed Sci 44:555.
    found = quadrats_needed_clumped(mean, k, 0.25)
    assert found.quadrats == pytest.approx(quadrats, abs=0.6)
    if quadrats in (40, 96):
        assert found == type(found)(float(quadrats), quadrats)


def test_that_many_quadrats_do_give_that_error():
    # Simulated by scipy: negative binomial with mean 2 and k 0.5, forty quadrats, wanted error 0.25.
    counts = stats.nbinom(0.5, 0.5 / 2.5).rvs(size=(20_000, 40), random_state=7)
    assert counts.mean(axis=1).std() / 2.0 == pytest.approx(0.25, rel=0.02)


@given(st.floats(0.1, 100.0), st.floats(0.05, 10.0), st.floats(0.05, 1.0))
def test_tighter_clumps_and_smaller_errors_take_more(mean, k, error):
    here = quadrats_needed_clumped(mean, k, error).quadrats
    assert quadrats_needed_clumped(mean, k / 2, error).quadrats > here
    assert quadrats_needed_clumped(mean, k, error / 2).quadrats == pytest.approx(4 * here)


@given(st.floats(0.1, 1_000.0), st.floats(0.0, 1_000.0), st.floats(0.5, 3.0), st.floats(0.02, 1.0))
def test_whole_quadrats_are_the_exact_ones_rounded_up(mean, variance, t, error):
    found = quadrats_needed(mean, variance, t, error)
    assert found.whole >= 1
    assert found.whole - 1 < found.quadrats * (1 + 1e-6) or found.whole == 1
    assert found.whole >= found.quadrats * (1 - 1e-6)


def test_none_of_twenty_still_allows_sixteen_percent():
    found = occupied(0, 20)
    assert (found.pct, found.low_pct) == (0.0, 0.0)
    assert found.high_pct == pytest.approx(16.11, abs=0.01)


@given(st.integers(1, 300).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n))))
def test_a_share_of_quadrats_agrees_with_statsmodels(case):
    k, n = case
    low, high = proportion_confint(k, n, method="wilson")
    found = occupied(k, n)
    assert (found.low_pct, found.high_pct) == pytest.approx((100 * low, 100 * high), abs=1e-6)


@pytest.mark.parametrize(
    ("measures", "acres", "count"),
    [
        (["cover"], 12.0, 10),
        (["leaf_depth"], 0.5, 10),
        # University of Kentucky ID-153: 10 to 20 probes at least.
        (["firmness"], 1.0, 10),
        (["firmness", "weeds"], 7.0, 14),
        (["firmness"], 40.0, 20),
    ],
)
def test_a_round_has_as_many_stops_as_its_question_takes(measures, acres, count):
    assert stops_for(measures, acres) == count


def test_the_word_on_depths():
    assert enough_depth([], 6.0) == Enough("more", 10)
    assert enough_depth([5.0] * 4, 6.0) == Enough("more", 6)
    assert enough_depth([5.0] * 10, 6.0) == Enough("enough")
    assert enough_depth([4, 5, 5, 6, 6, 6, 6, 6.4, 7, 5], 6.0) == Enough("more", 5)
    assert enough_depth([2.0, 10.0] * 14, 6.0) == Enough("more", 2)
    assert enough_depth([2.0, 10.0] * 15, 6.0) == Enough("no_more")


def test_more_stops_do_not_show_a_settled_layer_to_be_within():
    assert enough_depth([5.0] * 10, 6.0, settled=True) == Enough("no_more")
    assert enough_depth([9.0] * 10, 6.0, settled=True) == Enough("enough")


def test_the_word_on_firmness():
    assert enough_firmness([]) == Enough("more", 10)
    assert enough_firmness([350.0] * 10) == Enough("enough")
    assert enough_firmness([120, 180, 250, 310, 320, 290, 330, 200, 210, 305, 340, 260]) == Enough("more", 5)
    assert enough_firmness([350.0, 250.0] * 9 + [350.0]) == Enough("more", 1)
    assert enough_firmness([350.0, 250.0] * 10) == Enough("no_more")
    assert enough_firmness([350.0] * 20, ["dry"] * 20) == Enough("no_more")


def test_the_word_on_a_mean():
    assert enough_mean([]) == Enough("more", 10)
    assert enough_mean([31.0] * 9) == Enough("more", 1)
    assert enough_mean([31.0] * 10) == Enough("enough")
    assert enough_mean([5.0, 45.0] * 5, line=80.0) == Enough("enough")
    assert enough_mean([5.0, 45.0] * 5, line=30.0) == Enough("more", 5)
    assert enough_mean([0.0, 60.0] * 15) == Enough("no_more")


def test_the_word_on_clumped_counts():
    assert enough_counts(2.0, 0.5, 40) == Enough("enough")
    assert enough_counts(2.0, 0.5, 10) == Enough("no_more")
    assert enough_counts(20.0, 5.0, 2) == Enough("more", 2)


@given(st.lists(st.floats(0.5, 20.0), max_size=35), st.floats(1.0, 12.0))
def test_a_word_always_comes_and_never_asks_past_the_most(depths, cap):
    found = enough_depth(depths, cap)
    assert (found.more > 0) == (found.word == "more")
    assert len(depths) + found.more <= max(30, len(depths))


def test_a_word_of_enough_is_seldom_wrong():
    # Fields whose true mean lies at the cap: "over" or "within" may come up by chance only.
    draw = random.Random(5)
    told = 0
    for _ in range(1_500):
        depths = [max(0.5, draw.gauss(6.0, 0.8)) for _ in range(10)]
        told += enough_depth(depths, 6.0).word == "enough"
    assert told / 1_500 < 0.13


@pytest.mark.parametrize(
    ("call", "name"),
    [
        (lambda: quadrats_needed(0, 1, 1, 0.1), "mean"),
        (lambda: quadrats_needed(1, -1, 1, 0.1), "variance"),
        (lambda: quadrats_needed_clumped(1, 0, 0.1), "k"),
        (lambda: quadrats_needed_clumped(1, 1, 0), "error"),
        (lambda: occupied(5, 4), "k"),
        (lambda: occupied(0, 0), "n"),
        (lambda: occupied(1.5, 4), "k"),
    ],
)
def test_a_count_that_can_not_be_is_refused_by_name(call, name):
    with pytest.raises(OutOfRange) as refused:
        call()
    assert refused.value.name == name
