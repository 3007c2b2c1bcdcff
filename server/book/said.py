"""What the bytes of a row say, and what stands in their place where a name was erased from them."""

from __future__ import annotations

from collections.abc import Callable

from server.book.models import Erased, Row
from shared.errors import Unsound
from shared.wire import lines
from shared.words.entry import Entry


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
