"""Weeds: mean cover from classes, what is left of the seeds in the soil, and a word for a short walk.

Class midpoints are averaged, never class numbers, and the total is not forced to 100 %. Weeds stand in
clumps: ten quadrats can say low, medium or high and not more.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from shared.errors import OutOfRange
from shared.reckoning.clumped import moment_k, quadrats_for
from shared.reckoning.computation import Computation, Input, checked, cite
from shared.reckoning.figures import STUDENT_T
from shared.reckoning.intervals import SHARE_95, mean, mean_interval
from shared.units import Figure, Source

Scale = Literal["cover8", "daubenmire6"]
Word = Literal["low", "medium", "high"]

DAUBENMIRE = Source("daubenmire_1959", "Daubenmire 1959, six cover classes", 1959, "read")
TR_1734_4 = Source("tr_1734_4", "Interagency Technical Reference 1734-4, modified Daubenmire", 1999, "read")
OHIO_SEEDS = Source(
    "osu_seedbank", "Ohio State, vegetable notes: years to lose seeds in the soil", None, "read"
)
JOHNSON_1996 = Source(
    "johnson_1996", "Johnson 1996, Weed Sci 44:555-559, 0.18-3.11 seedlings per 0.38 m2", 1996, "derived"
)

MIDPOINTS: dict[str, dict[str, Figure]] = {
    "cover8": {
        "none": Figure(0.0, "%", TR_1734_4),
        "trace": Figure(0.5, "%", TR_1734_4),
        "1-5": Figure(3.0, "%", TR_1734_4),
        "5-25": Figure(15.0, "%", DAUBENMIRE),
        "25-50": Figure(37.5, "%", DAUBENMIRE),
        "50-75": Figure(62.5, "%", DAUBENMIRE),
        "75-95": Figure(85.0, "%", DAUBENMIRE),
        "95-100": Figure(97.5, "%", DAUBENMIRE),
    },
    "daubenmire6": {
        "1": Figure(2.5, "%", DAUBENMIRE),
        "2": Figure(15.0, "%", DAUBENMIRE),
        "3": Figure(37.5, "%", DAUBENMIRE),
        "4": Figure(62.5, "%", DAUBENMIRE),
        "5": Figure(85.0, "%", DAUBENMIRE),
        "6": Figure(97.5, "%", DAUBENMIRE),
    },
}


@dataclass(frozen=True, slots=True)
class SeedLife:
    """Years until half and until 99 % of a weed's seeds in the soil are gone, none being shed; ``half``
    None where only the second is in print."""

    half: Figure | None
    gone: Figure


SEED_LIVES: dict[str, SeedLife] = {
    "redroot_pigweed": SeedLife(Figure(3.0, "years", OHIO_SEEDS), Figure(20.0, "years", OHIO_SEEDS)),
    "lambsquarters": SeedLife(Figure(12.0, "years", OHIO_SEEDS), Figure(78.0, "years", OHIO_SEEDS)),
    "giant_foxtail": SeedLife(Figure(5.0, "years", OHIO_SEEDS), Figure(30.0, "years", OHIO_SEEDS)),
    "velvetleaf": SeedLife(Figure(2.0, "years", OHIO_SEEDS), Figure(16.0, "years", OHIO_SEEDS)),
    "common_ragweed": SeedLife(Figure(1.0, "years", OHIO_SEEDS), Figure(10.0, "years", OHIO_SEEDS)),
    "giant_ragweed": SeedLife(None, Figure(2.0, "years", OHIO_SEEDS)),
}
LEFT_WHEN_GONE = Figure(0.01, "share", OHIO_SEEDS)
SLOW_TAIL = Figure(1.05, "ratio", OHIO_SEEDS)
"""More than this over 6.644 half-lives, and the printed 99 % is no rounding: the later seeds die slower."""

SPARSE_PER_M2 = Figure(0.18 / 0.38, "plants/m2", JOHNSON_1996)
THICK_PER_M2 = Figure(3.11 / 0.38, "plants/m2", JOHNSON_1996)
"""Fewer than the sparsest of the surveyed fields is *low*, more than the thickest *high*."""
LIGHT_COVER = Figure(5.0, "%", DAUBENMIRE)
HEAVY_COVER = Figure(25.0, "%", DAUBENMIRE)
"""Bounds of the scale's own classes; no published threshold of success for a smother crop was found."""
GOOD_ERROR = Figure(0.25, "share of the mean", JOHNSON_1996)
"""The relative standard error at which a count may be said as a number (the survey aims at 10 to 40 %)."""

