"""The book as it can be read: by number, by entry, by field, by day."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import date
from functools import cache
from operator import attrgetter
from uuid import UUID

from django.db import connection
from django.db.models import F, QuerySet

from server.book.models import Receipt, Row
from server.book.news import News, arrived
from server.book.placing import placed
from server.book.said import bytes_of as bytes_of
from server.book.said import entry_of as entry_of
from server.book.said import entry_said as entry_said
from server.book.said import is_erased as is_erased
from server.book.said import read_with as read_with
from server.people.models import Farm
from shared.sync.chain import BookRow, first_chain
from shared.words.entry import Written

AT_ONCE = 500
SORTED = F("number") + 0
"""Book order for what is looked up by several values: SQLite would else walk the farm's whole book in that order, to
save itself the sorting of a few rows."""
Named = tuple[UUID, str, str, str | None, int]
Receipted = tuple[int, str, str, str | None, int]


def looked_up(farm: UUID) -> QuerySet[Row]:
    """All of a farm's rows, for looking them up by what they say: every one has its place."""
    placed(farm)
    return Row.objects.filter(farm_id=farm)


def rows(farm: UUID, after: int = 0, limit: int | None = None) -> QuerySet[Row]:
    """The rows after this number, in order: the ledger, whether they have their place yet or not."""
    found = Row.objects.filter(farm_id=farm, number__gt=after).order_by("number")
    return found[:limit] if limit is not None else found


def row(farm: UUID, number: int) -> Row | None:
    return Row.objects.filter(farm_id=farm, number=number).first()


def of_entry(farm: UUID, entry: UUID) -> Row | None:
    """The row of an entry's id, or of a held one's handle."""
    return looked_up(farm).filter(entry=entry).first()


def of_entries(farm: UUID, entries: Iterable[UUID]) -> list[Row]:
    return list(looked_up(farm).filter(entry__in=list(entries)).order_by(SORTED))


def of_field(farm: UUID, field: UUID, kinds: Iterable[str] = ()) -> QuerySet[Row]:
    """All that was ever written about a field, in the order of the book."""
    found = looked_up(farm).filter(field=field).order_by("number")
    return found.filter(kind__in=list(kinds)) if kinds else found


def of_day(farm: UUID, day: date) -> QuerySet[Row]:
    """All that was done on this farm-day (by ``done_at``, else ``made_at``), in the order of the book."""
    return looked_up(farm).filter(day=day).order_by("number")


def of_kinds(farm: UUID, kinds: Iterable[str], since: date | None = None) -> QuerySet[Row]:
    wanted = list(kinds)
    found = looked_up(farm).filter(kind__in=wanted).order_by(SORTED if len(wanted) > 1 else "number")
    return found.filter(day__gte=since) if since else found


def naming(farm: UUID, entries: Iterable[UUID]) -> list[Row]:
    """The corrections, strikes, queries and answers that name one of these entries."""
    return list(looked_up(farm).filter(names__in=list(entries)).order_by(SORTED))


def held(farm: UUID) -> QuerySet[Row]:
    # A code stands in no other rows but the refused, and has an index.
    return looked_up(farm).filter(outcome="held", code__isnull=False).order_by("number")


def read_again(farm: UUID) -> QuerySet[Row]:
    """The rows that were held before under another number."""
    return Row.objects.filter(farm_id=farm, again_of__isnull=False).order_by("number")


def written(one: Row, mark: str | None = None) -> Written | None:
    """A row as the folds take it, a held one whose id is taken under its handle; None where its bytes are no
    entry."""
    entry = entry_of(one)
    if entry is None or one.entry is None:
        return None
    if entry.id != one.entry:
        entry = replace(entry, id=one.entry)
    return Written(
        entry,
        one.sha,
        one.phone_id,
        one.line,
        one.number,
        one.outcome,  # type: ignore[arg-type]
        arrived(one.arrived_at),
        mark,
    )


def all_written(found: QuerySet[Row] | Iterable[Row]) -> Iterator[Written]:
    """Rows as the folds take them, those that are no entry left out."""
    several = found.iterator(AT_ONCE) if isinstance(found, QuerySet) else found
    for one in several:
        value = written(one)
        if value is not None:
            yield value


def chain_at(farm: Farm, number: int) -> str | None:
    """The farm's chain after this number, None where the book does not reach so far."""
    if number == farm.number:
        return farm.chain
    if number == 0:
        return first_chain(farm.id)
    return Row.objects.filter(farm_id=farm.id, number=number).values_list("chain", flat=True).first()


def chained(one: Row) -> BookRow:
    """What the farm's chain covers of a row."""
    return BookRow(one.number, one.phone_id, one.line, one.outcome, one.code, one.arrived_at, one.sha)


def head_before(phone: UUID, line: int) -> str | None:
    """A phone's head after this line, None where there is no receipt of it."""
    here = taken(phone).filter(line=line).values_list("head", flat=True).first()
    return here or Receipt.objects.filter(phone_id=phone, line=line).values_list("head", flat=True).first()


def taken(phone: UUID) -> QuerySet[Row]:
    """The rows that are the receipts of a phone's own lines: all that were not in the book already."""
    return Row.objects.filter(phone_id=phone, head__isnull=False)


def receipts(phone: UUID, first: int, last: int) -> list[Receipted]:
    """The line, sha, first outcome, code and number of a phone's lines from one to another, each as it was answered:
    its own row, or a receipt that names another's."""
    lines = {"line__range": (first, last)}
    own = taken(phone).filter(**lines).values_list("line", "sha", "outcome", "code", "number")
    named = Receipt.objects.filter(phone_id=phone, **lines)
    return [*own, *named.values_list("line", "sha", "was", "code", "number")]


def named(farm: UUID, names: Iterable[UUID]) -> list[Named]:
    """The entry, sha, outcome, code and number of the rows with these names (ids or handles), in plain SQL:
    a push asks this for each of its lines. Ids begin with the time that they were made at, so that mostly nothing of
    the farm stands between the first and the last of them, and that is asked first."""
    wanted = set(names)
    if not wanted:
        return []
    ends = [find(wanted, key=attrgetter("int")) for find in (min, max)]
    found = _named(farm, "entry BETWEEN %s AND %s LIMIT %s", ends, len(wanted))
    if len(found) == len(wanted):
        found = _named(farm, f"entry IN ({', '.join(['%s'] * len(wanted))})", wanted)
    return [one for one in found if one[0] in wanted]


def _named(farm: UUID, where: str, names: Iterable[UUID], *more: int) -> list[Named]:
    native = connection.features.has_native_uuid_field
    keys = [farm, *names] if native else [one.hex for one in (farm, *names)]
    with connection.cursor() as cursor:
        cursor.execute(
            f"SELECT entry, sha, outcome, code, number FROM book_row WHERE farm_id = %s AND {where}",
            [*keys, *more],
        )
        found = cursor.fetchall()
    return [(one[0] if native else UUID(one[0]), *one[1:]) for one in found]


def news_of(one: Row) -> News:
    """A row as a fold takes new ones, for making again what follows from the book."""
    return News(
        one.number,
        one.phone_id,
        one.line,
        one.outcome,  # type: ignore[arg-type]
        one.code,
        one.sha,
        one.entry,
        one.kind,
        one.field,
        one.names,
        one.arrived_at,
        one.again_of is not None,
        cache(lambda: entry_of(one)),
    )
