"""A farm-day as the manager reads it: by field and time, the unusual first, each with its reason."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any
from uuid import UUID

from server.book import reads as book
from server.book.models import Row
from server.land import reads as land
from server.people.models import Boot, Farm, Phone
from server.status import reads as status
from server.status.models import Verdict
from shared.reckoning.land import contains, distance_to_edge_m, radius95
from shared.words.entry import Entry
from shared.words.field import Field
from shared.words.span import outside

CLOCK_OFF_MS = 5 * 60 * 1000
NOT_READ = ("reading", "seal", "restored", "query", "job")
"""Kinds that the desk itself makes of the reading: they are not read in turn."""


@dataclass(frozen=True, slots=True)
class Reason:
    """Why an entry is unusual: a key of the languages under ``reading.reason``, and its facts."""

    key: str
    facts: Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Read:
    """An entry as it stands on the spread. ``entry`` None: it can't be read, it is held."""

    row: Row
    entry: Entry | None
    phone: Phone
    mark: str
    struck: bool
    corrected_by: UUID | None
    reasons: tuple[Reason, ...]

    @property
    def unusual(self) -> bool:
        return bool(self.reasons)

    @property
    def id(self) -> UUID | None:
        """What a mark names: the entry's id, or its handle."""
        return self.row.entry

    @property
    def settled(self) -> bool:
        return self.mark in ("initialled", "put_by")


@dataclass(frozen=True, slots=True)
class Spread:
    """A day's entries: the unusual first, then the rest, each by field and time."""

    day: date
    unusual: tuple[Read, ...]
    rest: tuple[Read, ...]

    @property
    def unread(self) -> tuple[Read, ...]:
        """What all may be initialled together: the rest that nobody has marked."""
        return tuple(one for one in self.rest if not one.settled)

    @property
    def open_unusual(self) -> int:
        return sum(not one.settled for one in self.unusual)


def spread(farm: Farm, day: date) -> Spread:
    """The entries of a farm-day; what is held from earlier days and not yet settled stands with today's."""
    rows = [row for row in book.of_day(farm.id, day) if row.kind not in NOT_READ and row.entry]
    reads = all_read(farm, rows)
    fields = {field.id: field.name for field in land.fields(farm.id, retired=True)}
    ordered = sorted(reads, key=lambda one: (fields.get(one.row.field, "~"), _time(one.row), one.row.number))
    return Spread(
        day,
        tuple(one for one in ordered if one.unusual),
        tuple(one for one in ordered if not one.unusual),
    )


def of_entry(farm: Farm, entry: UUID) -> Read | None:
    """One entry, by its id or its handle."""
    row = book.of_entry(farm.id, entry)
    return all_read(farm, [row])[0] if row is not None else None


def days_unread(farm: Farm, since: date) -> list[tuple[date, int]]:
    """Days since then with entries that nobody has marked, and how many."""
    counts: dict[date, int] = {}
    marked = set(
        Verdict.objects.filter(farm_id=farm.id, mark__in=("initialled", "put_by")).values_list(
            "entry", flat=True
        )
    )
    found = book.rows(farm.id).filter(day__gte=since).exclude(kind__in=NOT_READ)
    for day, entry in found.exclude(entry=None).values_list("day", "entry"):
        if entry not in marked:
            counts[day] = counts.get(day, 0) + 1
    return sorted(counts.items(), reverse=True)


def _time(row: Row) -> datetime:
    return row.done_at or row.made_at or row.arrived_at


def all_read(farm: Farm, rows: Iterable[Row]) -> list[Read]:
    """Rows of the book as they stand at the desk, in the order given."""
    rows = list(rows)
    verdicts = status.verdicts(farm.id, [row.entry for row in rows if row.entry])
    phones = {phone.id: phone for phone in Phone.objects.filter(farm_id=farm.id)}
    fields = {field.id: field for field in land.fields(farm.id, retired=True)}
    skews = {(one.phone_id, one.boot): one.skew_ms for one in Boot.objects.filter(phone__farm_id=farm.id)}
    out = []
    for row in rows:
        entry = book.entry_of(row)
        verdict = verdicts.get(row.entry)
        out.append(
            Read(
                row,
                entry,
                phones[row.phone_id],
                verdict.mark if verdict else "unread",
                bool(verdict and verdict.struck),
                verdict.corrected_by if verdict else None,
                tuple(_reasons(row, entry, verdict, fields, skews)),
            )
        )
    return out


def _reasons(
    row: Row,
    entry: Entry | None,
    verdict: Verdict | None,
    fields: Mapping[UUID, Field],
    skews: Mapping[tuple[UUID, UUID], int],
) -> Iterable[Reason]:
    if row.outcome == "held":
        yield Reason(f"held.{row.code}", {})
    for code in (verdict.findings if verdict else None) or ():
        yield Reason(f"noticed.{code}", {})
    if entry is None:
        return
    for one in outside(entry.body):
        figures = {"value": one.value, "low": one.span.low, "high": one.span.high, "unit": one.span.unit}
        yield Reason("outside", {"key": one.key} | figures)
    away = _away_m(entry, fields)
    if away is not None:
        yield Reason("off_the_field", {"metres": round(away)})
    skew = skews.get((row.phone_id, entry.boot)) if entry.boot else None
    if skew is not None and abs(skew) > CLOCK_OFF_MS:
        yield Reason("clock_ahead" if skew > 0 else "clock_behind", {"count": abs(round(skew / 60_000))})
    if entry.made_at.utc is not None and entry.made_at.utc > row.arrived_at + timedelta(
        milliseconds=CLOCK_OFF_MS
    ):
        yield Reason("from_the_future", {})


def _away_m(entry: Entry, fields: Mapping[UUID, Field]) -> float | None:
    """How far outside its field an entry was made, None where it was inside or that can't be told."""
    field = fields.get(entry.field) if entry.field else None
    if field is None or field.outline is None or entry.at is None:
        return None
    point = (float(entry.at.lat), float(entry.at.lon))
    if contains(point, field.outline):
        return None
    away = distance_to_edge_m(point, field.outline)
    doubt = radius95(float(entry.at.r68_m)).r95_m if entry.at.r68_m else 0.0
    return away if away > doubt else None
