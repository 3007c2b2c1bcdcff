"""The book as it can be read: by number, by entry, by field, by day."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date, datetime
from uuid import UUID

from django.db.models import QuerySet

from server.book.models import Receipt, Row
from server.people.models import Farm
from shared.errors import Unsound
from shared.sync.chain import BookRow, first_chain
from shared.wire import lines
from shared.wire.scalars import moment, written_moment
from shared.words.entry import Entry, Written
from shared.words.moment import Moment

AT_ONCE = 500


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
    """The entry that a row's bytes say, None where they say none (held, refused)."""
    if one.raw is None:
        return None
    try:
        return lines.decode(bytes(one.raw))
    except Unsound:
        return None


def moment_of(at: datetime) -> Moment:
    return moment(written_moment(at), "arrived_at")


def written(one: Row, mark: str | None = None) -> Written | None:
    """A row as the folds take it; None where its bytes are no entry."""
    entry = entry_of(one)
    if entry is None:
        return None
    return Written(
        entry,
        one.sha,
        one.phone_id,
        one.line,
        one.number,
        one.outcome,  # type: ignore[arg-type]
        moment_of(one.arrived_at),
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


def receipts(phone: UUID, first: int, last: int) -> list[Receipt]:
    return list(Receipt.objects.filter(phone_id=phone, line__range=(first, last)))
