"""Entries as the pages tell them: in words, with the names that the farm knows."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from server.land import reads as land
from server.people import reads as people
from server.reading.reads import Read, Reason
from server.web.desk import Desk
from shared.languages import say
from shared.status.noticed import told
from shared.status.telling import Telling, choice, telling
from shared.words.finding import Finding

Names = Callable[[UUID], str | None]


@dataclass(frozen=True, slots=True)
class Told:
    """A read entry with its words: what, who, when, and why it is unusual."""

    read: Read
    telling: Telling | None
    by: str
    field: str
    at: datetime
    reasons: tuple[str, ...]


def names_of(desk: Desk) -> Names:
    """What people, fields, parts, piles, towns and trucks of the farm are called."""
    farm = desk.farm.id
    known: dict[UUID, str] = {}
    for kind in (land.fields, land.parts, land.piles, land.buffers, land.towns, land.haulers):
        known |= {one.id: one.name for one in kind(farm, retired=True)}
    known |= {one.id: one.label for one in land.vehicles(farm, retired=True)}
    known |= {one.id: one.name for one in people.people(farm, retired=True)}
    return known.get


def told_all(desk: Desk, reads: Iterable[Read], names: Names | None = None) -> list[Told]:
    """Read entries in the words of whoever looks at the page."""
    named = names or names_of(desk)
    return [_told(desk, one, named) for one in reads]


def _told(desk: Desk, read: Read, names: Names) -> Told:
    row = read.row
    nobody = say(desk.language, "entries.word.nobody_known")
    return Told(
        read,
        telling(desk.language, read.entry.body, names) if read.entry is not None else None,
        (names(row.by) if row.by else None) or nobody,
        (names(row.field) if row.field else None) or say(desk.language, "reading.no_field"),
        (row.done_at or row.made_at or row.arrived_at).astimezone(desk.zone),
        tuple(_reason(desk.language, one) for one in read.reasons),
    )


def _reason(language: str, reason: Reason) -> str:
    if reason.key.startswith("noticed."):
        subject = say(language, "reading.this_entry")
        return told(Finding(reason.key.removeprefix("noticed."), subject, "reminder"), language)
    facts = dict(reason.facts)
    if "key" in facts:
        facts["key"] = say(language, f"entries.key.{facts['key']}")
    return say(language, f"reading.reason.{reason.key}", **facts)


def mark_word(language: str, mark: str) -> str:
    """The word for a margin mark."""
    return say(language, f"reading.mark.{mark}") if mark != "initialled" else choice(language, mark)
