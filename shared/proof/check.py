"""Reads an exported book and names the first line that is missing, altered or out of place (contract, W20)."""

from __future__ import annotations

import base64
import binascii
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any, Literal
from uuid import UUID

from shared.errors import TooLarge, Unsound
from shared.sync import merkle
from shared.sync.chain import BookRow, arrival_text, first_chain, next_chain
from shared.wire import lines, scalars
from shared.wire.book import BeforeLine, BookLine, EndLine, book_line_bytes, read_book_line
from shared.words.bodies.desk import Seal

What = Literal["missing", "altered", "out_of_place", "unreadable", "end_missing", "seal_broken", "other_book"]


@dataclass(frozen=True, slots=True)
class Fault:
    """What is wrong first: ``number`` in the book (None where it can't be told), ``at`` the line of the file,
    counted from 1."""

    what: What
    number: int | None
    at: int
    detail: str = ""


@dataclass(frozen=True, slots=True)
class SealSeen:
    """A seal that stands in the book: its own number, what it covers, its root, and whether that agrees."""

    number: int
    first: int
    last: int
    root: str
    whole: bool
    """False where it covers lines before the first that was exported: it could not be recomputed."""


@dataclass(frozen=True, slots=True)
class Report:
    """What was read: from ``first`` to ``last``, the chain at the end, the seals, the fault or None."""

    rows: int
    first: int | None
    last: int | None
    chain: str | None
    redacted: int
    seals: tuple[SealSeen, ...]
    fault: Fault | None


@dataclass(slots=True)
class _Reading:
    farm: UUID | None
    chain: str | None = None
    next: int | None = None
    first: int | None = None
    rows: int = 0
    redacted: int = 0
    leaves: dict[int, bytes] = field(default_factory=dict)
    seals: list[SealSeen] = field(default_factory=list)
    unjoined: tuple[str, BookRow, str, int] | None = None
    ended: bool = False


class _Stop(Exception):
    def __init__(self, fault: Fault) -> None:
        self.fault = fault


def check(book: Iterable[bytes], farm: UUID | None = None) -> Report:
    """The report on a book given line by line (each without its line feed). With ``farm`` the book must be
    that farm's; without, the farm is the one that the book's last line names: give it (``farm_named``) where the
    lines only stream, or the first link of the chain is looked at last."""
    if farm is None and isinstance(book, Sequence) and book:
        farm = farm_named(book[-1])
    reading = _Reading(farm)
    fault: Fault | None = None
    at = 0
    try:
        for at, raw in enumerate(book, 1):
            if reading.ended:
                raise _Stop(Fault("out_of_place", None, at, "a line after the end"))
            _read(reading, raw, at)
        if not reading.ended:
            last = reading.next
            raise _Stop(
                Fault("end_missing", last, at + 1, "the book's last line is missing: it was cut short")
            )
    except _Stop as stop:
        fault = stop.fault
    last_number = reading.next - 1 if reading.next is not None and reading.rows else None
    return Report(
        reading.rows, reading.first, last_number, reading.chain, reading.redacted, tuple(reading.seals), fault
    )


def farm_named(last_line: bytes) -> UUID | None:
    """The farm that a book's last line names, None where it is no last line."""
    try:
        line = read_book_line(last_line)
    except Unsound:
        return None
    return line.farm if isinstance(line, EndLine) else None


def _read(reading: _Reading, raw: bytes, at: int) -> None:
    try:
        line = read_book_line(raw)
        as_written = book_line_bytes(line)
    except (Unsound, TooLarge, UnicodeEncodeError) as error:
        raise _Stop(Fault("unreadable", reading.next, at, str(error))) from None
    if as_written != raw:
        number = line.number if isinstance(line, BookLine) else reading.next
        raise _Stop(Fault("altered", number, at, "the line is not written as a book's lines are"))
    if isinstance(line, BeforeLine):
        if at != 1:
            raise _Stop(Fault("out_of_place", reading.next, at, "a beginning in the middle"))
        reading.chain, reading.next = line.chain, line.before + 1
    elif isinstance(line, EndLine):
        _end(reading, line, at)
    else:
        _row(reading, line, at)


