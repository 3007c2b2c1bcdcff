"""What each field's leaves of the last years still are and do, year by year: from what the book says was spread."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Literal
from uuid import UUID

from server.ahead.leaf_years import Layer, LeafYear, leaf_years
from server.status import reads as status
from server.status.holdings import ground_of
from shared.reckoning.trend import DAYS_PER_YEAR
from shared.status.field_status import FieldStatus
from shared.status.leaf_season import season_of
from shared.words.field import Field

Lack = Literal["acres", "factor", "worked_in"]
YEARS_BACK, YEARS_AHEAD = 5, 5


@dataclass(frozen=True, slots=True)
class FieldLeaves:
    """A field's leaves: the days of the spreadings that count, yards an acre of them all, what each year's end will
    see from ``first_year`` on (empty without acres), and what is lacking."""

    field: UUID
    name: str
    spread_on: tuple[date, ...]
    yards_per_ac: float | None
    first_year: int
    years: tuple[LeafYear, ...]
    lacks: tuple[Lack, ...]

    @property
    def seasons(self) -> list[tuple[date, date]]:
        """The first and the last day of spreading in each leaf season."""
        by: dict[int, list[date]] = {}
        for on in self.spread_on:
            by.setdefault(season_of(on), []).append(on)
        return [(min(days), max(days)) for _, days in sorted(by.items())]

    @property
    def by_year(self) -> list[tuple[int, LeafYear]]:
        return list(enumerate(self.years, self.first_year))


def leaves_ahead(
    farm: UUID, today: date, factor: float | None, only: UUID | None = None
) -> list[FieldLeaves]:
    """Every field with leaves spread in the last five years, by name. ``factor``: ground yards a truck yard as the farm
    has measured it, None where it has not."""
    stands = status.standings(farm)
    fields = sorted(ground_of(farm).fields.values(), key=lambda one: one.name)
    used = [one for one in fields if not one.retired and one.id in stands]
    found = (of_field(one, FieldStatus.from_tree(stands[one.id]), today, factor) for one in used)
    return [one for one in found if one is not None]


def of_field(field: Field, stands: FieldStatus, today: date, factor: float | None) -> FieldLeaves | None:
    """One field's leaves, None where none were spread in the last five years."""
    yards: dict[date, Decimal] = {}
    for one in stands.laid:
        if (
            one.spread_on is not None
            and today.year - YEARS_BACK <= one.spread_on.year
            and one.spread_on <= today
        ):
            yards[one.spread_on] = yards.get(one.spread_on, Decimal(0)) + one.yards_yd3
    if not yards:
        return None
    days = tuple(sorted(yards))
    lacks: list[Lack] = ["factor"] if factor is None else []
    if not any(one.on >= days[-1] for one in stands.worked):
        lacks.append("worked_in")
    acres = field.area_ac if field.spreadable_ac is None else field.spreadable_ac
    if not acres:
        return FieldLeaves(field.id, field.name, days, None, today.year, (), ("acres", *lacks))
    ends = [date(today.year + ahead, 12, 31) for ahead in range(YEARS_AHEAD)]
    layers = [
        Layer(
            float(yards[on]) * (factor or 1.0) / acres,
            tuple((end - on).days / DAYS_PER_YEAR.value for end in ends),
        )
        for on in days
    ]
    per_ac = sum(one.yards_per_ac for one in layers)
    told = leaf_years(layers, factor is not None)
    return FieldLeaves(field.id, field.name, days, per_ac, today.year, told, tuple(lacks))
