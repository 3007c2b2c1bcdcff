"""Theil-Sen and isotonic steps, against scipy."""

from __future__ import annotations

import math
from datetime import date
from itertools import pairwise

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.optimize import isotonic_regression
from scipy.stats import theilslopes

from shared.errors import OutOfRange
from shared.reckoning.trend import Kind, Reading, isotonic, soil_trend, theil_sen

NUMBER = st.integers(-40, 40).map(float)
PAIRS = st.lists(st.tuples(NUMBER, NUMBER), min_size=3, max_size=25)


@given(PAIRS, st.sampled_from([0.8, 0.9, 0.95]))
def test_the_line_and_its_interval_agree_with_scipy(pairs, share):
    xs, ys = [x for x, _ in pairs], [y for _, y in pairs]
    assume(len(set(xs)) > 1)
    # Where all y are alike scipy's own variance is not above nought.
    assume(len(set(ys)) > 1)
    ours, theirs = theil_sen(xs, ys, share), theilslopes(ys, xs, share)
    assert ours.slope == pytest.approx(theirs.slope, abs=1e-12)
    assert ours.intercept == pytest.approx(theirs.intercept, abs=1e-9)
    assert (ours.low, ours.high) == pytest.approx((theirs.low_slope, theirs.high_slope), abs=1e-12)


@given(PAIRS, st.randoms(use_true_random=False))
def test_the_order_of_the_readings_does_not_matter(pairs, chance):
    assume(len({x for x, _ in pairs}) > 1)
    mixed = list(pairs)
    chance.shuffle(mixed)
    one = theil_sen([x for x, _ in pairs], [y for _, y in pairs])
    assert theil_sen([x for x, _ in mixed], [y for _, y in mixed]) == one


def test_one_wild_reading_does_not_turn_the_line():
    years = [0.0, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0]
    assert theil_sen(years, [6.0, 6.1, 6.2, 9.9, 6.4, 6.5, 6.6]).slope == pytest.approx(0.1, abs=0.02)


def test_a_line_rises_falls_or_can_not_be_told():
    years = [float(year) for year in range(8)]
    assert theil_sen(years, years).rises is True
    assert theil_sen(years, [-year for year in years]).rises is False
    assert theil_sen(years, [1.0, 2.0, 1.0, 2.0, 1.0, 2.0, 1.0, 2.0]).rises is None


@given(
    st.lists(st.floats(-1e3, 1e3), min_size=1, max_size=40),
    st.randoms(use_true_random=False),
)
def test_the_steps_agree_with_scipy(values, chance):
    weights = [chance.choice([0.5, 1.0, 2.0, 7.0]) for _ in values]
    assert isotonic(values) == pytest.approx(isotonic_regression(values).x, abs=1e-8)
    theirs = isotonic_regression(values, weights=weights).x
    assert isotonic(values, weights) == pytest.approx(theirs, abs=1e-8)


@given(st.lists(st.floats(-1e3, 1e3), min_size=1, max_size=40))
def test_steps_never_fall_and_keep_the_mean(values):
    steps = isotonic(values)
    assert all(later >= earlier for earlier, later in pairwise(steps))
    assert math.fsum(steps) == pytest.approx(math.fsum(values), abs=1e-6)
    assert isotonic(steps) == pytest.approx(steps)


MEHLICH = Kind("rutgers", "mehlich3", 0.0, 6.0, "fall")


def fall(year: int, value: float, kind: Kind = MEHLICH) -> Reading:
    return Reading(date(year, 11, 1), kind, value)


def test_r14_a_trend_is_drawn_within_one_lab_method_depth_and_season():
    readings = [fall(2019 + step, 80.0 + 5.0 * step) for step in range(6)]
    assert soil_trend(readings).slope == pytest.approx(5.0, rel=1e-3)
    assert soil_trend(readings[::-1]) == soil_trend(readings)


@pytest.mark.parametrize(
    "other",
    [
        Kind("delaware", "mehlich3", 0.0, 6.0, "fall"),
        Kind("rutgers", "mehlich1", 0.0, 6.0, "fall"),
        Kind("rutgers", "mehlich3", 0.0, 8.0, "fall"),
        Kind("rutgers", "mehlich3", 0.0, 6.0, "spring"),
    ],
)
def test_r14_readings_of_unlike_kinds_have_no_common_trend(other):
    with pytest.raises(OutOfRange) as caught:
        soil_trend([fall(2019, 80.0), fall(2020, 85.0), fall(2021, 90.0, other)])
    assert caught.value.name == "kind"


@pytest.mark.parametrize(
    "call",
    [
        lambda: theil_sen([], []),
        lambda: theil_sen([1.0, 1.0], [1.0, 2.0]),
        lambda: theil_sen([1.0, 2.0], [1.0]),
        lambda: theil_sen([1.0, 2.0], [1.0, math.nan]),
        lambda: theil_sen([1.0, 2.0], [1.0, 2.0], 1.0),
        lambda: isotonic([]),
        lambda: isotonic([1.0], [0.0]),
        lambda: isotonic([1.0], [1.0, 1.0]),
        lambda: soil_trend([]),
    ],
)
def test_too_little_or_no_numbers_are_refused(call):
    with pytest.raises(OutOfRange):
        call()