WEED_COVER = (
    Input(
        "classes",
        "choices",
        choices=tuple(MIDPOINTS["cover8"]) + tuple(MIDPOINTS["daubenmire6"]),
        example="none,trace,1-5,5-25",
    ),
    Input("scale", "choice", choices=tuple(MIDPOINTS), optional=True, default="cover8", example="cover8"),
)
SEEDBANK_LEFT = (
    Input("weed", "choice", choices=tuple(SEED_LIVES), example="lambsquarters"),
    Input("years", unit="years", low=0.0, high=200.0, example="3"),
)
WEED_COUNT = (
    Input("plants", "numbers", unit="plants a quadrat", low=0.0, high=100_000.0, example="0,0,3,1,0,7"),
    Input("frame_m2", unit="m2", low=0.001, high=100.0, example="0.25"),
)


@dataclass(frozen=True, slots=True)
class WeedCover:
    """Mean cover in %, with its 95 % interval within 0 to 100; the ends None for one stop alone."""

    mean_pct: float
    low_pct: float | None
    high_pct: float | None


@dataclass(frozen=True, slots=True)
class SeedbankLeft:
    """``left_pct``: % of the seeds in the soil that still live, if none were shed since."""

    left_pct: float


@dataclass(frozen=True, slots=True)
class WeedCount:
    """``word`` *low*, *medium* or *high*. ``per_m2`` only when enough quadrats were counted to say a number,
    else None; ``quadrats_wanted``: how many were enough at this clumping, None where that can't be told."""

    word: Word
    per_m2: float | None
    quadrats_wanted: int | None


def midpoint(name: str, scale: Scale = "cover8") -> float:
    """A class's midpoint in %. Raises ``OutOfRange`` for a class that the scale does not have."""
    try:
        return MIDPOINTS[scale][name].value
    except KeyError:
        allowed = ", ".join(MIDPOINTS[scale])
        raise OutOfRange("classes", name, f"with scale {scale}, one of {allowed}") from None


def weed_cover(classes: Sequence[str], scale: Scale = "cover8") -> WeedCover:
    """Mean cover of quadrats, one class each, every quadrat a stop of its own (R17).

    Midpoints after Daubenmire 1959; ``cover8`` adds none and trace (TR 1734-4), without which a clean field
    reads 2.5 %. The interval is Student's t at 95 %, clipped to 0 to 100.
    """
    given = checked(WEED_COVER, {"classes": classes, "scale": scale})
    return weed_cover_of_stops([[name] for name in given["classes"]], scale)


def weed_cover_of_stops(stops: Sequence[Sequence[str]], scale: Scale = "cover8") -> WeedCover:
    """The same where a stop has several quadrats: the error is over the means of the stops, not over the
    quadrats, which at one stop resemble each other (R17). Raises ``OutOfRange`` for a stop without any."""
    if not stops or not all(stops):
        raise OutOfRange("classes", "a stop without quadrats", "one class or more at each stop")
    means = [mean([midpoint(name, scale) for name in stop]) for stop in stops]
    if len(means) == 1:
        return WeedCover(means[0], None, None)
    found = mean_interval(means, SHARE_95.value)
    return WeedCover(found.mean, max(0.0, found.low), min(100.0, found.high))


