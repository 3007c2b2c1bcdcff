"""Where a row is looked for: its kind, field, day and the rest, filled in from its bytes once it is in the book.

A push writes the ledger and no more; whoever looks rows up by what they say has the rest of the book placed first.
See docs/decisions.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db import transaction
from django.db.models import F

from server.book.bulk import update
from server.book.models import Row
from server.book.news import arrived
from server.book.said import entry_of
from server.people.models import Farm
from shared.words.moment import Moment, day_of

AT_ONCE = 2_000
"""Rows placed in one transaction: what a phone that pushes meanwhile has to wait for."""

PLACE = ("kind", "field", "by", "made_at", "done_at", "round", "names", "day")
CARRIED = "carried"
"""Held though nothing is wrong with it: its phone was stopped or forgotten."""


_looking: ContextVar[frozenset[UUID]] = ContextVar("looking", default=frozenset())


@contextmanager
def looking(farm: UUID) -> Iterator[None]:
    """While somebody looks at one page of a farm: its rows are placed once, at the beginning, and not asked about
    again with each look."""
    placed(farm)
    before = _looking.set(_looking.get() | {farm})
    try:
        yield
    finally:
        _looking.reset(before)


def placed(farm: UUID) -> None:
    """Every row up to the book's last number can be looked up by what it says after this."""
    if farm in _looking.get():
        return
    while Farm.objects.filter(id=farm, placed__lt=F("number")).exists():
        with transaction.atomic():
            here = Farm.objects.select_for_update().get(id=farm)
            _place_next(here)


def place(farm: Farm) -> None:
    """The same, in one transaction that has locked the farm's row and read it since."""
    while farm.placed < farm.number:
        _place_next(farm)


def _place_next(farm: Farm) -> None:
    zone = ZoneInfo(farm.zone)
    rows = list(Row.objects.filter(farm_id=farm.id, number__gt=farm.placed).order_by("number")[:AT_ONCE])
    update(Row, PLACE, [(row.id, _said(row, zone)) for row in rows])
    farm.placed = rows[-1].number if rows else farm.number
    Farm.objects.filter(id=farm.id).update(placed=farm.placed)


def _said(row: Row, zone: ZoneInfo) -> list[Any]:
    """What the columns say of a row. Of one that is held for what stands in it, only the day it came: nothing in it
    is taken for true."""
    at = arrived(row.arrived_at)
    tells = row.outcome == "kept" or row.code == CARRIED
    entry = entry_of(row) if tells else None
    if entry is None:
        return [*(None,) * (len(PLACE) - 1), day_of((at,), zone)]
    made, done = entry.made_at, entry.done_at
    return [
        entry.kind,
        entry.field,
        entry.by,
        made.utc,
        done.utc if isinstance(done, Moment) else None,
        entry.round,
        entry.names,
        day_of((done, made, at), zone),
    ]
