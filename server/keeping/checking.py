"""A copied book read back with nothing but SQLite: sound pages, whole chains, heads that recompute."""

from __future__ import annotations

import hashlib
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from uuid import UUID

from server.keeping.errors import BackupBroken
from shared.sync.chain import NO_HEAD, BookRow, first_chain, next_chain, next_head

ROWS = (
    "SELECT number, phone_id, line, outcome, code, arrived_at, sha, chain, CAST(raw AS BLOB) FROM book_row "
    "WHERE farm_id = ? ORDER BY number"
)
NAMED = "SELECT line, sha, head FROM book_receipt WHERE phone_id = :phone"
OWN = "SELECT line, sha, head FROM book_row WHERE phone_id = :phone AND head IS NOT NULL"


@contextmanager
def opened(file: Path) -> Iterator[sqlite3.Connection]:
    """The book in this file, for reading alone."""
    book = sqlite3.connect(f"file:{file}?mode=ro", uri=True)
    try:
        yield book
    except (sqlite3.DatabaseError, ValueError, TypeError) as error:
        raise BackupBroken(str(error)) from None
    finally:
        book.close()


def checked(file: Path) -> dict[UUID, int]:
    """The last book number of each farm in a copy that agrees with itself. Raises ``BackupBroken``."""
    with opened(file) as book:
        (sound,) = book.execute("PRAGMA integrity_check(1)").fetchone()
        if sound != "ok":
            raise BackupBroken(str(sound))
        farms = book.execute("SELECT id, number, chain FROM people_farm").fetchall()
        for farm, number, chain in farms:
            _check_chain(book, farm, number, chain)
        for phone, line, head in book.execute("SELECT id, line, head FROM people_phone").fetchall():
            _check_head(book, phone, line, head)
    return {UUID(farm): number for farm, number, _ in farms}


def _check_chain(book: sqlite3.Connection, farm: str, last: int, chain: str) -> None:
    here, at = first_chain(UUID(farm)), 0
    for number, phone, line, outcome, code, arrived_at, sha, linked, raw in book.execute(ROWS, [farm]):
        at += 1
        arrived = datetime.fromisoformat(arrived_at).replace(tzinfo=UTC)
        here = next_chain(here, BookRow(number, UUID(phone), line, outcome, code, arrived, sha))
        if number != at or here != linked:
            raise BackupBroken(f"the chain breaks at number {at}")
        if raw is not None and hashlib.sha256(raw).hexdigest() != sha:
            raise BackupBroken(f"the entry at number {at} is not the one that its digest names")
    if at != last or here != chain:
        raise BackupBroken(f"the book ends at {at}, its farm says {last}")


def _check_head(book: sqlite3.Connection, phone: str, last: int, head: str) -> None:
    here, at = NO_HEAD, 0
    receipts = f"{OWN} UNION ALL {NAMED}" if _receives_in_rows(book) else NAMED
    for line, sha, kept in book.execute(f"{receipts} ORDER BY line", {"phone": phone}):
        at += 1
        here = next_head(here, sha)
        if line != at or here != kept:
            raise BackupBroken(f"the lines of phone {phone} break at {at}")
    if at != last or here != head:
        raise BackupBroken(f"the lines of phone {phone} end at {at}, it says {last}")


def _receives_in_rows(book: sqlite3.Connection) -> bool:
    """Whether a row is its line's receipt: in a backup of an earlier version every line has one of its own."""
    return any(column == "head" for _, column, *_ in book.execute("PRAGMA table_info(book_row)"))
