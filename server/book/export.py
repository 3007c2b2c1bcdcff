"""The farm's book as lines that anybody can check without a server (contract, W20)."""

from __future__ import annotations

import base64
from collections.abc import Iterator

from server.book import reads
from server.book.models import Row
from server.people.models import Farm
from shared.sync.chain import arrival_text
from shared.wire.book import BeforeLine, BookLine, EndLine, book_line_bytes
from shared.wire.scalars import moment

AT_ONCE = 500


def exported(farm: Farm, first: int = 1, last: int | None = None) -> Iterator[bytes]:
    """The lines ``first`` to ``last`` (to the end where None), each ended by a line feed: rows of one moment, read
    in steps, so that no book is too long and no writer waits."""
    end = farm.number if last is None else min(last, farm.number)
    first = max(1, first)
    if first > 1:
        yield _line(BeforeLine(first - 1, reads.chain_at(farm, min(first - 1, end)) or ""))
    at = first - 1
    while at < end:
        rows = list(reads.rows(farm.id, at, min(AT_ONCE, end - at)))
        if not rows:
            break
        yield b"".join(_line(book_line(row)) for row in rows)
        at = rows[-1].number
    # Every line of the desk has its place from the beginning, so that giving the book out writes nothing.
    seals = Row.objects.filter(farm_id=farm.id, kind="seal", outcome="kept", phone__desk=True)
    numbers = tuple(
        seals.filter(number__range=(first, end)).order_by("number").values_list("number", flat=True)
    )
    yield _line(EndLine(end, reads.chain_at(farm, end) or "", numbers, farm.id))


def _line(value: BeforeLine | BookLine | EndLine) -> bytes:
    return book_line_bytes(value) + b"\n"


def book_line(row: Row) -> BookLine:
    """A row with its bytes: as text, or in base64 where they are no UTF-8."""
    entry, entry_b64 = said(row.raw)
    redacted = True if reads.is_erased(row) else None
    at = moment(arrival_text(row.arrived_at), "arrived_at")
    return BookLine(
        row.number,
        row.chain,
        row.phone_id,
        row.line,
        row.outcome,
        row.code,
        at,
        row.sha,
        entry,
        entry_b64,
        redacted,
    )


def said(raw: bytes | None) -> tuple[str | None, str | None]:
    if raw is None:
        return None, None
    try:
        return bytes(raw).decode("utf-8"), None
    except UnicodeDecodeError:
        return None, base64.b64encode(bytes(raw)).decode("ascii")
