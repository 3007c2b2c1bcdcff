"""Making again, step by step, what follows from a farm's book. Each step is one transaction with the note of how far it
is, so that one that was ended goes on where it was, and a server beside it goes on with its work in between."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import datetime
from uuid import UUID

from django.db import transaction

from server.book import reads as book
from server.land import fold as land
from server.people.models import Farm
from server.status import asked, dues, fields, pictures, piles, verdicts
from server.status.following import catch_up
from server.status.holdings import ground_of
from server.status.models import FieldYear, Rebuilding

ROWS_AT_ONCE = 2_000
READINGS_AT_ONCE = 100
FIELDS_AT_ONCE = 10
STAGES = ("land", "readings", "rows", "fields", "rest")


def steps(farm: UUID) -> int:
    """How many rows and fields there are to go through."""
    return Farm.objects.get(id=farm).number + len(ground_of(farm).fields)


def rebuilt(farm: UUID, now: datetime) -> Iterator[int]:
    """Do it, and tell after each step how many rows and fields are done, those of an earlier beginning too."""
    while True:
        with transaction.atomic():
            here = Farm.objects.select_for_update().get(id=farm)
            note = _note(here)
            # What came since the beginning follows in its own way, before a step looks at the book.
            while here.folded < here.number:
                catch_up(here, now)
            _STEPS[note.stage](here, note, now)
            if note.stage == "":
                note.delete()
            else:
                note.save()
        yield _done(note)
        if note.stage == "":
            return


def _note(farm: Farm) -> Rebuilding:
    note = Rebuilding.objects.filter(farm=farm).first()
    if note is None:
        note = Rebuilding(farm=farm, stage=STAGES[0], number=farm.number)
        farm.folded = farm.number
        Farm.objects.filter(id=farm.id).update(folded=farm.number)
    return note


def _done(note: Rebuilding) -> int:
    return note.done + (note.number if note.stage in ("fields", "rest", "") else 0)


def _next(note: Rebuilding) -> None:
    place = STAGES.index(note.stage) + 1
    note.stage = STAGES[place] if place < len(STAGES) else ""
    if note.stage in ("readings", "rows", "fields"):
        note.done, note.field = 0, None


def _land(farm: Farm, note: Rebuilding, now: datetime) -> None:
    land.rebuild(farm)
    asked.rebuild(farm)
    _next(note)


def _readings(farm: Farm, note: Rebuilding, now: datetime) -> None:
    """What each reading marks; ``done`` is the number of the last."""
    rows = list(book.of_kinds(farm.id, ("reading",)).filter(number__gt=note.done)[:READINGS_AT_ONCE])
    verdicts.note_again(farm.id, list(book.all_written(rows)))
    if len(rows) < READINGS_AT_ONCE:
        _next(note)
    else:
        note.done = rows[-1].number


def _rows(farm: Farm, note: Rebuilding, now: datetime) -> None:
    """What each row speaks of, which photos it names, and how it stands at the desk."""
    found = book.looked_up(farm.id).filter(number__gt=note.done).order_by("number")
    rows = list(found[:ROWS_AT_ONCE])
    if not rows:
        note.number = note.done
        _next(note)
        return
    first, last = rows[0].number, rows[-1].number
    news = [book.news_of(row) for row in rows]
    fields.note_again(farm.id, first, last, (value for one in news if (value := one.written()) is not None))
    pictures.note_again(farm, first, last, news)
    verdicts.settle_again(farm, rows)
    note.done = last


def _fields(farm: Farm, note: Rebuilding, now: datetime) -> None:
    """How each field stands; ``field`` is the last that is done."""
    ground = ground_of(farm.id)
    left = sorted(one for one in ground.fields if note.field is None or one > note.field)
    for one in left[:FIELDS_AT_ONCE]:
        fields.gather(farm, one, ground)
        note.field = one
    note.done += len(left[:FIELDS_AT_ONCE])
    if len(left) <= FIELDS_AT_ONCE:
        FieldYear.objects.filter(farm_id=farm.id).exclude(field__in=ground.fields).delete()
        _next(note)


def _rest(farm: Farm, note: Rebuilding, now: datetime) -> None:
    ground = ground_of(farm.id)
    piles.fold(farm, {one.id for one in ground.piles}, ground)
    dues.make(farm, now, None, ground)
    _next(note)


_STEPS: dict[str, Callable[[Farm, Rebuilding, datetime], None]] = {
    "land": _land,
    "readings": _readings,
    "rows": _rows,
    "fields": _fields,
    "rest": _rest,
}