def cover_word(cover: WeedCover) -> Word:
    """The word for a mean cover: under 5 % low, over 25 % high (bounds of the scale's classes)."""
    return _word(cover.mean_pct, LIGHT_COVER.value, HEAVY_COVER.value)


def _word(value: float, low: float, high: float) -> Word:
    if value < low:
        return "low"
    return "high" if value > high else "medium"


def weed_count(plants: Sequence[float], frame_m2: float) -> WeedCount:
    """What counts from a walk support: a word, and a number only if the quadrats are enough.

    Enough is a standard error of 25 % of the mean at the clumping seen (moment k, negative binomial). The
    word's bounds are the densities of surveyed fields, Johnson 1996.
    """
    given = checked(WEED_COUNT, {"plants": plants, "frame_m2": frame_m2})
    counts, frame = given["plants"], given["frame_m2"]
    for count in counts:
        if count != int(count):
            raise OutOfRange("plants", count, "whole plants, one number for each quadrat")
    density = mean(counts) / frame
    word = _word(density, SPARSE_PER_M2.value, THICK_PER_M2.value)
    if mean(counts) == 0.0 or len(counts) < 2:
        return WeedCount(word, None, None)
    wanted = quadrats_for(mean(counts), moment_k(counts), GOOD_ERROR.value)
    return WeedCount(word, density if len(counts) >= wanted else None, wanted)


def seedbank_left(weed: str, years: float) -> SeedbankLeft:
    """The share of seeds left after ``years`` without any shed: halved every half-life.

    Where the printed 99 % comes later than the half-life allows (velvetleaf, common ragweed) the seeds that
    outlive the first half-life are spread to that point, so nothing is promised too early.
    Source: Ohio State. Other authors differ widely.
    """
    years = checked(SEEDBANK_LEFT, {"weed": weed, "years": years})["years"]
    life = SEED_LIVES[weed]
    halvings = -math.log2(LEFT_WHEN_GONE.value)
    half = life.gone.value / halvings if life.half is None else life.half.value
    slow = life.gone.value > half * halvings * SLOW_TAIL.value
    if slow and years > half:
        later = (life.gone.value - half) / (halvings - 1)
        return SeedbankLeft(100.0 * 2.0 ** -(1 + (years - half) / later))
    return SeedbankLeft(100.0 * 2.0 ** (-years / half))


def years_until(weed: str, left_pct: float) -> float:
    """After how many years ``left_pct`` (above 0, to 100) of the weed's seeds are left, by its half-life.
    Raises ``OutOfRange`` for a share outside that, or a weed without a printed half-life."""
    life = SEED_LIVES.get(weed)
    if life is None or life.half is None:
        raise OutOfRange("weed", weed, "a weed whose half-life is in print")
    if not 0.0 < left_pct <= 100.0:
        raise OutOfRange("left_pct", left_pct, "a number above 0 up to 100 %")
    return life.half.value * math.log2(100.0 / left_pct)


COMPUTATIONS: tuple[Computation, ...] = (
    Computation(
        "weed_cover",
        weed_cover,
        WEED_COVER,
        {"mean_pct": "%", "low_pct": "%", "high_pct": "%"},
        "mean of class midpoints; t interval 95 % over stop means, clipped to 0-100",
        cite(DAUBENMIRE, TR_1734_4, STUDENT_T),
        "reckoner.caution.classes",
    ),
    Computation(
        "weed_count",
        weed_count,
        WEED_COUNT,
        {"per_m2": "plants/m2", "quadrats_wanted": "quadrats"},
        "mean count / frame, said as a number only if n >= (1/m + 1/k) / 0.25^2, else a word",
        cite(JOHNSON_1996),
        "reckoner.caution.short_walk",
    ),
    Computation(
        "seedbank_left",
        seedbank_left,
        SEEDBANK_LEFT,
        {"left_pct": "%"},
        "100 x 2^(-years / half-life)",
        cite(OHIO_SEEDS),
        "reckoner.caution.seedbank",
    ),
)
