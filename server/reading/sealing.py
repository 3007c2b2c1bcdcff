"""The day's seal: one root over every line since the last seal, itself a line of the book (contract, W21)."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from django.db import transaction
from django.db.models import QuerySet

from server.book import reads as book
from server.book.models import Row
from server.intake import desk
from server.intake.desk import Draft
from server.intake.writes import locked
from server.people.reads import desk_of
from shared.errors import GoodgroundError
from shared.sync import merkle
from shared.words.bodies.desk import Seal

AT_ONCE = 20


class SealedSince(GoodgroundError):
    """Somebody sealed since the page was made: it is looked at again first."""

    code = "sealed_since"


class NothingToSeal(GoodgroundError):
    """Nothing was written since the last seal but the seal itself."""

    code = "nothing_to_seal"


@dataclass(frozen=True, slots=True)
class Sealed:
    """A seal as it stands in the book."""

    row: Row
    body: Seal

    @property
    def at(self) -> datetime:
        return self.row.made_at or self.row.arrived_at


def seal_day(farm: UUID, person: UUID, day: date, seen: str, now: datetime) -> Row:
    """Seal up to now as the reading of this day. ``seen`` is the root of the last seal that the page showed.

    Raises ``SealedSince``, ``NothingToSeal``."""
    with transaction.atomic():
        here = locked(desk_of(farm).id)
        before = last_seal(farm)
        if (before[1].root if before is not None else "") != seen:
            raise SealedSince
        if before is not None and before[0].number == here.farm.number:
            raise NothingToSeal
        row = seal(farm, person, now, day)
        if row is None:
            raise NothingToSeal
        return row


def seal(farm: UUID, person: UUID, now: datetime, day: date | None = None) -> Row | None:
    """Seal the numbers after the last seal up to now, under the farm's row; None where there is nothing to seal.

    The last seal's own line is the first that the next one covers, so that no line stands outside."""
    with transaction.atomic():
        here = locked(desk_of(farm).id)
        before = last_seal(farm)
        first = before[1].last + 1 if before is not None else 1
        last = here.farm.number
        if first > last:
            return None
        rows = book.rows(farm, first - 1, last - first + 1)
        root = merkle.root([book.chained(row).text().encode() for row in rows.iterator()])
        body = Seal(first, last, root, before[0].entry if before is not None else None, day)
        return desk.write(farm, person, [Draft(body)], now)[0]


def last_seal(farm: UUID) -> tuple[Row, Seal] | None:
    """The last seal in the book and what it covers, None where there is none."""
    return next(((one.row, one.body) for one in _seals(_rows(farm).order_by("-number"))), None)


def seal_of(farm: UUID, day: date) -> Sealed | None:
    """The first seal that was set when this day, or a later one, had been read: what came in for the day after it
    is an addendum. None while the day is not sealed."""
    # A day is never sealed before it has begun, so that no earlier line can be its seal.
    found = _rows(farm).filter(day__gte=day).order_by("number")
    return next((one for one in _seals(found) if one.body.day is not None and one.body.day >= day), None)


def covering(farm: UUID, number: int) -> Sealed | None:
    """The seal that covers this book number, None where none does yet."""
    found = _seals(_rows(farm).filter(number__gt=number).order_by("number"))
    return next((one for one in found if one.body.first <= number <= one.body.last), None)


def seals(farm: UUID) -> Iterator[Sealed]:
    """Every seal of the book, the first first."""
    return _seals(_rows(farm).order_by("number"))


def _rows(farm: UUID) -> QuerySet[Row]:
    return Row.objects.filter(farm_id=farm, kind="seal", outcome="kept", phone__desk=True)


def _seals(rows: QuerySet[Row]) -> Iterator[Sealed]:
    for row in rows.iterator(AT_ONCE):
        entry = book.entry_of(row)
        if entry is not None and isinstance(entry.body, Seal):
            yield Sealed(row, entry.body)
