"""Fertilizer by year and over a rotation: pounds called for, pounds that the table alone would have bought, and the
difference, with what rests on entries apart from what is modelled on the plan."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import fsum

from shared.ahead.fertilizer_amount import NONE, NUTRIENTS, Amount, Nutrient, exactly, summed
from shared.ahead.fertilizer_need import CropNeed
from shared.ahead.fertilizer_shifts import Shift


@dataclass(frozen=True, slots=True)
class YearOfFertilizer:
    """One year of the farm, or several together: lb of each nutrient for all fields whose need is known.

    ``plain`` is what the table alone calls for, ``need`` what is still called for, ``spared`` the difference.
    ``measured`` and ``modelled`` are what stood in for fertilizer (less what is to be put back) by entries in the
    book and by the plan; they add up to ``spared`` but where a need ends at nothing. ``known`` of ``crops`` crop
    plantings have a need for every nutrient; the acres of both beside."""

    first: int
    last: int
    crops: int
    known: int
    acres: float
    known_ac: float
    plain: Mapping[Nutrient, float]
    need: Mapping[Nutrient, Amount]
    measured: Mapping[Nutrient, Amount]
    modelled: Mapping[Nutrient, Amount]

    @property
    def spared(self) -> Mapping[Nutrient, Amount]:
        """lb of each nutrient that need not be bought; below nothing where hay takes more than is given."""
        return {one: exactly(self.plain[one]) - self.need[one] for one in NUTRIENTS}

    @property
    def whole(self) -> bool:
        """Whether nothing is left out for want of a rate, a test or a level."""
        return self.known == self.crops


def year_of(year: int, needs: Iterable[CropNeed]) -> YearOfFertilizer:
    """One year's crops together; of a crop with a gap the nutrients that are known count."""
    return _together(year, year, [one for one in needs if one.year == year])


def rotation_of(needs: Sequence[CropNeed]) -> YearOfFertilizer | None:
    """All years together, None where no crop is planned."""
    years = [one.year for one in needs]
    return _together(min(years), max(years), needs) if years else None


def _together(first: int, last: int, needs: Sequence[CropNeed]) -> YearOfFertilizer:
    return YearOfFertilizer(
        first=first,
        last=last,
        crops=len(needs),
        known=sum(one.known for one in needs),
        acres=fsum(one.acres for one in needs),
        known_ac=fsum(one.acres for one in needs if one.known),
        plain={one: fsum(each.plain_of_field(one) or 0.0 for each in needs) for one in NUTRIENTS},
        need={one: summed(each.of_field(one) or NONE for each in needs) for one in NUTRIENTS},
        measured={one: _balance(needs, one, True) for one in NUTRIENTS},
        modelled={one: _balance(needs, one, False) for one in NUTRIENTS},
    )


def _balance(needs: Iterable[CropNeed], nutrient: Nutrient, measured: bool) -> Amount:
    several: list[Amount] = []
    for crop in needs:
        one = crop.nutrients[nutrient]
        if one.need is None or one.enough:
            continue
        several += [_signed(shift).times(crop.acres) for shift in one.shifts if shift.measured == measured]
    return summed(several)


def _signed(shift: Shift) -> Amount:
    return NONE - shift.lb if shift.takes else shift.lb
