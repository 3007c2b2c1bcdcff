"""The manager's marks, each an entry written at the desk."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from django.db import transaction

from server.book import reads as book
from server.book.models import Row
from server.intake.desk import Draft, write, write_one
from server.people.models import Farm
from server.reading.reads import Read, all_read, spread
from shared.errors import GoodgroundError
from shared.words.bodies import Body
from shared.words.bodies.reading import Correction, Query, Reading, Strike

MOST_AT_ONCE = 500
"""How many ids one reading names, so that it stays within the size of an entry."""


class CanNotBeTaken(GoodgroundError):
    """What is no JSON can't be taken as it is: it is mended or put by."""

    code = "can_not_be_taken"


class NoSuchEntry(GoodgroundError):
    code = "no_such_entry"


class SpokenOfSince(GoodgroundError):
    """Somebody marked, corrected or asked about it since the page was made: it is looked at again first."""

    code = "spoken_of_since"


class NoSuchMark(GoodgroundError):
    """A mark that no form of ours sends."""

    code = "no_such_mark"


@dataclass(frozen=True, slots=True)
class Initialled:
    """How many were initialled together now, and how many were left: somebody had marked them since the page
    was made, or they have become unusual."""

    together: int
    before: int


@dataclass(frozen=True, slots=True)
class Replaced:
    """What stands in an entry's place by a correction, and why."""

    body: Body
    field: UUID | None
    why: str


def initial_the_rest(farm: Farm, person: UUID, day: date, shown: Iterable[UUID], now: datetime) -> Initialled:
    """Initial together those of the ``shown`` entries of a day that are usual and that nobody has marked yet.

    Only what stood on the page is initialled: what came in since is left for the next look, and what is unusual
    is never initialled unopened, whoever asks."""
    asked = list(dict.fromkeys(shown))
    unread = {one.id for one in spread(farm, day, now).unread}
    with transaction.atomic():
        _one_at_a_time(farm)
        settled = {one.id for one in all_read(farm, book.of_entries(farm.id, asked)) if one.settled}
        open_ones = [one for one in asked if one in unread and one not in settled]
        batches = range(0, len(open_ones), MOST_AT_ONCE)
        readings = [tuple(open_ones[start : start + MOST_AT_ONCE]) for start in batches]
        drafts = [Draft(Reading(batch, "initialled", opened=False)) for batch in readings]
        if drafts:
            write(farm.id, person, drafts, now)
    return Initialled(len(open_ones), len(asked) - len(open_ones))


def initial(farm: Farm, person: UUID, seen: Mapping[UUID, int], now: datetime) -> Row:
    """Initial entries that stood open on one page: each with the turn at which it was seen.

    Raises ``NoSuchEntry``, ``SpokenOfSince``."""
    with transaction.atomic():
        _one_at_a_time(farm)
        found = _found(farm, seen)
        entries = tuple(one.id for one in found if one.id is not None)
        return write_one(farm.id, person, Draft(Reading(entries, "initialled", opened=True)), now)


def take_as_is(farm: Farm, person: UUID, entry: UUID, turn: int, why: str, now: datetime) -> Row:
    """Take a held entry as it is. Raises ``CanNotBeTaken`` for what is no entry at all."""
    with transaction.atomic():
        _one_at_a_time(farm)
        (read,) = _found(farm, {entry: turn})
        if read.entry is None:
            raise CanNotBeTaken
        body = Reading((entry,), "taken_as_is", opened=True, why=why or None)
        return write_one(farm.id, person, Draft(body), now)


def put_by(farm: Farm, person: UUID, entry: UUID, turn: int, why: str, now: datetime) -> Row:
    """Put an entry by, with a reason. Nothing is deleted."""
    with transaction.atomic():
        _one_at_a_time(farm)
        _found(farm, {entry: turn})
        return write_one(farm.id, person, Draft(Reading((entry,), "put_by", opened=True, why=why)), now)


def query(farm: Farm, person: UUID, entry: UUID, turn: int, asked: Query, now: datetime) -> Row:
    """Ask whoever made an entry: a stock question by its key, own words, or both."""
    with transaction.atomic():
        _one_at_a_time(farm)
        (read,) = _found(farm, {entry: turn})
        return write_one(farm.id, person, Draft(asked, field=read.row.field, names=entry), now)


def _one_at_a_time(farm: Farm) -> None:
    """Two managers' marks wait for each other, so that each is told what the other did."""
    Farm.objects.select_for_update().only("id").get(id=farm.id)


def _found(farm: Farm, seen: Mapping[UUID, int]) -> list[Read]:
    """These entries as they stand. Raises ``NoSuchEntry``, ``SpokenOfSince``."""
    found = all_read(farm, book.of_entries(farm.id, seen))
    if len(found) != len(seen) or not found:
        raise NoSuchEntry
    if any(one.id is None or one.turn != seen[one.id] for one in found):
        raise SpokenOfSince
    return found


def strike(farm: Farm, person: UUID, entry: UUID, turn: int, why: str, now: datetime) -> Row:
    """Rule an entry out, with a reason; it stays readable, ruled through."""
    with transaction.atomic():
        _one_at_a_time(farm)
        (read,) = _found(farm, {entry: turn})
        if read.entry is None:
            raise CanNotBeTaken
        kind = read.row.kind or read.entry.kind
        body = Strike(kind, why)
        return write_one(farm.id, person, Draft(body, field=read.row.field, names=_newest(read)), now)


def correct(farm: Farm, person: UUID, entry: UUID, turn: int, replaced: Replaced, now: datetime) -> Row:
    """Put another body, or another field, in an entry's place, with a reason; the first stays readable."""
    with transaction.atomic():
        _one_at_a_time(farm)
        (read,) = _found(farm, {entry: turn})
        if read.entry is None or read.struck:
            raise CanNotBeTaken
        was = read.entry
        draft = Draft(
            Correction(was.kind, replaced.body, replaced.why),
            field=replaced.field,
            part=was.part if replaced.field == was.field else None,
            land=was.land if replaced.field == was.field else None,
            names=_newest(read),
            done_at=was.done_at,
            done_by=was.done_by,
            round=was.round,
            stop=was.stop,
        )
        return write_one(farm.id, person, draft, now)


def _newest(read: Read) -> UUID:
    """What a further change names: the change that is in force, else the entry itself."""
    assert read.id is not None
    return read.corrected_by or read.id
