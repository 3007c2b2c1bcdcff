"""Many rows in one statement, at the speed of the database: the ORM's own way costs more than all else of a push."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import UTC, datetime
from typing import Any
from uuid import UUID

from django.db import connection, models

Prepared = Callable[[Any], Any]


def insert(model: type[models.Model], columns: Sequence[str], rows: Sequence[list[Any]]) -> None:
    """Insert these rows, whose values are made ready in place; a conflict is an error of ours and raises, never a
    row passed over (contract, W8)."""
    if not rows:
        return
    fields = [model._meta.get_field(name) for name in columns]
    quoted = connection.ops.quote_name
    names = ", ".join(quoted(field.column) for field in fields)
    places = ", ".join(["%s"] * len(fields))
    ready = [(place, how) for place, field in enumerate(fields) if (how := _prepared(field)) is not None]
    for place, how in ready:
        # Most columns say the same few things row after row: the farm, the phone, the field, the person.
        told: dict[int, tuple[Any, Any]] = {}
        for row in rows:
            value = row[place]
            if value is not None:
                # The value is kept beside, or another could come to stand at its address.
                same = told.get(id(value)) or told.setdefault(id(value), (value, how(value)))
                row[place] = same[1]
    table = quoted(model._meta.db_table)
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            _copied(cursor, f"COPY {table} ({names}) FROM STDIN", rows)
        else:
            cursor.executemany(f"INSERT INTO {table} ({names}) VALUES ({places})", rows)


def _copied(cursor: Any, statement: str, rows: Sequence[list[Any]]) -> None:
    """PostgreSQL would be asked once a row otherwise. A conflict raises here as it does in an INSERT."""
    with connection.wrap_database_errors, cursor.copy(statement) as copy:
        for row in rows:
            copy.write_row(row)


def _prepared(field: Any) -> Prepared | None:
    """How a value of this column is handed to the database; None: as it is."""
    target = field.target_field if field.is_relation else field
    if isinstance(target, models.UUIDField):
        return None if connection.features.has_native_uuid_field else _hex
    if isinstance(target, models.DateField) and connection.vendor == "sqlite":
        return _time_text if isinstance(target, models.DateTimeField) else str
    return None


def _hex(value: UUID) -> str:
    return f"{value.int:032x}"


def _time_text(at: datetime) -> str:
    """A time as Django keeps it in SQLite: UTC, without saying so."""
    return (at if at.tzinfo is UTC else at.astimezone(UTC)).isoformat(" ").removesuffix("+00:00")