def _row(reading: _Reading, line: BookLine, at: int) -> None:
    expected = 1 if reading.next is None else reading.next
    if line.number != expected:
        what: What = "missing" if line.number > expected else "out_of_place"
        raise _Stop(
            Fault(what, expected if what == "missing" else line.number, at, f"{expected} was expected")
        )
    raw = _bytes_of(line, at)
    if raw is not None and lines.sha(raw) != line.sha:
        raise _Stop(Fault("altered", line.number, at, "the entry is not what its sha says"))
    row = _book_row(line, at)
    _join(reading, row, line, at)
    reading.leaves[line.number] = row.text().encode()
    reading.redacted += line.redacted is not None
    reading.first = line.number if reading.first is None else reading.first
    reading.next = line.number + 1
    reading.rows += 1
    if raw is not None and line.outcome == "kept":
        _seal(reading, line.number, raw, at)


def _join(reading: _Reading, row: BookRow, line: BookLine, at: int) -> None:
    """Whether the chain goes on. A book from its first line waits for the farm's name, which may stand at its
    end: until then its first link is kept aside."""
    if reading.chain is None and reading.farm is None:
        reading.unjoined = ("", row, line.chain, at)
    else:
        before = reading.chain if reading.chain is not None else first_chain(_farm(reading))
        if next_chain(before, row) != line.chain:
            raise _Stop(Fault("altered", line.number, at, "the chain does not go on"))
    reading.chain = line.chain


def _farm(reading: _Reading) -> UUID:
    assert reading.farm is not None
    return reading.farm


def _end(reading: _Reading, line: EndLine, at: int) -> None:
    if reading.farm is not None and line.farm != reading.farm:
        raise _Stop(Fault("other_book", None, at, "the book is another farm's"))
    if reading.unjoined is not None:
        _, row, chain, where = reading.unjoined
        if next_chain(first_chain(line.farm), row) != chain:
            raise _Stop(Fault("altered", row.number, where, "the chain does not begin with this farm"))
    last = 0 if reading.next is None else reading.next - 1
    if line.end > last:
        raise _Stop(Fault("missing", last + 1, at, f"the book says that it ends at {line.end}"))
    empty = first_chain(line.farm) if reading.chain is None else reading.chain
    if line.end < last or line.chain != empty:
        raise _Stop(Fault("altered", last, at, "the end is not that of these lines"))
    reading.chain = line.chain
    told = {seal.number for seal in reading.seals}
    for number in line.seals:
        if number not in told:
            raise _Stop(
                Fault("seal_broken", number, at, "a seal that the end names does not stand in the book")
            )
    reading.ended = True


def _bytes_of(line: BookLine, at: int) -> bytes | None:
    if line.entry_b64 is not None:
        try:
            return base64.b64decode(line.entry_b64, validate=True)
        except (binascii.Error, ValueError):
            raise _Stop(Fault("unreadable", line.number, at, "entry_b64")) from None
    if line.entry is not None:
        return line.entry.encode("utf-8")
    if line.redacted is None and line.outcome != "refused":
        raise _Stop(Fault("altered", line.number, at, "the entry is gone and not redacted"))
    return None


def _book_row(line: BookLine, at: int) -> BookRow:
    if line.arrived_at.utc is None or line.arrived_at.text != arrival_text(line.arrived_at.utc):
        raise _Stop(Fault("altered", line.number, at, "arrived_at"))
    return BookRow(line.number, line.phone, line.line, line.outcome, line.code, line.arrived_at.utc, line.sha)


def _seal(reading: _Reading, number: int, raw: bytes, at: int) -> None:
    """A seal in the book must agree with the lines that it covers; links to the one before are its own."""
    if b'"kind":"seal"' not in raw:
        return
    try:
        entry = lines.decode(raw)
    except (Unsound, TooLarge):
        return
    body: Any = entry.body
    if not isinstance(body, Seal):
        return
    covered = [reading.leaves.get(n) for n in range(body.first, body.last + 1)]
    whole = all(leaf is not None for leaf in covered)
    if whole and merkle.root([leaf for leaf in covered if leaf is not None]) != body.root:
        raise _Stop(Fault("seal_broken", number, at, f"lines {body.first} to {body.last}"))
    reading.seals.append(SealSeen(number, body.first, body.last, body.root, whole))


def as_text(raw: bytes) -> tuple[str | None, str | None]:
    """An entry's bytes as an export carries them: text where they are UTF-8 that JSON can carry, else base64."""
    try:
        text = raw.decode("utf-8")
        scalars.text(text, "entry")
        if text.encode("utf-8") == raw:
            return text, None
    except UnicodeDecodeError:
        pass
    return None, base64.b64encode(raw).decode("ascii")
