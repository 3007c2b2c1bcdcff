"""Lines through scattered readings: Theil-Sen with its interval, and the best never-falling steps.

A trend is drawn within one lab, method, depth and season only (R14).
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from statistics import NormalDist, median

from shared.errors import OutOfRange
from shared.reckoning.intervals import SHARE_95
from shared.units import Figure, Source

SEN_1968 = Source(
    "sen_1968", "Sen 1968, J. Am. Stat. Assoc. 63:1379-1389, with ties in both", 1968, "derived"
)
FIVE = Figure(5.0, "in the variance of Kendall's count", SEN_1968)
EIGHTEEN = Figure(18.0, "in the variance of Kendall's count", SEN_1968)
DAYS_PER_YEAR = Figure(365.2425, "days/year", Source("gregorian", "mean Gregorian year", None, "defined"))


@dataclass(frozen=True, slots=True)
class Line:
    """``slope`` with its interval ``low`` to ``high``, and ``intercept``, in y per x."""

    slope: float
    intercept: float
    low: float
    high: float

    @property
    def rises(self) -> bool | None:
        """Whether it surely rises (True) or falls (False); None while the interval has 0 in it."""
        if self.low > 0.0:
            return True
        return False if self.high < 0.0 else None


def _pairs(xs: Sequence[float], ys: Sequence[float]) -> None:
    if len(xs) != len(ys):
        raise OutOfRange("ys", f"{len(ys)} values", f"{len(xs)} values, one for each x")
    if not all(math.isfinite(value) for value in (*xs, *ys)):
        raise OutOfRange("ys", "NaN or infinity", "finite numbers")


def theil_sen(xs: Sequence[float], ys: Sequence[float], share: float = SHARE_95.value) -> Line:
    """The median of the slopes of all pairs with unlike x, its interval at ``share``, and the median
    intercept; agrees with scipy's theilslopes. Raises ``OutOfRange`` for fewer than two unlike x."""
    _pairs(xs, ys)
    if not 0.0 < share < 1.0:
        raise OutOfRange("share", share, "a number above 0 and below 1")
    slopes = sorted(
        (y2 - y1) / (x2 - x1)
        for i, (x1, y1) in enumerate(zip(xs, ys, strict=True))
        for x2, y2 in zip(xs[:i], ys[:i], strict=True)
        if x1 != x2
    )
    if not slopes:
        raise OutOfRange("xs", f"{len(xs)} values", "two unlike values or more")
    middle = median(slopes)
    intercept = median(ys) - middle * median(xs)
    reach = NormalDist().inv_cdf((1.0 + share) / 2.0) * math.sqrt(_kendall_variance(xs, ys))
    first = max(round((len(slopes) - reach) / 2.0) - 1, 0)
    last = min(round((len(slopes) + reach) / 2.0), len(slopes) - 1)
    return Line(middle, intercept, slopes[first], slopes[last])


def _kendall_variance(xs: Sequence[float], ys: Sequence[float]) -> float:
    """The variance of Kendall's count of rising less falling pairs, ties in x and in y taken out (Sen 1968,
    equation 2.6). Never under 0."""
    tied = [*Counter(xs).values(), *Counter(ys).values()]
    full = math.fsum(-_spread(ties) for ties in tied if ties > 1) + _spread(len(xs))
    return max(0.0, full / EIGHTEEN.value)


def _spread(n: int) -> float:
    return n * (n - 1) * (2 * n + FIVE.value)


@dataclass(frozen=True, slots=True)
class Kind:
    """What two soil readings must share to be compared: lab, method, depth in inches, season."""

    lab: str
    method: str
    top_in: float
    bottom_in: float
    season: str


@dataclass(frozen=True, slots=True)
class Reading:
    """One soil test figure, its day and its kind; the unit is the lab's."""

    on: date
    kind: Kind
    value: float


def soil_trend(readings: Sequence[Reading], share: float = SHARE_95.value) -> Line:
    """The Theil-Sen line of a soil figure, its slope a year and its intercept at the first reading's day.
    Raises ``OutOfRange`` for readings of unlike kinds (R14), or of fewer than two days."""
    kinds = sorted({one.kind for one in readings}, key=repr)
    if len(kinds) > 1:
        raise OutOfRange("kind", kinds[1], f"the same lab, method, depth and season: {kinds[0]}")
    first = min((one.on for one in readings), default=date.min)
    ordered = sorted(readings, key=lambda one: (one.on, one.value))
    years = [(one.on - first).days / DAYS_PER_YEAR.value for one in ordered]
    return theil_sen(years, [one.value for one in ordered], share)


def isotonic(values: Sequence[float], weights: Sequence[float] | None = None) -> tuple[float, ...]:
    """The never-falling steps nearest to ``values`` in weighted squares, one for each, by pooling neighbours
    that fall. Raises ``OutOfRange`` for an empty list, weights not above 0, or lists of unlike length."""
    given = [1.0] * len(values) if weights is None else list(weights)
    if not values:
        raise OutOfRange("values", "0 values", "1 value or more")
    _pairs(values, given)
    if min(given) <= 0.0:
        raise OutOfRange("weights", min(given), "numbers above 0")
    pools: list[tuple[float, float, int]] = []
    for value, weight in zip(values, given, strict=True):
        pools.append((value, weight, 1))
        while len(pools) > 1 and pools[-2][0] >= pools[-1][0]:
            (low, left, some), (high, right, more) = pools.pop(-2), pools.pop()
            both = left + right
            pools.append(((low * left + high * right) / both, both, some + more))
    return tuple(mean for mean, _, count in pools for _ in range(count))
