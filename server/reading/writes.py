"""The manager's marks, each an entry written at the desk."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from server.book.models import Row
from server.intake.desk import Draft, write, write_one
from server.people.models import Farm
from server.reading.reads import Read, of_entry, spread
from shared.errors import GoodgroundError
from shared.words.bodies.reading import Query, Reading

MOST_AT_ONCE = 500
"""How many ids one reading names, so that it stays within the size of an entry."""


class CanNotBeTaken(GoodgroundError):
    """What is no JSON can't be taken as it is: it is mended or put by."""

    code = "can_not_be_taken"


class NoSuchEntry(GoodgroundError):
    code = "no_such_entry"


@dataclass(frozen=True, slots=True)
class Initialled:
    """How many were initialled together now, and how many somebody had marked since the page was made."""

    together: int
    before: int


def initial_the_rest(farm: Farm, person: UUID, day: date, shown: Iterable[UUID], now: datetime) -> Initialled:
    """Initial together those of the ``shown`` entries of a day that are usual and that nobody has marked yet.

    Only what stood on the page is initialled: what came in since is left for the next look."""
    asked = list(dict.fromkeys(shown))
    unread = {one.id for one in spread(farm, day).unread}
    open_ones = [one for one in asked if one in unread]
    for start in range(0, len(open_ones), MOST_AT_ONCE):
        batch = tuple(open_ones[start : start + MOST_AT_ONCE])
        write(farm.id, person, [Draft(Reading(batch, "initialled", opened=False))], now)
    return Initialled(len(open_ones), len(asked) - len(open_ones))


def initial(farm: Farm, person: UUID, entry: UUID, now: datetime) -> Row:
    """Initial one entry that was opened."""
    _found(farm, entry)
    return write_one(farm.id, person, Draft(Reading((entry,), "initialled", opened=True)), now)


def take_as_is(farm: Farm, person: UUID, entry: UUID, why: str | None, now: datetime) -> Row:
    """Take a held entry as it is. Raises ``CanNotBeTaken`` for what is no entry at all."""
    read = _found(farm, entry)
    if read.entry is None:
        raise CanNotBeTaken
    return write_one(
        farm.id, person, Draft(Reading((entry,), "taken_as_is", opened=True, why=why or None)), now
    )


def put_by(farm: Farm, person: UUID, entry: UUID, why: str, now: datetime) -> Row:
    """Put an entry by, with a reason. Nothing is deleted."""
    _found(farm, entry)
    return write_one(farm.id, person, Draft(Reading((entry,), "put_by", opened=True, why=why)), now)


def query(farm: Farm, person: UUID, entry: UUID, ask: str | None, text: str | None, now: datetime) -> Row:
    """Ask whoever made an entry: a stock question by its key, own words, or both."""
    read = _found(farm, entry)
    draft = Draft(Query(ask or None, text or None), field=read.row.field, names=entry)
    return write_one(farm.id, person, draft, now)


def _found(farm: Farm, entry: UUID) -> Read:
    read = of_entry(farm, entry)
    if read is None:
        raise NoSuchEntry
    return read
