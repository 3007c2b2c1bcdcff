"""A fact: what an entry says now, after corrections and strikes."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal
from uuid import UUID
from zoneinfo import ZoneInfo

from shared.words.bodies import Body
from shared.words.entry import Photo, Written
from shared.words.moment import Moment, day_of
from shared.words.place import Position

Order = tuple[bool, int]
"""Weight between facts: book numbers first, a phone's own unsent lines last (``Written.rank``)."""
FactMark = Literal["unread", "initialled", "taken_as_is", "put_by"]


@dataclass(frozen=True, slots=True)
class Hands:
    """Whose word counts without another's initials. ``managers`` are all who are or ever were manager or
    owner (a past correction keeps its force when a role changes). ``desk`` is the desk's enrolment; None
    where it isn't known (on a phone): then an entry without a steady clock is taken as the desk's."""

    managers: frozenset[UUID] = frozenset()
    desk: UUID | None = None

    def at_desk(self, written: Written) -> bool:
        return written.entry.boot is None if self.desk is None else written.phone == self.desk


@dataclass(frozen=True, slots=True)
class Initials:
    """The last mark that a reading put on an entry, whose it is, and when."""

    mark: FactMark
    by: UUID
    at: Moment


@dataclass(frozen=True, slots=True)
class Fact:
    """What an entry says now. ``id`` is the original entry's; body, field, part, round, stop and done_at
    are those in force; who, where and when it was written stay the original's. ``before`` is the original
    body where another has replaced it (it is printed ruled through). ``struck_by`` None: in force."""

    id: UUID
    kind: str
    body: Body
    field: UUID | None
    part: UUID | None
    round: UUID | None
    stop: int | None
    done_at: Moment | date | None
    made_at: Moment
    at: Position | None
    by: UUID
    done_by: UUID | str | None
    land: int | None
    order: Order
    phone: UUID
    line: int
    names: UUID | None = None
    sheets: tuple[str, ...] = ()
    from_paper: bool = False
    photos: tuple[Photo, ...] = ()
    arrived_at: Moment | None = None
    corrected_by: UUID | None = None
    corrected_why: str = ""
    before: Body | None = None
    struck_by: UUID | None = None
    struck_why: str = ""
    mark: FactMark = "unread"
    initialled_by: UUID | None = None
    initialled_at: Moment | None = None

    @property
    def number(self) -> int | None:
        """Its place in the farm's book, None while it is only on its phone."""
        return None if self.order[0] else self.order[1]

    @property
    def struck(self) -> bool:
        return self.struck_by is not None

    def day(self, zone: ZoneInfo) -> date | None:
        """The farm-day it belongs to: when it was done, else when it was written, else when it arrived; the first
        of these that a record can be of. None where none is such a day."""
        return day_of((self.done_at, self.made_at, self.arrived_at), zone)

    def moment(self) -> Moment:
        """The time it tells of, where a time was given with the day; else when it was written."""
        return self.done_at if isinstance(self.done_at, Moment) else self.made_at
