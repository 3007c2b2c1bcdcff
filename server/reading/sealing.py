"""The day's seal: one root over every line since the last seal, itself a line of the book (contract, W21)."""

from __future__ import annotations

from datetime import date, datetime
from uuid import UUID

from django.db import transaction

from server.book import reads as book
from server.book.models import Row
from server.intake import desk
from server.intake.desk import Draft
from server.intake.writes import locked
from server.people.reads import desk_of
from shared.sync import merkle
from shared.words.bodies.desk import Seal


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
    for row in book.of_kinds(farm, ("seal",)).filter(outcome="kept", phone__desk=True).order_by("-number"):
        entry = book.entry_of(row)
        if entry is not None and isinstance(entry.body, Seal):
            return row, entry.body
    return None
