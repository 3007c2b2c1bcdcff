"""A phone and its farm by a token's SHA-256, in one plain query: asked at every call, mostly to say nothing is new."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from datetime import UTC, date, datetime
from functools import cache, lru_cache
from typing import Any
from uuid import UUID

from django.db import connection, models
from django.db.models.base import ModelState

from server.people.models import Farm, Phone

PHONE = ("id", "farm", "label", "line", "head", "safe", "seen_at", "waits", "stopped_at", "copied_at")
FARM = (
    *("id", "name", "zone", "units", "era", "number", "chain", "folded", "turn", "gone_before", "dues_on"),
    *("next_season_on", "leaves_from"),
)


Reader = Callable[[Any], Any]


def _columns(model: type[models.Model], names: Iterable[str]) -> list[Any]:
    return [model._meta.get_field(name) for name in names]


def _readers(columns: Iterable[Any]) -> list[tuple[str, Reader | None]]:
    """Each column's attribute, and what its value of the database is read with; None: as it is."""
    return [(one.attname, _READ.get(type(one.target_field if one.is_relation else one))) for one in columns]


_PHONE, _FARM = _columns(Phone, PHONE), _columns(Farm, FARM)
_SQL = (
    "SELECT "
    + ", ".join([f"p.{one.column}" for one in _PHONE] + [f"f.{one.column}" for one in _FARM])
    + " FROM people_phone p JOIN people_farm f ON f.id = p.farm_id WHERE p.token_sha = %s"
)


def by_token_sha(sha: str) -> Phone | None:
    """The phone with its farm, only the columns that a call needs; None where no phone has this token."""
    with connection.cursor() as cursor:
        cursor.execute(_SQL, [sha])
        row = cursor.fetchone()
    if row is None:
        return None
    phone: Phone = _made(Phone, _PHONE_READ, row[: len(_PHONE)])
    phone.farm = _made(Farm, _FARM_READ, row[len(_PHONE) :])
    return phone


def locked_row(model: type[models.Model], key: UUID) -> Any:
    """A phone or a farm by its id, whole, its row locked until the transaction ends. Raises ``DoesNotExist``."""
    columns, readers = _whole(model)
    with connection.cursor() as cursor:
        cursor.execute(f"SELECT {columns} FROM {model._meta.db_table} WHERE id = %s{_lock()}", [_key(key)])
        row = cursor.fetchone()
    if row is None:
        raise model.DoesNotExist  # type: ignore[attr-defined]
    return _made(model, readers, row)


def known(model: type[models.Model], farm: UUID, ids: Iterable[UUID]) -> frozenset[UUID]:
    """Which of these are rows of this farm, retired or not."""
    wanted = list(ids)
    if not wanted:
        return frozenset()
    places = ", ".join(["%s"] * len(wanted))
    with connection.cursor() as cursor:
        cursor.execute(
            f"SELECT id FROM {model._meta.db_table} WHERE farm_id = %s AND id IN ({places})",
            [_key(farm), *map(_key, wanted)],
        )
        return frozenset([_uuid(one) for (one,) in cursor.fetchall()])


@cache
def _whole(model: type[models.Model]) -> tuple[str, list[tuple[str, Reader | None]]]:
    columns = model._meta.concrete_fields
    return ", ".join([connection.ops.quote_name(one.column) for one in columns]), _readers(columns)


def _key(value: UUID) -> Any:
    return value if connection.features.has_native_uuid_field else value.hex


def _lock() -> str:
    return " FOR UPDATE" if connection.features.has_select_for_update else ""


def _made(
    model: type[models.Model], columns: Sequence[tuple[str, Reader | None]], values: Sequence[Any]
) -> Any:
    """A row as the ORM would make it, without its signals; columns that were not asked for are deferred."""
    made = model.__new__(model)
    made._state = ModelState()
    made._state.adding, made._state.db = False, connection.alias
    told = made.__dict__
    for (name, read), value in zip(columns, values, strict=True):
        told[name] = value if read is None or value is None else read(value)
    return made


@lru_cache(maxsize=1_024)
def _uuid(value: Any) -> UUID:
    return value if isinstance(value, UUID) else UUID(value)


@lru_cache(maxsize=1_024)
def _time(value: Any) -> datetime:
    at = value if isinstance(value, datetime) else datetime.fromisoformat(value)
    return at if at.tzinfo else at.replace(tzinfo=UTC)


def _day(value: Any) -> date:
    return value if isinstance(value, date) else date.fromisoformat(value)


_READ: dict[type, Reader] = {
    models.UUIDField: _uuid,
    models.DateTimeField: _time,
    models.DateField: _day,
    models.BooleanField: bool,
}
_PHONE_READ, _FARM_READ = _readers(_PHONE), _readers(_FARM)
