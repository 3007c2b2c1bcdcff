"""How many stops a round takes, and when those made answer the question.

The word after each stop is *enough*, *more* (with how many to go on with) or *no_more*: as many as a round
carries are in and they still can't say.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from shared.errors import OutOfRange
from shared.reckoning.computation import Computation, Input, checked, cite
from shared.reckoning.figures import CLUMPED_COUNT, PAN_PROBES, QUADRAT_COUNT, WILSON_1927
from shared.reckoning.firmness import Moisture, firmness
from shared.reckoning.intervals import mean_interval, wilson
from shared.reckoning.leaf import FEWEST_STOPS, FLOAT_SLACK, depth_verdict
from shared.units import Figure, Source

ROUND_PRACTICE = Source("round_practice", "stops that one round carries", None, "practice")
FEWEST_PROBES = Figure(10, "probes", PAN_PROBES)
MOST_PROBES = Figure(20, "probes", PAN_PROBES)
PROBES_PER_AC = Figure(2, "probes/ac", ROUND_PRACTICE)
MOST_STOPS = Figure(30, "stops", ROUND_PRACTICE)
MORE_AT_ONCE = Figure(5, "stops", ROUND_PRACTICE)
CLOSE_PCT = Figure(10.0, "% of the mean", ROUND_PRACTICE)
CLUMPED_ERROR_PCT = Figure(25.0, "% of the mean", CLUMPED_COUNT)

Measure = Literal["cover", "weeds", "firmness", "leaf_depth"]
Word = Literal["enough", "more", "no_more"]

QUADRATS_NEEDED = (
    Input("mean", unit="plants/quadrat", low=0.001, high=100_000.0, example="7.7"),
    Input("variance", unit="plants2/quadrat2", low=0.0, high=1e10, example="8.4556"),
    Input("t", unit="t", low=0.01, high=100.0, example="1.383"),
    Input("error", unit="share of the mean", low=0.001, high=10.0, example="0.1"),
)
QUADRATS_NEEDED_CLUMPED = (
    Input("mean", unit="plants/quadrat", low=0.001, high=100_000.0, example="2"),
    Input("k", unit="clumping k", low=0.001, high=100_000.0, example="0.5"),
    Input("error", unit="share of the mean", low=0.001, high=10.0, example="0.25"),
)
OCCUPIED = (
    Input("k", "count", unit="quadrats with some", low=0, high=10_000, example="0"),
    Input("n", "count", unit="quadrats", low=1, high=10_000, example="20"),
)


@dataclass(frozen=True, slots=True)
class Quadrats:
    quadrats: float
    whole: int


@dataclass(frozen=True, slots=True)
class Occupied:
    pct: float
    low_pct: float
    high_pct: float


@dataclass(frozen=True, slots=True)
class Enough:
    """The word on a round, and how many stops to go on with (0 unless the word is *more*)."""

    word: Word
    more: int = 0


def _whole(exact: float) -> int:
    return max(1, math.ceil(exact * (1.0 - FLOAT_SLACK.value)))


def quadrats_needed(mean: float, variance: float, t: float, error: float) -> Quadrats:
    """Quadrats that hold the mean to a share ``error`` of itself: t2 s2 / (d x)2, exact and in whole ones
    (quadrat_count). Raises InputError."""
    x, s2, quantile, share = checked(QUADRATS_NEEDED, locals()).values()
    exact = quantile**2 * s2 / (share * x) ** 2
    return Quadrats(exact, _whole(exact))


def quadrats_needed_clumped(mean: float, k: float, error: float) -> Quadrats:
    """Quadrats for plants in clumps (negative binomial k): (1/m + 1/k) / E2, with E the standard error as a
    share of the mean (clumped_count, from memory). Raises InputError."""
    x, clumping, share = checked(QUADRATS_NEEDED_CLUMPED, locals()).values()
    exact = (1.0 / x + 1.0 / clumping) / share**2
    return Quadrats(exact, _whole(exact))


def occupied(k: int, n: int) -> Occupied:
    """The share of ``n`` quadrats (1 to 10,000) in which ``k`` have the weed, in percent, with its Wilson
    95 % interval. None of 20 still allows 16 %. Raises InputError, also for k over n."""
    seen, of = checked(OCCUPIED, locals()).values()
    if seen > of:
        raise OutOfRange("k", k, f"a whole number from 0 to n, {of}")
    share = wilson(seen, of)
    return Occupied(100.0 * share.mean, 100.0 * share.low, 100.0 * share.high)


def stops_for(measures: Sequence[Measure], area_ac: float) -> int:
    """How many stops to lay out for a round: ten; with firmness two an acre, from 10 to 20 (pan_probes)."""
    if "firmness" not in measures:
        return int(FEWEST_STOPS.value)
    wanted = max(FEWEST_PROBES.value, math.ceil(PROBES_PER_AC.value * area_ac))
    return int(min(MOST_PROBES.value, wanted))


def _word(answered: bool, done: int, fewest: int, most: int) -> Enough:
    if done < fewest:
        return Enough("more", fewest - done)
    if answered:
        return Enough("enough")
    return Enough("more", min(int(MORE_AT_ONCE.value), most - done)) if done < most else Enough("no_more")


def enough_depth(depths_in: Sequence[float], cap_in: float, settled: bool = False) -> Enough:
    """Whether leaf depths say *over* or *within* the cap. A settled layer can't be shown to be within: once
    its mean is under the cap more stops do not help."""
    fewest, most = int(FEWEST_STOPS.value), int(MOST_STOPS.value)
    if not depths_in:
        return Enough("more", fewest)
    found = depth_verdict(depths_in, cap_in, settled)
    if settled and len(depths_in) >= fewest and (found.mean_in or 0.0) <= cap_in:
        return Enough("no_more")
    # Bare stops count as walked but not as judged, so a thin spread asks for more up to the most.
    return _word(found.verdict != "cannot_say", len(depths_in), fewest, most)


def enough_firmness(peaks_psi: Sequence[float], moistures: Sequence[Moisture] | None = None) -> Enough:
    """Whether the points judged are surely under, or surely at or over, half of them hard."""
    fewest, most = int(FEWEST_PROBES.value), int(MOST_PROBES.value)
    if not peaks_psi:
        return Enough("more", fewest)
    return _word(firmness(peaks_psi, moistures).sure, len(peaks_psi), fewest, most)


def enough_mean(values: Sequence[float], line: float | None = None) -> Enough:
    """Whether a mean is known: its 90 % interval lies off ``line`` (a mow height, say), or within a tenth of
    the mean either way. For cover heights in inches and weed cover in percent."""
    fewest, most = int(FEWEST_STOPS.value), int(MOST_STOPS.value)
    if len(values) < 2:
        return Enough("more", fewest - len(values))
    found = mean_interval(values)
    off_line = line is not None and not found.low <= line <= found.high
    close = found.high - found.mean <= CLOSE_PCT.value / 100.0 * abs(found.mean)
    return _word(off_line or close, len(values), fewest, most)


def enough_counts(mean: float, k: float, done: int) -> Enough:
    """Whether ``done`` quadrats are enough for a weed count as a figure, by the clumped formula at a standard
    error of a quarter of the mean. Short of it a walk says low, medium or high, and not more."""
    wanted = quadrats_needed_clumped(mean, k, CLUMPED_ERROR_PCT.value / 100.0).whole
    if done >= wanted:
        return Enough("enough")
    return Enough("more", wanted - done) if wanted <= MOST_STOPS.value else Enough("no_more")


COMPUTATIONS: tuple[Computation, ...] = (
    Computation(
        "quadrats_needed",
        quadrats_needed,
        QUADRATS_NEEDED,
        {"quadrats": "quadrats", "whole": "quadrats"},
        "quadrats = t^2 x variance / (error x mean)^2",
        cite(QUADRAT_COUNT),
    ),
    Computation(
        "quadrats_needed_clumped",
        quadrats_needed_clumped,
        QUADRATS_NEEDED_CLUMPED,
        {"quadrats": "quadrats", "whole": "quadrats"},
        "quadrats = (1 / mean + 1 / k) / error^2",
        cite(CLUMPED_COUNT),
        "reckoner.caution.short_walk",
    ),
    Computation(
        "occupied",
        occupied,
        OCCUPIED,
        {"pct": "%", "low_pct": "%", "high_pct": "%"},
        "pct = 100 x k / n; Wilson 95 % interval",
        cite(WILSON_1927),
    ),
)
