"""Intervals against scipy and statsmodels."""

from __future__ import annotations

import math
import random

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats
from statsmodels.stats.proportion import proportion_confint

from shared.errors import OutOfRange
from shared.reckoning.intervals import mean, mean_interval, t_quantile, variance, wilson

VALUES = st.lists(st.floats(0.0, 1e6, allow_subnormal=False), min_size=2, max_size=60)


@given(st.floats(0.001, 0.999), st.integers(1, 2_000))
def test_a_t_quantile_agrees_with_scipy(share, freedom):
    assert t_quantile(share, freedom) == pytest.approx(stats.t.ppf(share, freedom), rel=1e-6, abs=1e-9)


def test_t_at_90_percent_and_nine_degrees_is_the_printed_1_383():
    # Mississippi Administrative Code 11-8-2, Appendix A works its example with the one-tailed t of 1.383.
    assert t_quantile(0.90, 9) == pytest.approx(1.383, abs=5e-4)


@given(VALUES, st.sampled_from([0.80, 0.90, 0.95]))
def test_a_mean_interval_agrees_with_scipy(values, share):
    found = mean_interval(values, share)
    error = stats.sem(values)
    assert found.mean == pytest.approx(sum(values) / len(values), rel=1e-9, abs=1e-9)
    if error > 1e-9:
        low, high = stats.t.interval(share, len(values) - 1, loc=found.mean, scale=error)
        scale = max(abs(low), abs(high), error)
        assert found.low == pytest.approx(low, abs=1e-6 * scale)
        assert found.high == pytest.approx(high, abs=1e-6 * scale)


@given(st.integers(1, 400).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n))))
def test_a_wilson_interval_agrees_with_statsmodels(case):
    hits, trials = case
    low, high = proportion_confint(hits, trials, alpha=0.05, method="wilson")
    found = wilson(hits, trials)
    assert found.low == pytest.approx(low, abs=1e-6)
    assert found.high == pytest.approx(high, abs=1e-6)
    assert 0.0 <= found.low <= found.mean <= found.high <= 1.0


@given(VALUES, st.randoms(use_true_random=False))
def test_no_interval_depends_on_the_order_of_the_values(values, order):
    shuffled = values[:]
    order.shuffle(shuffled)
    assert mean_interval(shuffled) == mean_interval(values)


@given(VALUES, st.floats(0.001, 1_000.0))
def test_an_interval_scales_with_its_unit(values, scale):
    one, other = mean_interval(values), mean_interval([value * scale for value in values])
    for a, b in ((one.mean, other.mean), (one.low, other.low), (one.high, other.high)):
        assert b == pytest.approx(a * scale, rel=1e-9, abs=1e-6 * scale)


def test_a_ninety_percent_interval_holds_the_mean_in_nine_of_ten_samples():
    draw = random.Random(20)
    hits = 0
    for _ in range(4_000):
        found = mean_interval([draw.gauss(5.0, 1.2) for _ in range(10)])
        hits += found.low <= 5.0 <= found.high
    # Three standard errors of a share of 0.9 in 4,000 trials.
    assert abs(hits / 4_000 - 0.90) < 3 * math.sqrt(0.9 * 0.1 / 4_000)


def test_mean_and_variance_are_the_published_ones():
    # Mississippi Administrative Code 11-8-2, Appendix A: counts with mean 7.7 and variance 8.4556.
    counts = [7, 10, 4, 5, 10, 11, 3, 7, 10, 10]
    assert mean(counts) == pytest.approx(7.7)
    assert variance(counts) == pytest.approx(8.4556, abs=5e-5)


@pytest.mark.parametrize(
    "call",
    [
        lambda: t_quantile(0.0, 5),
        lambda: t_quantile(1.0, 5),
        lambda: t_quantile(0.9, 0),
        lambda: mean_interval([3.0]),
        lambda: wilson(1, 0),
        lambda: wilson(3, 2),
        lambda: wilson(-1, 2),
    ],
)
def test_what_has_no_interval_is_refused(call):
    with pytest.raises(OutOfRange):
        call()
