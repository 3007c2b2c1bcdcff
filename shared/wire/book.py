"""The lines of an exported book as JSON objects (contract, W20)."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from shared.errors import Unsound
from shared.wire import scalars
from shared.wire.codec import Reader, value_reader, written
from shared.words.moment import Moment


@dataclass(frozen=True, slots=True)
class BookLine:
    """One line of the book. ``entry`` is its text, ``entry_b64`` its bytes where they are no UTF-8; both are
    left out where the line was refused, or ``redacted`` because a person's name was erased on request."""

    number: int
    chain: str
    phone: UUID
    line: int
    outcome: str
    code: str | None
    arrived_at: Moment
    sha: str
    entry: str | None
    entry_b64: str | None = None
    redacted: bool | None = None


@dataclass(frozen=True, slots=True)
class BeforeLine:
    """The first line of an export that does not begin at 1: the number and the chain before it."""

    before: int
    chain: str


@dataclass(frozen=True, slots=True)
class EndLine:
    """The last line: where the book ends, its chain there, the numbers of its seals, and whose it is."""

    end: int
    chain: str
    seals: tuple[int, ...]
    farm: UUID


_LINE: Reader = value_reader(BookLine, "")
_BEFORE: Reader = value_reader(BeforeLine, "")
_END: Reader = value_reader(EndLine, "")


def book_line_bytes(value: BookLine | BeforeLine | EndLine) -> bytes:
    """A line of an export, without its line feed."""
    return json.dumps(written(value), ensure_ascii=False, separators=(",", ":")).encode("utf-8")


def read_book_line(raw: bytes) -> BookLine | BeforeLine | EndLine:
    """The line that these bytes say, or ``Unsound``. An entry inside is text here and is not looked into."""
    try:
        tree: Any = json.loads(raw)
    except (ValueError, RecursionError):
        raise Unsound("not_json") from None
    if type(tree) is not dict:
        raise Unsound("not_object")
    reader = _BEFORE if "before" in tree else _END if "end" in tree else _LINE
    value: BookLine | BeforeLine | EndLine = reader(tree)
    scalars.digest(value.chain, "chain")
    return value
