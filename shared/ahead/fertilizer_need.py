"""What a crop in a field still calls for: the table's rate at the soil's level, less what stands in for it, and more
what is to be put back. Never below nothing; what is not known is said and not made up."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from dataclasses import field as made
from datetime import date
from math import ceil
from uuid import UUID

from shared.ahead.fertilizer_amount import NONE, NUTRIENTS, Amount, Nutrient, exactly, summed
from shared.ahead.fertilizer_shifts import Shift
from shared.ahead.fertilizer_soil import ELEMENT, Graded, SoilAnswer, graded
from shared.ahead.fertilizer_tables import Rate, Tables

HUNDRED_LB = 100.0


@dataclass(frozen=True, slots=True)
class Gap:
    """What is lacking, by its key under ``fertilizer.gap`` in the languages, and its facts."""

    key: str
    facts: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class NutrientNeed:
    """One nutrient, lb an acre. ``rate`` is the row that it goes by, ``level`` the soil's level. ``plain`` is what
    the table says without any credit, ``need`` what is still called for; both None where a gap says why not.
    ``enough``: the soil holds so much that none is called for. ``shifts`` are those of this nutrient."""

    nutrient: Nutrient
    rate: Rate | None = None
    level: Graded | None = None
    plain: float | None = None
    need: Amount | None = None
    enough: bool = False
    shifts: tuple[Shift, ...] = ()
    gap: Gap | None = None

    @property
    def gives(self) -> Amount:
        """lb an acre that stand in for fertilizer."""
        return summed(one.lb for one in self.shifts if not one.takes)

    @property
    def takes(self) -> Amount:
        """lb an acre to be put back."""
        return summed(one.lb for one in self.shifts if one.takes)

    @property
    def spared(self) -> Amount | None:
        """lb an acre that need not be bought, against the table alone; below nothing where hay took more than
        leaves and covers gave. None where the need is not known."""
        if self.need is None or self.plain is None:
            return None
        return exactly(self.plain) - self.need


@dataclass(frozen=True, slots=True)
class CropNeed:
    """A crop in a field in a year: its acres, the soil test that it goes by, each nutrient, and what is lacking.
    ``ties_up``: leaves may still tie nitrogen up, so that a nitrate test is asked for before the sidedress."""

    field: UUID
    name: str
    acres: float
    crop: str
    year: int
    planted: date
    answer: SoilAnswer | None
    nutrients: Mapping[Nutrient, NutrientNeed] = made(default_factory=dict)
    gaps: tuple[Gap, ...] = ()
    ties_up: bool = False
    planned: bool = False

    def of_field(self, nutrient: Nutrient) -> Amount | None:
        """lb of the nutrient for the whole field, None where it is not known."""
        need = self.nutrients[nutrient].need
        return None if need is None else need.times(self.acres)

    def plain_of_field(self, nutrient: Nutrient) -> float | None:
        """lb for the whole field that the table says without any credit."""
        rate = self.nutrients[nutrient].plain
        return None if rate is None else rate * self.acres

    @property
    def known(self) -> bool:
        """Whether every nutrient's need is known."""
        return all(one.need is not None for one in self.nutrients.values())


def needed(rate: float, gives: Amount, takes: Amount) -> Amount:
    """rate + takes - gives, lb an acre, each end by itself and never under 0."""
    return (exactly(rate) + takes - gives).not_under_0()


def crop_needs(
    crop: str, answer: SoilAnswer | None, shifts: Iterable[Shift], tables: Tables, today: date
) -> dict[Nutrient, NutrientNeed]:
    """Each nutrient's need of a crop on a soil. ``shifts`` are those of all nutrients."""
    several = tuple(shifts)
    return {
        one: _nutrient(one, crop, answer, tuple(s for s in several if s.nutrient == one), tables, today)
        for one in NUTRIENTS
    }


def _nutrient(
    nutrient: Nutrient,
    crop: str,
    answer: SoilAnswer | None,
    shifts: tuple[Shift, ...],
    tables: Tables,
    today: date,
) -> NutrientNeed:
    level, gap = _level(nutrient, answer, tables, today)
    if level is not None and level.enough:
        return NutrientNeed(nutrient, None, level, 0.0, NONE, True, shifts)
    if not tables.knows(crop):
        return NutrientNeed(nutrient, None, level, shifts=shifts, gap=Gap("no_crop", (("crop", crop),)))
    lab, method = (answer.lab, answer.method) if answer is not None else ("", "")
    rate = tables.rate(crop, nutrient, lab, method, level.word if level else "")
    if rate is None:
        facts = (("crop", crop), ("level", level.word if level else ""))
        return NutrientNeed(
            nutrient, None, level, shifts=shifts, gap=gap or Gap("no_rate" if level else "no_n_rate", facts)
        )
    gives = summed(one.lb for one in shifts if not one.takes)
    takes = summed(one.lb for one in shifts if one.takes)
    need = needed(rate.amount, gives, takes)
    return NutrientNeed(nutrient, rate, level, rate.amount, need, False, shifts)


def _level(
    nutrient: Nutrient, answer: SoilAnswer | None, tables: Tables, today: date
) -> tuple[Graded | None, Gap | None]:
    """The soil's level of a nutrient, or what is lacking to know it. Nitrogen hangs on no level."""
    if nutrient == "N":
        return None, None
    element = ELEMENT[nutrient]
    if answer is None:
        return None, Gap("no_test")
    told = (("lab", answer.lab), ("method", answer.method), ("test_on", answer.on.isoformat()))
    if answer.old(today):
        return None, Gap("old_test", told)
    if answer.figure(element) is None:
        return None, Gap("no_figure", (("element", element), *told))
    found = graded(answer, element, tables)
    return found, None if found else Gap("no_level", (("element", element), *told))


def whole_bags(lb: float, bag_lb: float) -> int:
    """Bags to buy for so many lb of a material: never fewer than cover it."""
    return ceil(round(lb / bag_lb, 9))


def hundreds(lb: float) -> int:
    """By how many 100 lb a material is bought loose: never fewer than cover it."""
    return ceil(round(lb / HUNDRED_LB, 9))
