"""Entries as the pages tell them: in words, with the names that the farm knows."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from server.land import reads as land
from server.people import reads as people
from server.reading.reads import Read
from server.reading.reasons import Reason
from server.web import terms
from server.web.desk import Desk
from shared.languages import say
from shared.rules import worded
from shared.status.noticed import told
from shared.status.telling import Telling, telling
from shared.words.bodies.gate import Load
from shared.words.finding import Finding
from shared.words.moment import in_zone

Names = Callable[[UUID], str | None]


@dataclass(frozen=True, slots=True)
class Told:
    """A read entry with its words: what, who, when, and why it is unusual."""

    read: Read
    telling: Telling | None
    by: str
    field: str
    at: datetime
    sorts: tuple[tuple[str, str], ...]
    """Why it is unusual: each sort of reason by its code, with its sentence."""

    @property
    def reasons(self) -> tuple[str, ...]:
        return tuple(text for _, text in self.sorts)


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
    where = _where(read, names) or say(desk.language, "reading.no_field")
    return Told(
        read,
        telling(desk.language, read.entry.body, names) if read.entry is not None else None,
        (names(row.by) if row.by else None) or nobody,
        where,
        in_zone(read.at, desk.zone),
        tuple({_sort(one): _reason(desk.language, one, where) for one in read.reasons}.items()),
    )


def _sort(reason: Reason) -> str:
    return reason.key if reason.finding is None else reason.finding.code


def _where(read: Read, names: Names) -> str:
    """The field that an entry is of; of a load, where it went."""
    if read.row.field:
        return names(read.row.field) or ""
    body = read.entry.body if read.entry is not None else None
    return ", ".join(names(place) or "" for place, _ in body.to) if isinstance(body, Load) else ""


def _reason(language: str, reason: Reason, where: str) -> str:
    if reason.finding is not None:
        return worded(reason.finding, language, where).says
    if reason.key.startswith("noticed."):
        subject = say(language, "reading.this_entry")
        return told(Finding(reason.key.removeprefix("noticed."), subject, "reminder"), language)
    facts = dict(reason.facts)
    if "key" in facts:
        facts["key"] = terms.capital(say(language, f"entries.key.{facts['key']}"))
    return say(language, reason.key, **facts)
