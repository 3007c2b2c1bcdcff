"""The farm's papers as they stand: notices, approvals, plans, licences, agreements, visits, each with its dates."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from uuid import UUID

from server.book import reads as book
from server.people.models import Farm
from server.people.reads import hands
from server.reading import writes
from server.reading.reads import Read, all_read
from server.reading.writes import CanNotBeTaken, NoSuchEntry, Replaced
from server.status.family import family_of
from shared.status.fact import Fact
from shared.status.standing import standing
from shared.words.bodies.desk import Document


@dataclass(frozen=True, slots=True)
class Paper:
    """A paper in force, with the turn at which it is changed."""

    fact: Fact
    body: Document
    turn: int

    @property
    def ends(self) -> date | None:
        return self.body.expires_on

    def sort_key(self) -> tuple[date, date, str]:
        """What is to be put right first, then what ends first."""
        return (self.body.cure_by or date.max, self.body.expires_on or date.max, self.body.title)


def papers(farm: Farm) -> list[Paper]:
    """Every paper that is not struck, as it was last corrected; what presses first."""
    rows = list(book.of_kinds(farm.id, ("document",)).exclude(entry=None))
    family = family_of(farm.id, [row.entry for row in rows if row.entry is not None])
    written = [value for row in family if (value := book.written(row)) is not None]
    facts = {one.id: one for one in standing(written, hands(farm.id)).facts if not one.struck}
    reads: Sequence[Read] = all_read(farm, rows)
    found = [
        Paper(facts[one.id], facts[one.id].body, one.turn)  # type: ignore[arg-type]
        for one in reads
        if one.id in facts and isinstance(facts[one.id].body, Document)
    ]
    return sorted(found, key=Paper.sort_key)


def put_right(farm: Farm, person: UUID, paper: UUID, turn: int, why: str, now: datetime) -> None:
    """What a visit found is put right: its day is taken off, with what was done as the reason.

    Raises ``NoSuchEntry``, ``CanNotBeTaken``, ``SpokenOfSince``."""
    found = next((one for one in papers(farm) if one.fact.id == paper), None)
    if found is None:
        raise NoSuchEntry
    if found.body.cure_by is None:
        raise CanNotBeTaken
    body = replace(found.body, cure_by=None)
    writes.correct(farm, person, paper, turn, Replaced(body, found.fact.field, why), now)
