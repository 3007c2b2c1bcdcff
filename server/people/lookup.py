"""A phone and its farm by a token's SHA-256, in one plain query: asked at every call, mostly to say nothing is new."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from datetime import UTC, date, datetime
from typing import Any
from uuid import UUID

from django.db import connection, models

from server.people.models import Farm, Phone

PHONE = ("id", "farm", "label", "line", "head", "safe", "seen_at", "waits", "stopped_at", "copied_at")
FARM = (
    *("id", "name", "zone", "units", "era", "number", "chain", "folded", "turn", "gone_before", "dues_on"),
    *("next_season_on", "leaves_from"),
)


def _columns(model: type[models.Model], names: Iterable[str]) -> list[Any]:
    return [model._meta.get_field(name) for name in names]


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
    phone: Phone = _made(Phone, _PHONE, row[: len(_PHONE)])
    phone.farm = _made(Farm, _FARM, row[len(_PHONE) :])
    return phone


def _made(model: type[models.Model], columns: Sequence[Any], values: Sequence[Any]) -> Any:
    ready = [
        _READ.get(type(one.target_field if one.is_relation else one), _as_is)(value)
        if value is not None
        else None
        for one, value in zip(columns, values, strict=True)
    ]
    return model.from_db(connection.alias, [one.attname for one in columns], ready)


def _as_is(value: Any) -> Any:
    return value


def _uuid(value: Any) -> UUID:
    return value if isinstance(value, UUID) else UUID(value)


def _time(value: Any) -> datetime:
    at = value if isinstance(value, datetime) else datetime.fromisoformat(value)
    return at if at.tzinfo else at.replace(tzinfo=UTC)


def _day(value: Any) -> date:
    return value if isinstance(value, date) else date.fromisoformat(value)


_READ: dict[type, Callable[[Any], Any]] = {
    models.UUIDField: _uuid,
    models.DateTimeField: _time,
    models.DateField: _day,
}
