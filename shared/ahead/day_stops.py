"""A farm's fields as a day's order needs them: where they lie to each other, and what their ground bears."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from typing import Any
from uuid import UUID

from shared.ahead.day_order import Stop
from shared.errors import GoodgroundError
from shared.reckoning.ground import ground_fitness
from shared.status.field_status import FieldStatus
from shared.words.field import Field

M_PER_DEGREE = 111_320.0
"""Metres a degree of latitude: for an order of fields, not for an area."""
SEEN = ("state", "thread", "frost_in", "snow_in", "snow_packed")
TRACTOR_TONS = 5.0
"""A tractor's heavier axle with its implement (common practice, no source): not a truck of leaves."""
Corner = tuple[float, float]


def stops_of(fields: Iterable[Field], stands: Mapping[UUID, FieldStatus]) -> dict[UUID, Stop]:
    """Each field by its id; one that is not drawn lies at the first corner of the first that is."""
    several = list(fields)
    drawn = [corner for one in several for corner in _corners(one)]
    origin = drawn[0] if drawn else (0.0, 0.0)
    return {one.id: _stop(one, stands.get(one.id) or FieldStatus(one.id), origin) for one in several}


def _corners(field: Field) -> list[Corner]:
    return [(float(c[0]), float(c[1])) for piece in field.outline or () for c in piece.outer]


def _stop(field: Field, stands: FieldStatus, origin: Corner) -> Stop:
    corners = _corners(field) or [origin]
    lat, lon = (sum(one[axis] for one in corners) / len(corners) for axis in (0, 1))
    east = (lon - origin[1]) * M_PER_DEGREE * math.cos(math.radians(origin[0]))
    north = (lat - origin[0]) * M_PER_DEGREE
    seen = stands.ground
    ill = any(one.what in ("disease", "nematode") for one in stands.events)
    word = ground_word(seen.body) if seen else ""
    return Stop(
        field.id, field.name, field.area_ac or 0.0, east, north, word, seen.when[0] if seen else None, ill
    )


def ground_word(body: Mapping[str, str]) -> str:
    """What the ground bears of a tractor, by what was seen of it; empty where that can't be told."""
    try:
        given = {name: body[name] for name in SEEN if body.get(name) is not None}
        return ground_fitness(
            **{name: _figure(one) for name, one in given.items()}, axle_tons=TRACTOR_TONS
        ).verdict
    except GoodgroundError:
        return ""


def _figure(text: Any) -> Any:
    """What the status keeps as text, as the reckoning takes it."""
    if str(text).lower() in ("true", "false"):
        return str(text).lower() == "true"
    try:
        return float(text)
    except ValueError:
        return text
