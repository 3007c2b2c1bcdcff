"""Why an entry is unusual. What is unusual is for ``shared.status.unusual`` to say; this gathers what it is read
against, in a number of queries that does not grow with the entries."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db.models import Q

from server.book import reads as book
from server.book.models import Row
from server.land import reads as land
from server.land.setbacks import KeptOff
from server.people.models import Boot, Farm
from server.photos import reads as photos
from server.reading import lines
from server.status.models import Verdict
from shared.rules.setbacks import FEATURES, widest_setback_ft
from shared.rules.sheet import Sheet
from shared.status.fact import Fact
from shared.status.kept_off import Near, laid_at, off_by_ft
from shared.status.standing import plain
from shared.status.unusual import CLOCK_OFF_MS, Reading, Unusual, unusual
from shared.words.bodies.gate import Load
from shared.words.entry import Entry
from shared.words.field import Field
from shared.words.finding import Finding
from shared.words.place import Outline

COMPARED = ("cover", "firmness", "leaf_depth", "weeds")
HISTORY = timedelta(days=3 * 366)
MOST_HISTORY = 2_000
"""The newest so many are enough to say what is usual of the fields of one page."""
AHEAD = timedelta(milliseconds=CLOCK_OFF_MS.value)


@dataclass(frozen=True, slots=True)
class Reason:
    """A key of the languages with its facts, or a rule's own finding beside it."""

    key: str
    facts: Mapping[str, Any] = field(default_factory=dict)
    finding: Finding | None = None


@dataclass(frozen=True, slots=True)
class Against:
    """What the entries of one page are read against."""

    today: date
    zone: ZoneInfo
    sheets: Sequence[Sheet]
    fields: Mapping[UUID, Field]
    skews: Mapping[tuple[UUID, UUID], int]
    history: Mapping[tuple[str, UUID | None], Sequence[Fact]]
    photos: Collection[str]
    off: KeptOff
    grounds: Mapping[UUID, Outline]
    sheets_reach_ft: float


def against(farm: Farm, rows: Sequence[Row], now: datetime) -> Against:
    """What these rows are read against."""
    zone = ZoneInfo(farm.zone)
    boots = Boot.objects.filter(phone__farm_id=farm.id).values_list("phone_id", "boot", "skew_ms")
    sheets = land.sheets_in_force(farm.id)
    fields = {one.id: one for one in land.fields(farm.id, retired=True)}
    return Against(
        today=now.astimezone(zone).date(),
        zone=zone,
        sheets=sheets,
        fields=fields,
        skews={(phone, boot): skew for phone, boot, skew in boots},
        history=_history(farm.id, rows),
        photos=_photos(farm.id, rows),
        off=KeptOff.of((one.outline for one in fields.values()), land.buffers(farm.id)),
        grounds=grounds(farm.id, fields.values()),
        sheets_reach_ft=sheets_reach_ft(sheets),
    )


def grounds(farm: UUID, fields: Iterable[Field]) -> Mapping[UUID, Outline]:
    """The outlines that loads may have gone to."""
    drawn = (*fields, *land.parts(farm, retired=True), *land.piles(farm, retired=True))
    return {one.id: one.outline for one in drawn if one.outline}


def sheets_reach_ft(sheets: Sequence[Sheet]) -> float:
    """The widest distance that any sheet in force keeps from anything."""
    return max((widest_setback_ft(sheets, feature) or 0.0 for feature in FEATURES), default=0.0)


def _photos(farm: UUID, rows: Sequence[Row]) -> Collection[str]:
    """Of the photos that these rows name, those that have come."""
    named = {photo.sha256 for one in lines.all_written(rows) for photo in one.entry.photos}
    return photos.here(farm, named).keys() if named else ()


def _history(farm: UUID, rows: Sequence[Row]) -> Mapping[tuple[str, UUID | None], Sequence[Fact]]:
    """What was measured of the same fields and brought by any truck up to these rows, struck and corrected ones
    left out, by kind and field (of loads: by truck)."""
    kinds = {row.kind for row in rows} & {*COMPARED, "load"}
    days = [row.day for row in rows if row.day is not None]
    if not kinds or not days:
        return {}
    there = Q(field__in={row.field for row in rows if row.kind in COMPARED}) | Q(kind="load")
    found = book.looked_up(farm).filter(there, outcome="kept", kind__in=kinds)
    found = found.filter(day__gte=max(min(days), date.min + HISTORY) - HISTORY, day__lte=max(days))
    changed = Q(struck=True) | Q(corrected_by__isnull=False)
    passed_over = set(Verdict.objects.filter(changed, farm_id=farm).values_list("entry", flat=True))
    out: dict[tuple[str, UUID | None], list[Fact]] = defaultdict(list)
    for written in lines.all_written(found.order_by("-number")[:MOST_HISTORY]):
        if written.entry.id not in passed_over:
            out[_of(written.entry)].append(plain(written))
    return out


def _of(entry: Entry) -> tuple[str, UUID | None]:
    """What an entry is compared within."""
    body = entry.body
    return (entry.kind, body.vehicle if isinstance(body, Load) else entry.field)


def reasons(row: Row, entry: Entry | None, findings: Iterable[str], told: Against) -> tuple[Reason, ...]:
    """Every reason why an entry is unusual, in one order; empty for a usual one."""
    return tuple(_reasons(row, entry, findings, told))


def _reasons(row: Row, entry: Entry | None, findings: Iterable[str], told: Against) -> Iterator[Reason]:
    if row.outcome == "held":
        yield Reason(f"reading.reason.held.{row.code}")
    yield from (Reason(f"noticed.{code}") for code in findings)
    written = lines.written(row) if entry is not None else None
    if written is None or entry is None:
        return
    fact = plain(written)
    yield from map(_reason, unusual(fact, _reading(row, entry, fact, told)))
    made = entry.made_at.utc
    if made is not None and made > row.arrived_at + AHEAD:
        yield Reason("reading.reason.from_the_future")


def _reading(row: Row, entry: Entry, fact: Fact, told: Against) -> Reading:
    here = told.fields.get(entry.field) if entry.field else None
    boot = told.skews.get((row.phone_id, entry.boot)) if entry.boot else None
    history = [one for one in told.history.get(_of(entry), ()) if _before(one, row)]
    outline = here.outline if here else None
    near = near_of(fact, told)
    return Reading(told.today, told.zone, history, told.sheets, outline, boot, told.photos, near)


def near_of(fact: Fact, told: Against) -> Sequence[Near]:
    """What an entry came near to where it was written; nothing for one that has no place on the ground."""
    point = laid_at(fact, told.grounds) if told.off.buffers else None
    if point is None or fact.at is None:
        return ()
    return told.off.near(point, off_by_ft(fact.at), told.sheets_reach_ft)


def _before(one: Fact, row: Row) -> bool:
    """Earlier in the book; of a round all its stops, which are read together."""
    return (one.number or 0) < row.number or (row.round is not None and one.round == row.round)


def _reason(one: Unusual) -> Reason:
    return Reason(one.key, one.facts, one.finding)
