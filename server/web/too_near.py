"""What stands inside a buffer on one field: stops, loads and spreadings of the last year, and its piles."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from uuid import UUID

from django.db.models import Q

from server.book import reads as book
from server.land import reads as land
from server.land.setbacks import KeptOff
from server.reading import lines
from server.reading.reasons import grounds, sheets_reach_ft
from server.status.models import Touch, Verdict
from server.web.desk import Desk
from shared.rules import worded
from shared.status.fact import Fact
from shared.status.kept_off import Near, is_put_on, laid_at, off_by_ft, over_sheets
from shared.status.standing import plain
from shared.words.field import Pile

KINDS = ("cover", "weeds", "firmness", "leaf_depth", "load", "work")
LOOKED_BACK = timedelta(days=366)
MOST = 500
"""The newest so many entries of the field are looked at."""


@dataclass(frozen=True, slots=True)
class TooNear:
    """One buffer with what came inside of it: how many entries, the nearest of them and its day."""

    name: str
    count: int
    sure: bool
    feet: int
    setback: int
    entry: UUID
    on: date | None


@dataclass(frozen=True, slots=True)
class PileNear:
    """A pile that stands in a buffer."""

    pile: Pile
    near: Near


@dataclass(frozen=True, slots=True)
class Warned:
    """``findings`` are a sheet's sentences, each with the entry that it speaks of."""

    buffers: list[TooNear]
    findings: list[tuple[str, UUID]]
    piles: list[PileNear]

    def __bool__(self) -> bool:
        return bool(self.buffers or self.findings or self.piles)


def warned(desk: Desk, field: UUID, places: set[UUID]) -> Warned:
    """The warnings of one field, in a number of queries that does not grow with its entries."""
    buffers = land.buffers(desk.farm.id)
    if not any(one.outline for one in buffers):
        return Warned([], [], [])
    fields = land.fields(desk.farm.id, retired=True)
    off = KeptOff.of((one.outline for one in fields), buffers)
    sheets = land.sheets_in_force(desk.farm.id)
    where = grounds(desk.farm.id, fields)
    name = next((one.name for one in fields if one.id == field), "")
    came: dict[UUID, list[tuple[Near, Fact]]] = defaultdict(list)
    said: dict[str, UUID] = {}
    for fact in _facts(desk, places):
        point = laid_at(fact, where)
        if point is None or fact.at is None:
            continue
        near = off.near(point, off_by_ft(fact.at), sheets_reach_ft(sheets))
        for one in near:
            if one.inside:
                came[one.buffer].append((one, fact))
        if is_put_on(fact.body):
            for finding in over_sheets(sheets, name, near):
                said.setdefault(worded(finding, desk.language, name).says, fact.id)
    told = [_told(those, desk) for those in came.values()]
    return Warned(
        sorted(told, key=lambda one: (not one.sure, one.name)),
        list(said.items()),
        piles_near(off, _of(desk, field)),
    )


def _of(desk: Desk, field: UUID) -> Iterable[Pile]:
    return (one for one in land.piles(desk.farm.id) if one.in_field == field)


def piles_near(off: KeptOff, piles: Iterable[Pile]) -> list[PileNear]:
    """The drawn piles that reach into a buffer, each with the nearest."""
    near = [(one, off.near_ground(one.outline)) for one in piles if one.outline]
    return [PileNear(pile, told[0]) for pile, told in near if told]


def _facts(desk: Desk, places: set[UUID]) -> Iterator[Fact]:
    farm = desk.farm.id
    touched = Touch.objects.filter(farm_id=farm, place__in=places).values("row")
    found = book.looked_up(farm).filter(Q(field__in=places) | Q(number__in=touched), kind__in=KINDS)
    found = found.filter(outcome="kept", day__gte=desk.today - LOOKED_BACK).exclude(entry=None)
    struck = set(Verdict.objects.filter(farm_id=farm, struck=True).values_list("entry", flat=True))
    for written in lines.all_written(found.order_by("-number")[:MOST]):
        if written.entry.id not in struck:
            yield plain(written)


def _told(those: list[tuple[Near, Fact]], desk: Desk) -> TooNear:
    near, fact = min(those, key=lambda one: (not one[0].sure, one[0].distance_ft, str(one[1].id)))
    sure = any(one.sure for one, _ in those)
    return TooNear(
        near.name,
        len(those),
        sure,
        round(near.distance_ft),
        round(near.setback_ft),
        fact.id,
        fact.day(desk.zone),
    )
