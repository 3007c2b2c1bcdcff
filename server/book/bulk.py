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
    names = _made_ready(model, columns, rows)
    table, told = connection.ops.quote_name(model._meta.db_table), ", ".join(names)
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            _copied(cursor, f"COPY {table} ({told}) FROM STDIN", rows)
        else:
            places = ", ".join(["%s"] * len(names))
            cursor.executemany(f"INSERT INTO {table} ({told}) VALUES ({places})", rows)


def update(model: type[models.Model], columns: Sequence[str], rows: Sequence[tuple[int, list[Any]]]) -> None:
    """Set these columns of the rows with these keys."""
    if not rows:
        return
    names = _made_ready(model, columns, [values for _, values in rows])
    table, told = connection.ops.quote_name(model._meta.db_table), ", ".join(f"{name} = %s" for name in names)
    with connection.cursor() as cursor:
        cursor.executemany(
            f"UPDATE {table} SET {told} WHERE id = %s", [[*values, key] for key, values in rows]
        )


def _made_ready(model: type[models.Model], columns: Sequence[str], rows: Sequence[list[Any]]) -> list[str]:
    """The quoted names of these columns; the rows' values, one a column, are made ready for them in place."""
    fields = [model._meta.get_field(name) for name in columns]
    for place, field in enumerate(fields):
        how = _prepared(field)
        if how is None:
            continue
        # Most columns say the same few things row after row: the farm, the phone, the field, the person.
        last: Any = None
        ready: Any = None
        for row in rows:
            value = row[place]
            if value is not None:
                if value is not last:
                    last, ready = value, how(value)
                row[place] = ready
    return [connection.ops.quote_name(field.column) for field in fields]


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
