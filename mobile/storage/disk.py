"""SQLite as the phone needs it: durable, bounded, a connection for each thread, every failure with a name."""

from __future__ import annotations

import sqlite3
import threading
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any, TypeVar

from mobile.storage.ballast import Ballast
from mobile.storage.ladder import climb
from mobile.trouble import BookDamaged, BookLocked, BookTrouble, DiskFailed, DiskFull

T = TypeVar("T")
LOCK_WAIT_S = 10.0
WAL_PAGES = 100
"""Small commits fill the log long before the usual 1,000 pages: each writes about three pages."""
WAL_BYTES = 1_048_576

PRAGMAS = f"""
PRAGMA journal_mode = WAL;
PRAGMA synchronous = FULL;
PRAGMA foreign_keys = ON;
PRAGMA wal_autocheckpoint = {WAL_PAGES};
PRAGMA journal_size_limit = {WAL_BYTES};
PRAGMA temp_store = MEMORY;
"""


class Disk:
    """One file. ``one`` and ``many`` read; ``write`` runs work in one durable transaction."""

    def __init__(self, file: Path, lock_wait_s: float = LOCK_WAIT_S) -> None:
        self.file = file
        self.ballast = Ballast(file.with_suffix(".ballast"))
        self._lock_wait_s = lock_wait_s
        self._own = threading.local()
        self._all: list[sqlite3.Connection] = []
        self._guard = threading.Lock()
        self.changes = 0
        """How often something was written: what was read before is known by it to be old."""
        file.parent.mkdir(parents=True, exist_ok=True)
        try:
            self._connection()
        except (DiskFull, DiskFailed):
            if not self.ballast.free():
                raise
            self._connection()
        self.ballast.lay()

    def one(self, sql: str, values: Sequence[object] = ()) -> tuple[Any, ...] | None:
        rows = self.many(sql, values)
        return rows[0] if rows else None

    def many(self, sql: str, values: Sequence[object] = ()) -> list[tuple[Any, ...]]:
        connection = self._connection()
        with named_failures():
            return connection.execute(sql, values).fetchall()

    def _connection(self) -> sqlite3.Connection:
        found: sqlite3.Connection | None = getattr(self._own, "connection", None)
        if found is None:
            with named_failures():
                found = self._opened()
            self._own.connection = found
            with self._guard:
                self._all.append(found)
        return found

    def _opened(self) -> sqlite3.Connection:
        connection = sqlite3.connect(
            self.file, timeout=self._lock_wait_s, isolation_level=None, check_same_thread=False
        )
        try:
            connection.executescript(PRAGMAS)
            climb(connection)
        except BaseException:
            connection.close()
            raise
        return connection

    def write(self, work: Callable[[sqlite3.Connection], T]) -> T:
        """What ``work`` answers, once it is on the disk. Where the disk is full the ballast is freed and the
        work done again; where that fails too, ``DiskFull``, and nothing of it is stored."""
        connection = self._connection()
        try:
            return _committed(connection, work)
        except DiskFull:
            if not self.ballast.free():
                raise
            return _committed(connection, work)
        finally:
            self.changes += 1

    def close(self) -> None:
        with self._guard:
            for connection in self._all:
                connection.close()
            self._all.clear()
        self._own = threading.local()


def _committed(connection: sqlite3.Connection, work: Callable[[sqlite3.Connection], T]) -> T:
    with named_failures():
        connection.execute("BEGIN IMMEDIATE")
        try:
            answer = work(connection)
            connection.execute("COMMIT")
        except BaseException:
            if connection.in_transaction:
                connection.execute("ROLLBACK")
            raise
        return answer


@contextmanager
def named_failures() -> Iterator[None]:
    """SQLite's failures as the phone's own, by SQLite's primary result code."""
    try:
        yield
    except sqlite3.Error as error:
        raise _named(error) from error


def _named(error: sqlite3.Error) -> BookTrouble:
    primary = getattr(error, "sqlite_errorcode", 0) & 0xFF
    detail = f"{getattr(error, 'sqlite_errorname', '')} {error}".strip()
    if primary == sqlite3.SQLITE_FULL:
        return DiskFull()
    if primary in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
        return BookLocked()
    if primary in (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB):
        return BookDamaged(detail)
    if primary in (sqlite3.SQLITE_IOERR, sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_READONLY):
        return DiskFailed(detail)
    raise error
