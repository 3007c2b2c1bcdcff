"""Facts of some kinds over some days, with all that changes or initials them, in a number of queries that does not
grow with the entries."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db.models import Q, QuerySet

from server.book.models import Row
from server.book.reads import looked_up
from server.people.models import Farm
from server.people.reads import hands
from server.reading.lines import written
from server.status.models import Marking
from shared.status.fact import Fact
from shared.status.standing import standing

BINDING = ("correction", "strike")
DEEPEST = 8
"""Changes of changes are followed so far; nobody has ever changed a thing so often."""


def facts_of(
    farm: Farm, kinds: Iterable[str], first: date, last: date, fields: Iterable[UUID] | None = None
) -> Sequence[Fact]:
    """Every fact of these kinds whose day is from ``first`` to ``last`` now, the struck ones too, in book order.

    With ``fields`` only those that were written of one of them or of no field, or that a correction put there; such
    a fact may have been put in another field since.
    """
    book = looked_up(farm.id)
    base = book.filter(kind__in=list(kinds)).exclude(outcome__in=("refused", "already")).exclude(entry=None)
    moved = book.filter(kind="correction", day__range=(first, last)).values("names")
    own = base.filter(Q(day__range=(first, last)) | Q(entry__in=moved))
    if fields is not None:
        there = list(fields)
        put = book.filter(kind="correction", field__in=there).values("names")
        own = own.filter(Q(field__in=there) | Q(field=None) | Q(entry__in=put))
    rows = {row.number: row for row in own}
    changes = _changes(farm.id, own.values("entry"))
    readings = _readings(farm.id, own.values("entry"), [row.entry for row in changes if row.entry])
    rows |= {row.number: row for row in (*changes, *readings)}
    values = {number: value for number, row in sorted(rows.items()) if (value := written(row)) is not None}
    unreadable = {row.entry for number, row in rows.items() if row.entry and number not in values}
    facts = standing(values.values(), hands(farm.id), unreadable).facts
    zone, wanted = ZoneInfo(farm.zone), set(kinds)
    return [one for one in facts if one.kind in wanted and _within(one.day(zone), first, last)]


def _within(on: date | None, first: date, last: date) -> bool:
    return on is None or first <= on <= last


def _changes(farm: UUID, entries: QuerySet[Row, dict[str, UUID]]) -> list[Row]:
    """Corrections and strikes of these, and of those."""
    found = list(looked_up(farm).filter(kind__in=BINDING, names__in=entries))
    newest = found
    for _ in range(DEEPEST):
        ids = [row.entry for row in newest if row.entry is not None]
        if not ids:
            break
        newest = list(looked_up(farm).filter(kind__in=BINDING, names__in=ids))
        found += newest
    return found


def _readings(farm: UUID, entries: QuerySet[Row, dict[str, UUID]], changes: Sequence[UUID]) -> list[Row]:
    marking = Marking.objects.filter(Q(entry__in=entries) | Q(entry__in=changes), farm_id=farm)
    found = list(looked_up(farm).filter(entry__in=marking.values("reading")))
    return found + _changes(farm, looked_up(farm).filter(entry__in=[r.entry for r in found]).values("entry"))
