"""Intervals and quantiles in plain Python, for samples as small as a walk through a field gives.

Sums are exact (``math.fsum``), so no answer depends on the order in which the stops were written down.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from statistics import NormalDist, median

from shared.errors import OutOfRange
from shared.reckoning.computation import HOUSE
from shared.units import Figure

__all__ = [
    "SHARE_90",
    "SHARE_95",
    "Interval",
    "mean",
    "mean_interval",
    "median",
    "t_quantile",
    "variance",
    "wilson",
]

SHARE_90 = Figure(0.90, "share", HOUSE)
"""What a verdict on leaf depth and a truck factor are judged by."""
SHARE_95 = Figure(0.95, "share", HOUSE)
"""What shares of points are judged by."""


@dataclass(frozen=True, slots=True)
class Interval:
    """A middle value with the ends of its interval, all in the unit of the values that went in."""

    mean: float
    low: float
    high: float


def mean(values: Sequence[float]) -> float:
    """The mean of one value or more, in their unit."""
    return math.fsum(values) / len(values)


def variance(values: Sequence[float]) -> float:
    """The sample variance (n - 1) of two values or more, in their unit squared."""
    middle = mean(values)
    return math.fsum((value - middle) ** 2 for value in values) / (len(values) - 1)


def _inside(theta: float, freedom: int) -> float:
    """The chance that |t| stays under sqrt(freedom) tan(theta): the finite sums of Abramowitz and Stegun,
    Handbook of Mathematical Functions (1964), 26.7.3 and 26.7.4."""
    cosine, sine = math.cos(theta), math.sin(theta)
    odd = freedom % 2 == 1
    term = cosine if odd else 1.0
    total = term if freedom > 1 else 0.0
    for step in range(2 + odd, freedom - 1, 2):
        term *= cosine * cosine * (step - 1) / step
        total += term
    return 2.0 / math.pi * (theta + sine * total) if odd else sine * total


@cache
def t_quantile(share: float, freedom: int) -> float:
    """Student's t below which ``share`` (above 0, below 1) of the distribution lies, for a whole number of
    degrees of freedom from 1. Agrees with scipy to 1e-9. Raises OutOfRange."""
    if not 0.0 < share < 1.0:
        raise OutOfRange("share", share, "a number above 0 and below 1")
    if freedom < 1:
        raise OutOfRange("freedom", freedom, "a whole number from 1")
    if share < 1.0 - share:
        return -t_quantile(1.0 - share, freedom)
    wanted = 2.0 * share - 1.0
    low, high = 0.0, math.pi / 2.0
    middle = high / 2.0
    while low < middle < high:
        if _inside(middle, freedom) < wanted:
            low = middle
        else:
            high = middle
        middle = (low + high) / 2.0
    return math.sqrt(freedom) * math.tan(middle)


def mean_interval(values: Sequence[float], share: float = SHARE_90.value) -> Interval:
    """The mean of two values or more with its two-sided t interval, in their unit. Raises OutOfRange."""
    if len(values) < 2:
        raise OutOfRange("values", f"{len(values)} values", "2 values or more")
    middle = mean(values)
    reach = t_quantile((1.0 + share) / 2.0, len(values) - 1) * math.sqrt(variance(values) / len(values))
    return Interval(middle, middle - reach, middle + reach)


def wilson(hits: int, trials: int, share: float = SHARE_95.value) -> Interval:
    """The share ``hits / trials`` with its Wilson score interval, each from 0 to 1 (Wilson 1927, JASA
    22:209-212). ``trials`` from 1, ``hits`` from 0 to ``trials``. Raises OutOfRange."""
    if trials < 1:
        raise OutOfRange("trials", trials, "a whole number from 1")
    if not 0 <= hits <= trials:
        raise OutOfRange("hits", hits, f"a whole number from 0 to {trials}")
    z2 = NormalDist().inv_cdf((1.0 + share) / 2.0) ** 2
    seen = hits / trials
    middle = (seen + z2 / (2.0 * trials)) / (1.0 + z2 / trials)
    spread = seen * (1.0 - seen) / trials + z2 / (2.0 * trials) ** 2
    reach = math.sqrt(z2 * spread) / (1.0 + z2 / trials)
    # At none or all the bound is exact; rounding would leave it a hair inside.
    low = 0.0 if hits == 0 else max(0.0, middle - reach)
    high = 1.0 if hits == trials else min(1.0, middle + reach)
    return Interval(seen, low, high)
