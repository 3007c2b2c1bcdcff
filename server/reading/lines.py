"""Lines of the book as the folds take them, by the compiled decoder: a page reads hundreds at once."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from server.book.models import Row
from server.book.news import arrived
from server.book.reads import bytes_of
from server.intake.decoding import decode
from shared.errors import Unsound
from shared.words.entry import Written


def written(row: Row) -> Written | None:
    """A row as an entry with its place in the book; None where its bytes are no entry."""
    raw = bytes_of(row)
    if raw is None or row.entry is None:
        return None
    try:
        entry = decode(bytes(raw))
    except Unsound:
        return None
    if entry.id != row.entry:
        entry = replace(entry, id=row.entry)
    at = arrived(row.arrived_at)
    return Written(entry, row.sha, row.phone_id, row.line, row.number, row.outcome, at)  # type: ignore[arg-type]


def all_written(rows: Iterable[Row]) -> Iterator[Written]:
    for row in rows:
        value = written(row)
        if value is not None:
            yield value
