"""A register's rows for a span of days, from the facts of the book."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from server.book import reads as book
from server.land import reads as land
from server.people import reads as people
from server.people.models import Farm
from server.status.family import family_of
from server.status.following import followed
from server.status.holdings import ground_of
from server.status.models import Standing
from shared.status.fact import Fact
from shared.status.field_status import FieldStatus
from shared.status.registers import REGISTERS, Ground, Register, leaf_intake, turned_back, worked_in
from shared.status.standing import standing

LOADS = ("load",)
Rows = Callable[[Farm, Sequence[Fact]], Sequence[Any]]


def register_named(name: str) -> Register | None:
    return REGISTERS.get(name)


def rows(farm: Farm, register: Register, first: date, last: date) -> list[Any]:
    """The register's rows from ``first`` to ``last``, both included, in the order it prints them."""
    made = _MADE[register.name](farm, _load_facts(farm))
    return [row for row in made if row.on is None or first <= row.on <= last]


def names(farm: Farm) -> Mapping[UUID, str]:
    """What every person, place, town and truck of the farm is called, the retired among them."""
    known: dict[UUID, str] = {one.id: one.initials for one in people.people(farm.id, retired=True)}
    for kind in (land.fields, land.parts, land.piles, land.towns, land.haulers):
        known |= {one.id: one.name for one in kind(farm.id, retired=True)}
    return known | {one.id: one.label for one in land.vehicles(farm.id, retired=True)}


def years(farm: Farm) -> list[int]:
    """The years in which loads came, newest first."""
    found = book.of_kinds(farm.id, LOADS).exclude(day=None).values_list("day__year", flat=True)
    return sorted(set(found), reverse=True)


def _load_facts(farm: Farm) -> Sequence[Fact]:
    """Every load as it stands now, the struck ones too."""
    followed(farm.id)
    found = {row.entry for row in book.of_kinds(farm.id, LOADS).filter(outcome="kept") if row.entry}
    family = family_of(farm.id, found)
    written = [value for row in family if (value := book.written(row)) is not None]
    unreadable = {row.entry for row in family if row.entry} - {one.entry.id for one in written}
    return standing(written, people.hands(farm.id), unreadable).facts


def _grounds(farm: Farm) -> list[Ground]:
    followed(farm.id)
    ground = ground_of(farm.id)
    return [
        Ground(FieldStatus.from_tree(one.standing), ground.holding(one.field))
        for one in Standing.objects.filter(farm_id=farm.id, what="field")
        if one.field in ground.fields
    ]


_MADE: dict[str, Rows] = {
    "leaf_intake": lambda farm, facts: leaf_intake(facts, _grounds(farm), ZoneInfo(farm.zone)),
    "turned_back": lambda farm, facts: turned_back(facts, ZoneInfo(farm.zone)),
    "worked_in": lambda farm, facts: worked_in(_grounds(farm)),
}
