"""A whole book from one database into another: how a book in PostgreSQL is copied into a file, checked there, and put
back from it. Every table goes, as one moment had it."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from django.apps import apps
from django.core.management import call_command
from django.core.management.color import no_style
from django.db import connections, models, transaction
from django.db.utils import DEFAULT_DB_ALIAS

FILE = "copied_file"
AT_ONCE = 500


def copied_out(into: Path) -> None:
    """The database's book in a new SQLite file, which is laid as this version lays one. Nothing forces it to the disk
    until it is whole: that is for the caller."""
    with _file(into):
        call_command("migrate", database=FILE, verbosity=0, interactive=False)
        with _one_moment():
            _copied(DEFAULT_DB_ALIAS, FILE)


def copied_in(book: Path) -> None:
    """The book of a file in place of what the database has, all or nothing. The file is brought up to this version
    first: hand a copy in."""
    with _file(book):
        call_command("migrate", database=FILE, verbosity=0, interactive=False)
        with transaction.atomic():
            _copied(FILE, DEFAULT_DB_ALIAS)
            _count_on()


@contextmanager
def _file(book: Path) -> Iterator[None]:
    """The file as a database beside the server's own."""
    known = connections.settings
    known[FILE] = dict(known[DEFAULT_DB_ALIAS]) | {
        "ENGINE": "django.db.backends.sqlite3",
        "NAME": str(book),
        **dict.fromkeys(("USER", "PASSWORD", "HOST", "PORT"), ""),
        "OPTIONS": {"init_command": "PRAGMA synchronous=OFF"},
        "CONN_MAX_AGE": None,
    }
    try:
        yield
    finally:
        connections[FILE].close()
        del connections[FILE]
        del known[FILE]


@contextmanager
def _one_moment() -> Iterator[None]:
    """Nothing that others write meanwhile is seen."""
    with transaction.atomic():
        with connections[DEFAULT_DB_ALIAS].cursor() as cursor:
            cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ, READ ONLY")
        yield


def _tables() -> list[type[models.Model]]:
    return [one for one in apps.get_models(include_auto_created=True) if one._meta.managed]


def _copied(source: str, target: str) -> None:
    """Every row of every table. References are only looked at once all are there."""
    with transaction.atomic(using=target):
        _empty(target)
        for model in _tables():
            rows = model._base_manager.using(source).order_by("pk").iterator(AT_ONCE)
            batch: list[models.Model] = []
            for row in rows:
                batch.append(row)
                if len(batch) == AT_ONCE:
                    model._base_manager.using(target).bulk_create(batch)
                    batch = []
            model._base_manager.using(target).bulk_create(batch)


def _empty(target: str) -> None:
    connection = connections[target]
    tables = [connection.ops.quote_name(one._meta.db_table) for one in _tables()]
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            cursor.execute("SET CONSTRAINTS ALL DEFERRED")
            cursor.execute(f"TRUNCATE {', '.join(tables)}")
        else:
            cursor.execute("PRAGMA defer_foreign_keys = ON")
            for table in tables:
                cursor.execute(f"DELETE FROM {table}")


def _count_on() -> None:
    """New rows are numbered after those that came."""
    connection = connections[DEFAULT_DB_ALIAS]
    with connection.cursor() as cursor:
        for statement in connection.ops.sequence_reset_sql(no_style(), _tables()):
            cursor.execute(statement)
