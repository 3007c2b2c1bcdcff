"""Counts that stand in clumps: the negative binomial by mean m and clumping k, and Taylor's power law.

The smaller k, the tighter the clumps; below 0.25 a short walk says almost nothing about the mean.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from shared.errors import OutOfRange
from shared.reckoning.intervals import mean, variance
from shared.units import Figure, Source

NEGATIVE_BINOMIAL = Source(
    "negative_binomial", "negative binomial, moment k and zero class, after Karandinos 1976", 1976, "memory"
)
TAYLOR = Source(
    "taylor_law",
    "Taylor's power law, Abd-Elgawad 2020, Egypt J Biol Pest Control, table 1",
    2020,
    "read",
)
TAYLOR_T = Figure(2.0, "t", TAYLOR)


def _above_nought(name: str, value: float) -> float:
    if not (value > 0.0 and math.isfinite(value)):
        raise OutOfRange(name, value, "a number above 0")
    return float(value)


def moment_k(counts: Sequence[float]) -> float:
    """k = m2 / (s2 - m) of two counts or more; infinite where the variance is not above the mean (no clumps
    seen). Raises ``OutOfRange`` for fewer counts or none above 0."""
    if len(counts) < 2:
        raise OutOfRange("counts", f"{len(counts)} values", "2 values or more")
    return k_of(mean(counts), variance(counts))


def k_of(middle: float, spread: float) -> float:
    """The same from a mean above 0 and a variance of 0 or more, both known."""
    _above_nought("mean", middle)
    return middle**2 / (spread - middle) if spread > middle else math.inf


def share_empty(middle: float, k: float = math.inf) -> float:
    """The share of quadrats with none, P(0) = (1 + m/k)^-k; with an infinite k Poisson's exp(-m)."""
    _above_nought("mean", middle)
    if math.isinf(k):
        return math.exp(-middle)
    # log1p keeps the two ends of k apart from rounding.
    return math.exp(-_above_nought("k", k) * math.log1p(middle / k))


def quadrats_for(middle: float, k: float, error: float) -> int:
    """How many quadrats give a standard error of ``error`` (share of the mean): (1/m + 1/k) / E2, rounded up.
    Karandinos 1976 (from memory)."""
    exact = (1.0 / _above_nought("mean", middle) + 1.0 / k) / _above_nought("error", error) ** 2
    return math.ceil(exact)


def taylor_quadrats(a: float, b: float, middle: float, error: float) -> float:
    """Quadrats, exact, for ``error`` = standard error / mean by Taylor's law s2 = a m^b: a m^(b-2) / E2.
    Source: Abd-Elgawad 2020, table 1."""
    _above_nought("a", a)
    return a * math.pow(_above_nought("mean", middle), b - 2.0) / _above_nought("error", error) ** 2


def taylor_quadrats_within(
    a: float, b: float, middle: float, reach: float, t: float = TAYLOR_T.value
) -> float:
    """The same for an interval of ``reach`` (share of the mean) either side: t2 a m^(b-2) / D2."""
    return _above_nought("t", t) ** 2 * taylor_quadrats(a, b, middle, reach)
