"""One page of a pull: the rows above a cursor, what is gone, and the next cursor (contract, W12, W13)."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db.models import Exists, Model, OuterRef, QuerySet

from server.book import reads as book
from server.book.cursor import CHAIN_LENGTH, Cursor, Group, joined, read_cursor
from server.book.export import book_line
from server.book.models import Receipt, Row
from server.land import models as land
from server.people.models import Farm, Gone, Person, Phone, Reference
from server.status import models as status
from server.status.dues import first_of_day
from server.status.following import followed
from shared.errors import Diverged, StartOver
from shared.wire.pull import KINDS_PULLED, Page, row_tree

MOST_ROWS = 2000
USUAL_ROWS = 500
USUAL_KINDS = frozenset(KINDS_PULLED) - {"entries"}
Changed = Callable[[Phone], QuerySet[Any]]


def _of(model: type[Reference]) -> Changed:
    return lambda phone: model._default_manager.filter(farm_id=phone.farm_id)


def _verdicts(phone: Phone) -> QuerySet[Any]:
    """Those on entries that came by this phone, under an earlier enrolment too: its receipts say which."""
    here = {"number": OuterRef("number"), "phone_id": phone.id}
    own = Row.objects.filter(farm_id=phone.farm_id, head__isnull=False, **here)
    named = Receipt.objects.filter(**here)
    return status.Verdict.objects.filter(Exists(own) | Exists(named), farm_id=phone.farm_id)


CHANGED: Mapping[str, Changed] = {
    "fields": _of(land.Field),
    "parts": _of(land.Part),
    "piles": _of(land.Pile),
    "buffers": _of(land.Buffer),
    "towns": _of(land.Town),
    "haulers": _of(land.Hauler),
    "vehicles": _of(land.Vehicle),
    "people": _of(Person),
    "sheets": _of(land.Sheet),
    "dues": _of(status.Due),
    "queries": _of(status.Asked),
    "standings": _of(status.Standing),
    "verdicts": _verdicts,
}


@dataclass(frozen=True, slots=True)
class Asked:
    """What a phone asks: from where, which kinds it knows, how many rows it takes at once."""

    since: str | None
    kinds: frozenset[str] = USUAL_KINDS
    limit: int = USUAL_ROWS


def page(phone: Phone, asked: Asked, now: datetime) -> Page | None:
    """The next page, None where nothing is new. Raises ``Diverged``, ``StartOver``."""
    farm = phone.farm
    if farm.folded < farm.number or first_of_day(farm, now):
        followed(farm.id, now)
        farm = phone.farm = Farm.objects.get(id=farm.id)
    cursor = (read_cursor(asked.since) if asked.since else _start(farm)).knowing(asked.kinds)
    if asked.since:
        _checked(farm, cursor)
    if asked.since == cursor.text() and _nothing_new(farm, cursor):
        return None
    rows, gone, groups, room = _reference_rows(phone, cursor, asked.limit)
    entries, reached = _entries(farm, cursor, room)
    if entries:
        rows["entries"] = entries
    more = any(group.turn < farm.turn for group in groups) or (
        "entries" in cursor.kinds and reached < farm.number
    )
    whole_from = max(cursor.whole_from, min((group.turn for group in groups), default=0))
    end = Cursor(farm.era, farm.number, farm.chain[:CHAIN_LENGTH], reached, whole_from, groups)
    return Page(rows, gone, end.text(), more)


def _start(farm: Farm) -> Cursor:
    return Cursor(farm.era, farm.number, farm.chain[:CHAIN_LENGTH], 0, farm.gone_before, ())


def _checked(farm: Farm, cursor: Cursor) -> None:
    """Whether the copy that this cursor stands for is a copy of this farm's book as it is."""
    if cursor.era != farm.era or cursor.number > farm.number or cursor.entries > farm.number:
        raise Diverged
    if any(group.turn > farm.turn for group in cursor.groups):
        raise Diverged
    chain = book.chain_at(farm, cursor.number)
    if chain is None or not chain.startswith(cursor.chain):
        raise Diverged
    if max(cursor.whole_from, cursor.turn) < farm.gone_before:
        raise StartOver


def _nothing_new(farm: Farm, cursor: Cursor) -> bool:
    if any(group.turn < farm.turn for group in cursor.groups):
        return False
    return "entries" not in cursor.kinds or cursor.entries == farm.number


Rows = dict[str, list[Mapping[str, Any]]]


def _reference_rows(
    phone: Phone, cursor: Cursor, limit: int
) -> tuple[Rows, dict[str, list[str]], tuple[Group, ...], int]:
    """Rows and tombstones in the order of their turns, the kinds furthest behind first, until ``limit``."""
    rows: Rows = {}
    gone: dict[str, list[str]] = {}
    groups = cursor.groups
    while groups and limit > 0 and groups[0].turn < phone.farm.turn:
        behind, rest = groups[0], groups[1:]
        until = rest[0].turn if rest else phone.farm.turn
        found = _changes(phone, behind, until, limit)
        for kind, row in found:
            if isinstance(row, Gone):
                gone.setdefault(kind, []).append(row.ref)
            else:
                rows.setdefault(kind, []).append(tree(kind, row))
        reached = found[-1][1].turn if len(found) == limit else until
        limit -= len(found)
        groups = joined((Group(behind.kinds, reached), *rest))
    return rows, gone, groups, limit


def _changes(phone: Phone, group: Group, until: int, limit: int) -> list[tuple[str, Any]]:
    """What has a turn above the group's, in the order of turns. Each row has a turn of its own, so that a page
    may end after any of them."""
    found: list[tuple[str, Any]] = []
    for kind in sorted(group.kinds & CHANGED.keys()):
        changed = CHANGED[kind](phone).filter(turn__gt=group.turn, turn__lte=until).order_by("turn")
        found += [(kind, row) for row in changed[:limit]]
    tombs = Gone.objects.filter(
        farm_id=phone.farm_id, kind__in=group.kinds, turn__gt=group.turn, turn__lte=until
    ).order_by("turn")
    found += [(tomb.kind, tomb) for tomb in tombs[:limit]]
    found.sort(key=lambda one: one[1].turn)
    return found[:limit]


def tree(kind: str, row: Model) -> dict[str, Any]:
    """A row as it travels. A standing is a plain object, named by its field."""
    if isinstance(row, status.Standing):
        return {"id": str(row.field)} | row.standing
    return row_tree(row.value())  # type: ignore[attr-defined]


def _entries(farm: Farm, cursor: Cursor, room: int) -> tuple[list[Mapping[str, Any]], int]:
    """Rows of the book for a phone that asks for them, and the number reached."""
    if "entries" not in cursor.kinds or room <= 0:
        return [], cursor.entries
    found = [book_row(one) for one in book.rows(farm.id, cursor.entries, room)]
    return found, found[-1]["number"] if found else cursor.entries


def book_row(one: Row) -> dict[str, Any]:
    """A line of the book as an export has it, with an id as every row of a page."""
    return {"id": str(one.entry or UUID(int=one.number))} | row_tree(book_line(one))


def kinds_of(names: Iterable[str]) -> frozenset[str]:
    """The kinds that an app says it knows; what this server doesn't know is left out."""
    return frozenset(names) & frozenset(KINDS_PULLED)
