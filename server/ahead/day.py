"""The next jobs of a farm, day by day, from its dues, its ground and what was put off lately."""

from __future__ import annotations

import math
from collections.abc import Mapping
from datetime import date, timedelta
from typing import Any
from uuid import UUID

from server.book import reads as book
from server.land import reads as land
from server.status import reads as status
from shared.ahead.day_order import Day, Stop, day_order
from shared.errors import GoodgroundError
from shared.reckoning.ground import ground_fitness
from shared.status.field_status import FieldStatus
from shared.words.bodies.told import PutOff
from shared.words.field import Field

M_PER_DEGREE = 111_320.0
"""Metres a degree of latitude: for an order of fields, not for an area."""
PUT_OFF_DAYS = 2
SEEN = ("state", "thread", "frost_in", "snow_in", "snow_packed")
TRACTOR_TONS = 5.0
"""A tractor's heavier axle with its implement (common practice, no source): not a truck of leaves."""


def stops_of(farm: UUID) -> dict[UUID, Stop]:
    """The farm's fields as a day's order needs them."""
    stands = status.standings(farm)
    fields = land.fields(farm)
    drawn = [corner for one in fields for corner in _corners(one)]
    origin = drawn[0] if drawn else (0.0, 0.0)
    return {one.id: _stop(one, stands.get(one.id), origin) for one in fields}


def _corners(field: Field) -> list[tuple[float, float]]:
    return [(float(c[0]), float(c[1])) for piece in field.outline or () for c in piece.outer]


def _stop(field: Field, tree: Mapping[str, object] | None, origin: tuple[float, float]) -> Stop:
    corners = _corners(field) or [origin]
    lat, lon = (sum(one[axis] for one in corners) / len(corners) for axis in (0, 1))
    east = (lon - origin[1]) * M_PER_DEGREE * math.cos(math.radians(origin[0]))
    north = (lat - origin[0]) * M_PER_DEGREE
    stands = FieldStatus.from_tree(tree) if tree else FieldStatus(field.id)
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


def days_of(farm: UUID, today: date, count: int) -> list[Day]:
    """The jobs of tomorrow and of the days after it: what is placed on a day is not looked at again on the next."""
    dues, stops = status.dues(farm), stops_of(farm)
    put_off = lately_put_off(farm, today)
    out, done = [], set[str]()
    for ahead in range(1, count + 1):
        on = today + timedelta(days=ahead)
        left = [one for one in dues if one.id not in done]
        day = day_order(left, stops, on, put_off if ahead == 1 else {})
        out.append(day)
        done |= {one.due.id for one in day.jobs} | {one.id for one in day.desk}
    return out


def lately_put_off(farm: UUID, today: date) -> dict[str, str]:
    """Dues that somebody said could not be done, in the last days."""
    out = {}
    for written in book.all_written(book.of_kinds(farm, ["put_off"])):
        body, made = written.entry.body, written.entry.made_at.utc
        if isinstance(body, PutOff) and made is not None and (today - made.date()).days < PUT_OFF_DAYS:
            out[body.due] = body.why
    return out
