"""The book as it can be read: by number, by entry, by field, by day."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from datetime import date
from functools import cache
from uuid import UUID

from django.db import connection
from django.db.models import QuerySet

from server.book.models import Erased, Receipt, Row
from server.book.news import News, arrived
from server.people.models import Farm
from shared.errors import Unsound
from shared.sync.chain import BookRow, first_chain
from shared.wire import lines
from shared.words.entry import Entry, Written

AT_ONCE = 500
Named = tuple[UUID, str, str, str | None, int]
Receipted = tuple[int, str, str | None, str, str | None, int]


def rows(farm: UUID, after: int = 0, limit: int | None = None) -> QuerySet[Row]:
    """The rows after this number, in order."""
    found = Row.objects.filter(farm_id=farm, number__gt=after).order_by("number")
    return found[:limit] if limit is not None else found


def row(farm: UUID, number: int) -> Row | None:
    return Row.objects.filter(farm_id=farm, number=number).first()


def of_entry(farm: UUID, entry: UUID) -> Row | None:
    """The row of an entry's id, or of a held one's handle."""
    return Row.objects.filter(farm_id=farm, entry=entry).first()


def of_entries(farm: UUID, entries: Iterable[UUID]) -> list[Row]:
    return list(Row.objects.filter(farm_id=farm, entry__in=list(entries)).order_by("number"))


def of_field(farm: UUID, field: UUID, kinds: Iterable[str] = ()) -> QuerySet[Row]:
    """All that was ever written about a field, in the order of the book."""
    found = Row.objects.filter(farm_id=farm, field=field).order_by("number")
    return found.filter(kind__in=list(kinds)) if kinds else found


def of_day(farm: UUID, day: date) -> QuerySet[Row]:
    """All that was done on this farm-day (by ``done_at``, else ``made_at``), in the order of the book."""
    return Row.objects.filter(farm_id=farm, day=day).order_by("number")


def of_kinds(farm: UUID, kinds: Iterable[str], since: date | None = None) -> QuerySet[Row]:
    found = Row.objects.filter(farm_id=farm, kind__in=list(kinds)).order_by("number")
    return found.filter(day__gte=since) if since else found


def naming(farm: UUID, entries: Iterable[UUID]) -> list[Row]:
    """The corrections, strikes, queries and answers that name one of these entries."""
    return list(Row.objects.filter(farm_id=farm, names__in=list(entries)).order_by("number"))


def held(farm: UUID) -> QuerySet[Row]:
    return Row.objects.filter(farm_id=farm, outcome="held").order_by("number")


def entry_of(one: Row) -> Entry | None:
    """The entry that a row's bytes say, or what stands in their place; None where they say none (held, refused)."""
    return entry_said(bytes_of(one))


def bytes_of(one: Row) -> bytes | None:
    """A row's bytes; where a name was erased from them, what the row says instead."""
    if one.raw is not None or one.outcome == "refused":
        return one.raw
    found = Erased.objects.filter(farm_id=one.farm_id, number=one.number)
    return found.values_list("said", flat=True).first()


def is_erased(one: Row) -> bool:
    """Whether a person's name was erased from this row on request, and its bytes with it (W20)."""
    return one.raw is None and one.outcome != "refused"


_decode: Callable[[bytes], Entry] = lines.decode


def read_with(decode: Callable[[bytes], Entry]) -> None:
    """From here on read entries with this twin of ``shared.wire.lines.decode``: intake has a compiled one, and
    stands above the book."""
    global _decode
    _decode = decode


def entry_said(raw: bytes | None) -> Entry | None:
    """The entry that these bytes say, None where they say none."""
    if raw is None:
        return None
    try:
        return _decode(bytes(raw))
    except Unsound:
        return None


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
    return Receipt.objects.filter(phone_id=phone, line=line).values_list("head", flat=True).first()


def receipts(phone: UUID, first: int, last: int) -> list[Receipted]:
    """The line, sha, was, outcome, code and number of a phone's receipts from one line to another."""
    found = Receipt.objects.filter(phone_id=phone, line__range=(first, last))
    return list(found.values_list("line", "sha", "was", "outcome", "code", "number"))


def named(farm: UUID, names: Iterable[UUID]) -> list[Named]:
    """The entry, sha, outcome, code and number of the rows with these names (ids or handles), in plain SQL:
    a push asks this for each of its lines."""
    wanted = list(names)
    if not wanted:
        return []
    native = connection.features.has_native_uuid_field
    places = ", ".join(["%s"] * len(wanted))
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT entry, sha, outcome, code, number FROM book_row "
            f"WHERE farm_id = %s AND entry IN ({places})",
            [farm, *wanted] if native else [farm.hex, *(one.hex for one in wanted)],
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
