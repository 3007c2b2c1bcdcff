"""A register's rows for a span of days, from the facts of the book."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import date
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db.models import Max, Min

from server.book import reads as book
from server.land import reads as land
from server.people import reads as people
from server.people.models import Farm
from server.registers.facts import facts_of
from server.status import reads as status
from server.status.holdings import ground_of
from shared.status.fact import Fact
from shared.status.field_status import FieldStatus
from shared.status.registers import (
    REGISTERS,
    WRITTEN_DOWN,
    Ground,
    Register,
    leaf_intake,
    turned_back,
    worked_in,
    written_down,
)

LOADS = ("load",)
Rows = Callable[[Farm, Sequence[Fact]], Sequence[Any]]


def register_named(name: str) -> Register | None:
    return REGISTERS.get(name)


def rows(farm: Farm, register: Register, first: date, last: date, field: UUID | None = None) -> list[Any]:
    """The register's rows from ``first`` to ``last``, both included, in the order it prints them; of one field and its
    parts where that is named."""
    found = _rows(farm, register, first, last)
    if field is None:
        return found
    places = ground_of(farm.id).places_of(field)
    return [row for row in found if _place(row) in places]


OF_NO_FIELD = frozenset(("turned_back",))
"""What is in such a register went to no field."""


def _place(row: Any) -> UUID | None:
    place: UUID | None = row.to if hasattr(row, "to") else row.place
    return place


def _rows(farm: Farm, register: Register, first: date, last: date) -> list[Any]:
    if register.name in WRITTEN_DOWN:
        one = WRITTEN_DOWN[register.name]
        return list(written_down(one, facts_of(farm, one.kinds, first, last), ZoneInfo(farm.zone)))
    kinds, made = _MADE[register.name]
    found = made(farm, facts_of(farm, kinds, first, last))
    return [row for row in found if (on := day_of(row)) is None or first <= on <= last]


def day_of(row: Any) -> date | None:
    """The day that a row is of: a load's, or the first of a run."""
    on: date | None = row.on if hasattr(row, "on") else row.spread_on
    return on


def spans(farm: UUID, first: date, last: date) -> Iterator[tuple[date, date]]:
    """The days year by year, from the first of which the book knows anything to the last."""
    known = book.looked_up(farm).exclude(day=None).aggregate(first=Min("day"), last=Max("day"))
    first, last = max(first, known["first"] or first), min(last, known["last"] or last)
    for year in range(first.year, last.year + 1):
        yield max(first, date(year, 1, 1)), min(last, date(year, 12, 31))


def names(farm: Farm) -> Mapping[UUID, str]:
    """What every person, place, town and truck of the farm is called, the retired among them."""
    known: dict[UUID, str] = {one.id: one.initials for one in people.people(farm.id, retired=True)}
    for kind in (land.fields, land.parts, land.piles, land.towns, land.haulers):
        known |= {one.id: one.name for one in kind(farm.id, retired=True)}
    return known | {one.id: one.label for one in land.vehicles(farm.id, retired=True)}


def years(farm: Farm) -> list[int]:
    """The years of which a register has anything to print, newest first."""
    kinds = {*LOADS, "work", *(kind for one in WRITTEN_DOWN.values() for kind in one.kinds)}
    found = book.of_kinds(farm.id, kinds).exclude(day=None).order_by()
    return sorted((on.year for on in found.dates("day", "year")), reverse=True)


def _grounds(farm: Farm) -> list[Ground]:
    ground = ground_of(farm.id)
    return [
        Ground(FieldStatus.from_tree(tree), ground.holding(field))
        for field, tree in status.standings(farm.id).items()
        if field in ground.fields
    ]


_MADE: dict[str, tuple[Sequence[str], Rows]] = {
    "leaf_intake": (LOADS, lambda farm, facts: leaf_intake(facts, _grounds(farm), ZoneInfo(farm.zone))),
    "turned_back": (LOADS, lambda farm, facts: turned_back(facts, ZoneInfo(farm.zone))),
    "worked_in": (("work",), lambda farm, facts: worked_in(facts, _grounds(farm))),
}
