"""The published bands that a field's measurements are judged by: each with its own unit and the source that prints it.

Nothing here is re-graded from one laboratory to another: a soil test has bands where the answer itself names the
laboratory whose printed levels it goes by, and none otherwise (R14).
"""

from __future__ import annotations

from dataclasses import dataclass

from shared.reckoning.figures import PAN_SHARE
from shared.reckoning.firmness import ACT_PCT
from shared.reckoning.soil_test import DELAWARE, LABS, RUTGERS
from shared.reckoning.weeds import DAUBENMIRE, HEAVY_COVER, LIGHT_COVER
from shared.units import LB_PER_ACRE_PER_PPM, Figure, Source

PSNT = Source(
    "psnt_critical",
    "pre-sidedress soil nitrate test of the top 12 in: about 25 ppm of nitrate nitrogen is enough for corn",
    None,
    "memory",
)
ENOUGH_NITRATE = Figure(25.0, "ppm NO3-N", PSNT)
PRINTED_BY = {"rutgers": RUTGERS, "delaware": DELAWARE}
IN_PPM = ("ppm", "mg/kg")
IN_LB = "lb/ac"


@dataclass(frozen=True, slots=True)
class Band:
    """From ``low`` (None: no lower end) up to ``high`` (None: no upper end), with the band's own word."""

    low: float | None
    high: float | None
    word: str


@dataclass(frozen=True, slots=True)
class Bands:
    """Bands from the lowest up, meeting each other, in ``unit``; ``source`` prints their bounds."""

    bands: tuple[Band, ...]
    unit: str
    source: Source


def _between(words: tuple[str, ...], bounds: tuple[float, ...], unit: str, source: Source) -> Bands:
    ends = (None, *bounds, None)
    pairs = zip(words, ends, ends[1:], strict=False)
    return Bands(tuple(Band(low, high, word) for word, low, high in pairs), unit, source)


def weed_bands() -> Bands:
    """Mean cover of weeds in %: *low* under 5, *high* over 25. The bounds are those of the scale's own classes; no
    published threshold of success was found. Source: Daubenmire 1959."""
    return _between(
        ("low", "medium", "high"), (LIGHT_COVER.value, HEAVY_COVER.value), LIGHT_COVER.unit, DAUBENMIRE
    )


def firm_bands() -> Bands:
    """Share of points over 300 psi in %: *act* from half of them on (R15). Source: University of Kentucky."""
    return _between(("leave", "act"), (ACT_PCT.value,), ACT_PCT.unit, PAN_SHARE)


def nitrate_bands(name: str, unit: str) -> Bands | None:
    """Nitrate nitrogen in soil, ppm: *enough* from about 25 on, from memory. None for another figure or unit."""
    known = name.lower().replace(" ", "") in ("no3-n", "nitraten", "nitrate-n", "nitratenitrogen")
    if not known or unit not in IN_PPM:
        return None
    return _between(("short", "enough"), (ENOUGH_NITRATE.value,), unit, PSNT)


def soil_bands(graded_by: str, name: str, unit: str) -> Bands | None:
    """The levels of a nutrient as the laboratory prints them whose levels ``graded_by`` names (any words in which
    *Rutgers* or *Delaware* stands), in the unit asked for: ppm, mg/kg or lb/ac (1 ppm is 2 lb in a furrow slice).
    None where no such laboratory is named, or two, or it prints none for this nutrient."""
    levels = LABS.get(graded_as(graded_by), {}).get(_nutrient(name))
    if levels is None or unit not in (*IN_PPM, IN_LB):
        return None
    printed_in_lb = levels.unit == "lb_per_ac"
    ratio = 1.0
    if printed_in_lb != (unit == IN_LB):
        ratio = 1.0 / LB_PER_ACRE_PER_PPM.value if printed_in_lb else LB_PER_ACRE_PER_PPM.value
    words = (levels.lowest, *(word for word, _ in levels.steps), levels.past)
    bounds = (*(bound.value * ratio for _, bound in levels.steps), levels.most.value * ratio)
    return _between(words, bounds, unit, PRINTED_BY[graded_as(graded_by)])


def graded_as(words: str) -> str:
    """Which laboratory's printed levels some words name; empty for none, or for more than one."""
    named = [one for one in LABS if one in words.lower()]
    return named[0] if len(named) == 1 else ""


def _nutrient(name: str) -> str:
    short = name.strip().lower()
    return next((one for lab in LABS.values() for one in lab if one.lower() == short), "")
