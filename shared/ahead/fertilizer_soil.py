"""A field's soil test as fertilizer is reckoned from it: its figures, and the level that its own laboratory calls
them. Nothing is graded by another laboratory's words."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from shared.ahead.fertilizer_tables import LevelWord, Tables, plain
from shared.errors import InputError
from shared.reckoning.bands import graded_as
from shared.reckoning.soil_test import LABS, soil_level
from shared.units import LB_PER_ACRE_PER_PPM, Figure, Source

TEST_AGE = Source(
    "soil_test_age",
    "a soil test is used for three years at most, common practice, no source",
    None,
    "practice",
)
OLDEST_YEARS = Figure(3.0, "years", TEST_AGE)
DAYS_A_YEAR = Figure(365.25, "days/yr", TEST_AGE)
NAMES: dict[str, frozenset[str]] = {
    "P": frozenset(("p", "phosphorus", "p m3", "m3 p", "mehlich 3 p", "fosforo", "fósforo")),
    "K": frozenset(("k", "potassium", "k m3", "m3 k", "mehlich 3 k", "potasio")),
}
PPM = ("ppm", "mg/kg")
LB = ("lb/ac", "lb_per_ac")
ELEMENT = {"P2O5": "P", "K2O": "K"}
"""What a laboratory measures of each nutrient that a bag is sold by."""


@dataclass(frozen=True, slots=True)
class SoilAnswer:
    """What a laboratory answered on a soil sample: the day it was bagged, the laboratory, its method, and (name,
    number, unit) each."""

    on: date
    lab: str
    method: str
    values: tuple[tuple[str, float, str], ...]

    def figure(self, element: str) -> tuple[float, str] | None:
        """The number and unit of P or K, None where the laboratory gave none."""
        wanted = NAMES[element]
        return next(((number, unit) for name, number, unit in self.values if plain(name) in wanted), None)

    def old(self, today: date) -> bool:
        """Whether it is too old to buy fertilizer by."""
        return (today - self.on).days > OLDEST_YEARS.value * DAYS_A_YEAR.value


@dataclass(frozen=True, slots=True)
class Graded:
    """A figure with its laboratory's word. ``enough``: none more is called for. ``by`` is where the word is from."""

    element: str
    value: float
    unit: str
    word: str
    enough: bool
    by: str


def graded(answer: SoilAnswer, element: str, tables: Tables) -> Graded | None:
    """The level of P or K by the words that were typed for this laboratory and method, else by the laboratory's
    own printed levels where it or its method names them (Rutgers, Delaware; Mehlich 3). None where neither can
    say."""
    found = answer.figure(element)
    if found is None:
        return None
    value, unit = found
    words = tables.grades(answer.lab, answer.method, element)
    if words:
        return _by_words(element, value, unit, words)
    return _by_reckoner(answer, element, value, unit)


def _by_words(element: str, value: float, unit: str, words: tuple[LevelWord, ...]) -> Graded | None:
    reached = None
    for one in words:
        here = in_unit(value, unit, one.unit)
        if here is not None and here >= one.starts_at:
            reached = one
    if reached is None:
        return None
    return Graded(element, value, unit, reached.word, reached.enough, reached.source)


def _by_reckoner(answer: SoilAnswer, element: str, value: float, unit: str) -> Graded | None:
    lab = graded_as(f"{answer.lab} {answer.method}")
    if lab not in LABS or "mehlich 3" not in plain(answer.method) or unit not in (*PPM, *LB):
        return None
    try:
        found = soil_level(lab, element, value, "ppm" if unit in PPM else "lb_per_ac")
    except InputError:
        return None
    levels = LABS[lab][element]
    return Graded(element, value, unit, found.level, found.level == levels.past, levels.most.source.title)


def in_unit(value: float, unit: str, wanted: str) -> float | None:
    """The figure in another unit: 1 ppm is 2 lb in an acre's furrow slice. None where one can't be the other."""
    if unit == wanted or (unit in PPM and wanted in PPM) or (unit in LB and wanted in LB):
        return value
    if unit in PPM and wanted in LB:
        return value * LB_PER_ACRE_PER_PPM.value
    if unit in LB and wanted in PPM:
        return value / LB_PER_ACRE_PER_PPM.value
    return None
