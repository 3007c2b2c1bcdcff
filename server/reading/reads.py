"""A farm-day as the manager reads it: by field and time, the unusual first, each with its reason."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime
from uuid import UUID

from server.book import reads as book
from server.book.models import Row
from server.land import reads as land
from server.people.models import Farm, Phone
from server.reading import sealing
from server.reading.reasons import Against, Reason, against, reasons
from server.reading.sealing import Sealed
from server.status import reads as status
from server.status.following import followed
from server.status.models import Marking, Verdict
from shared.words.bodies.reading import Reading
from shared.words.entry import Entry

NOT_READ = ("reading", "seal", "restored", "query", "job")
"""Kinds that the desk itself makes of the reading: they are not read in turn."""
SETTLED = ("initialled", "put_by")


@dataclass(frozen=True, slots=True)
class Read:
    """An entry as it stands on the spread. ``entry`` None: it can't be read, it is held. ``turn`` moves with
    every word that the desk or anybody else says of it: a form made at another turn is stale."""

    row: Row
    entry: Entry | None
    phone: Phone
    mark: str
    struck: bool
    corrected_by: UUID | None
    reasons: tuple[Reason, ...]
    turn: int
    opened: bool | None = None
    """Of an initialled one, where it was asked for: whether it stood open, or was initialled with the others."""

    @property
    def unusual(self) -> bool:
        return bool(self.reasons)

    @property
    def id(self) -> UUID | None:
        """What a mark names: the entry's id, or its handle."""
        return self.row.entry

    @property
    def settled(self) -> bool:
        return self.mark in SETTLED

    @property
    def margin(self) -> str:
        """The mark as the margin says it: of an initialled one also how it was initialled."""
        if self.mark != "initialled" or self.opened is None:
            return self.mark
        return "initialled_opened" if self.opened else "initialled_together"

    @property
    def at(self) -> datetime:
        """When it was done, else written, else taken in."""
        return self.row.done_at or self.row.made_at or self.row.arrived_at


@dataclass(frozen=True, slots=True)
class Spread:
    """A day's entries: the unusual first, then the rest, then what came in after the day was sealed, each by field
    and time."""

    day: date
    unusual: tuple[Read, ...]
    rest: tuple[Read, ...]
    addendum: tuple[Read, ...] = ()
    seal: Sealed | None = None

    @property
    def everything(self) -> tuple[Read, ...]:
        return (*self.unusual, *self.rest, *self.addendum)

    @property
    def unread(self) -> tuple[Read, ...]:
        """What all may be initialled together: the usual that nobody has marked."""
        usual = (one for one in (*self.rest, *self.addendum) if not one.unusual)
        return tuple(one for one in usual if not one.settled)

    @property
    def unusual_open(self) -> tuple[Read, ...]:
        return tuple(one for one in self.everything if one.unusual and not one.settled)


@dataclass(frozen=True, slots=True)
class Initials:
    """Who initialled an entry last, when, and whether they had opened it."""

    by: UUID
    at: datetime
    opened: bool


def spread(farm: Farm, day: date, now: datetime) -> Spread:
    """The entries of a farm-day."""
    rows = [row for row in book.of_day(farm.id, day) if row.kind not in NOT_READ and row.entry]
    rows += _held_without_day(farm, rows, day)
    read = _with_initials(farm, all_read(farm, rows, against(farm, rows, now)))
    names = {field.id: field.name for field in land.fields(farm.id, retired=True)}
    ordered = sorted(read, key=lambda one: (names.get(one.row.field, "~"), one.at, one.row.number))
    seal = sealing.seal_of(farm.id, day)
    late = {one.row.number for one in ordered if seal is not None and one.row.number > seal.body.last}
    return Spread(
        day,
        tuple(one for one in ordered if one.unusual and one.row.number not in late),
        tuple(one for one in ordered if not one.unusual and one.row.number not in late),
        tuple(one for one in ordered if one.row.number in late),
        seal,
    )


def _with_initials(farm: Farm, read: list[Read]) -> list[Read]:
    """Each initialled one with whether it had been opened for it."""
    marks = initials(farm, [one.id for one in read if one.id is not None and one.mark == "initialled"])
    opened = {entry: one.opened for entry, one in marks.items()}
    return [replace(one, opened=opened.get(one.id)) if one.id in opened else one for one in read]


def _held_without_day(farm: Farm, rows: Iterable[Row], day: date) -> list[Row]:
    """Held lines that tell of no day stand with the day on which they came in."""
    here = {row.number for row in rows}
    held = book.held(farm.id).filter(day=None, arrived_at__date__range=(day, day))
    return [row for row in held if row.number not in here and row.entry]


def of_entry(farm: Farm, entry: UUID, now: datetime) -> Read | None:
    """One entry, by its id or its handle."""
    row = book.of_entry(farm.id, entry)
    return all_read(farm, [row], against(farm, [row], now))[0] if row is not None else None


def days_unread(farm: Farm, since: date) -> list[tuple[date, int]]:
    """Days since then with entries that nobody has marked, and how many; the last first."""
    followed(farm.id)
    settled = Verdict.objects.filter(farm_id=farm.id, mark__in=SETTLED).values("entry")
    found = book.rows(farm.id).filter(day__gte=since).exclude(kind__in=NOT_READ)
    counts: dict[date, int] = {}
    for day in found.exclude(entry=None).exclude(entry__in=settled).values_list("day", flat=True):
        counts[day] = counts.get(day, 0) + 1
    return sorted(counts.items(), reverse=True)


def held_unsettled(farm: UUID) -> int:
    """How many entries are held and wait for a word of the desk."""
    followed(farm)
    return Verdict.objects.filter(farm_id=farm, outcome="held").exclude(mark__in=SETTLED).count()


def all_read(farm: Farm, rows: Iterable[Row], told: Against | None = None) -> list[Read]:
    """Rows of the book as they stand at the desk, in the order given; why each is unusual only where it is told
    what they are read against."""
    rows = list(rows)
    verdicts = status.verdicts(farm.id, [row.entry for row in rows if row.entry])
    phones = {phone.id: phone for phone in Phone.objects.filter(farm_id=farm.id)}
    return [_read(row, verdicts.get(row.entry), phones[row.phone_id], told) for row in rows]


def _read(row: Row, verdict: Verdict | None, phone: Phone, told: Against | None) -> Read:
    entry = book.entry_of(row)
    findings = (verdict.findings if verdict else None) or ()
    return Read(
        row,
        entry,
        phone,
        verdict.mark if verdict else "unread",
        bool(verdict and verdict.struck),
        verdict.corrected_by if verdict else None,
        reasons(row, entry, findings, told) if told is not None else (),
        verdict.turn if verdict else 0,
    )


def initials(farm: Farm, entries: Iterable[UUID]) -> Mapping[UUID, Initials]:
    """Who initialled each of these entries last, by the readings that mark them."""
    followed(farm.id)
    asked = set(entries)
    marking = Marking.objects.filter(farm_id=farm.id, entry__in=asked).values("reading")
    gone = Verdict.objects.filter(farm_id=farm.id, struck=True).values("entry")
    found = book.looked_up(farm.id).filter(entry__in=marking, outcome="kept").exclude(entry__in=gone)
    out: dict[UUID, Initials] = {}
    for row in found.order_by("number"):
        entry = book.entry_of(row)
        if entry is None or not isinstance(entry.body, Reading) or entry.body.mark == "put_by":
            continue
        at = row.made_at or row.arrived_at
        out |= {one: Initials(entry.by, at, entry.body.opened) for one in entry.body.entries if one in asked}
    return out
