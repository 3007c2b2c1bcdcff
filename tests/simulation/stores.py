"""Where a schedule's server keeps its book: a SQLite file, or a database of a PostgreSQL, each begun as a copy of one
that was laid once, filled up and done away with at will."""

from __future__ import annotations

import itertools
import os
import shutil
from pathlib import Path
from typing import Any, Protocol

import psycopg
import pytest
from django.core.management import call_command
from django.db import OperationalError, connection, connections

from server.keeping import crossing

_numbers = itertools.count(1)


class Store(Protocol):
    """``name`` is what Django calls the database by."""

    name: str

    def begun_from(self, folder: Path) -> Store:
        """Another of the same content, for a server with this data folder."""

    def fill(self, full: bool) -> None:
        """No room left, or room again."""

    def rest(self) -> None:
        """As a server that was stopped leaves it."""

    def done_with(self) -> None:
        """It is not needed any more."""


def forget_connection() -> None:
    """As when the process ends: what was not committed is not there."""
    wrapper = connections["default"]
    if wrapper.connection is not None:
        wrapper.connection.rollback()
        wrapper.connection.close()
    del connections["default"]


def used(store: Store) -> None:
    """From here on this process has this database."""
    forget_connection()
    connections["default"].settings_dict["NAME"] = store.name


def laid_empty(folder: Path) -> Store:
    """The server's tables with nothing in them: on PostgreSQL a copy of the database that this process was given."""
    if connection.vendor != "sqlite":
        return DatabaseStore.made(connection.settings_dict["NAME"])
    store = FileStore(folder / "empty.sqlite3")
    used(store)
    call_command("migrate", verbosity=0, interactive=False)
    store.rest()
    return store


class FileStore:
    def __init__(self, file: Path) -> None:
        self.file = file
        self.name = str(file)

    def begun_from(self, folder: Path) -> FileStore:
        copy = folder / "book.sqlite3"
        shutil.copy(self.file, copy)
        return FileStore(copy)

    def fill(self, full: bool) -> None:
        with connection.cursor() as cursor:
            cursor.execute("PRAGMA page_count")
            most = cursor.fetchone()[0] if full else 1_000_000
            cursor.execute(f"PRAGMA max_page_count = {most}")

    def rest(self) -> None:
        with connection.cursor() as cursor:
            cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        forget_connection()

    def done_with(self) -> None:
        """It goes with its folder."""


class DatabaseStore:
    def __init__(self, name: str) -> None:
        self.name = name

    @classmethod
    def made(cls, template: str) -> DatabaseStore:
        forget_connection()
        name = f"simulated_{os.getpid()}_{next(_numbers)}"
        _ordered(f'CREATE DATABASE "{name}" TEMPLATE "{template}" STRATEGY FILE_COPY')
        return cls(name)

    def begun_from(self, folder: Path) -> DatabaseStore:
        return self.made(self.name)

    def fill(self, full: bool) -> None:
        """What PostgreSQL says where a commit finds no room. The connection is made anew when there is some."""
        if not full:
            return
        connection.ensure_connection()
        wrapper: Any = connections["default"]

        def no_room() -> None:
            wrapper.connection.rollback()
            raise OperationalError("could not write to file: No space left on device")

        wrapper._commit = no_room

    def rest(self) -> None:
        forget_connection()

    def done_with(self) -> None:
        forget_connection()
        _ordered(f'DROP DATABASE "{self.name}" WITH (FORCE)')


def lay_files_once(patch: pytest.MonkeyPatch, folder: Path) -> None:
    """A backup of a PostgreSQL lays a SQLite file by all migrations, which takes longer than all else of it: here the
    first is laid so, and each after it begins as a copy of that."""
    laid, lay = folder / "laid.sqlite3", crossing.call_command

    def lay_once(*words: str, database: str, **how: Any) -> None:
        file = Path(connections[database].settings_dict["NAME"])
        if file.exists():
            return
        if laid.exists():
            shutil.copy(laid, file)
            return
        lay(*words, database=database, **how)
        connections[database].close()
        shutil.copy(file, laid)

    patch.setattr(crossing, "call_command", lay_once)


def _ordered(statement: str) -> None:
    """Done by the database that is always there."""
    told = connections["default"].settings_dict
    with psycopg.connect(
        dbname="postgres", user=told["USER"], host=told["HOST"], port=told["PORT"], autocommit=True
    ) as order:
        order.execute(statement)
