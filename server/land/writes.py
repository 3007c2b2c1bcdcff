"""Towns, haulers and trucks as the desk keeps them. Land itself changes by entries alone: see ``fold``."""

from __future__ import annotations

from datetime import datetime
from typing import Any
from uuid import UUID

from server.land.models import Hauler, Tiles, Town, Vehicle
from server.people import turns
from server.people.ids import new_id


def put_town(farm: UUID, now: datetime, id: UUID | None = None, **columns: Any) -> Town:
    """A town, new or changed: ``name``, ``organic_approved_on``, ``season_cap_yd3``, ``retired``."""
    return _put(Town, farm, now, id, columns)


def put_hauler(farm: UUID, now: datetime, id: UUID | None = None, **columns: Any) -> Hauler:
    """A hauler, new or changed: ``name``, ``retired``."""
    return _put(Hauler, farm, now, id, columns)


def put_vehicle(farm: UUID, now: datetime, id: UUID | None = None, **columns: Any) -> Vehicle:
    """A truck, new or changed: ``label``, ``town_id``, ``bed_yd3``, ``packing``, ``hauler_id``, ``plate``,
    ``retired``."""
    return _put(Vehicle, farm, now, id, columns)


def set_tiles(farm: UUID, address: str, credit: str) -> None:
    """Where the map's background comes from; an empty address: from nowhere."""
    if address:
        Tiles.objects.update_or_create(farm_id=farm, defaults={"address": address, "credit": credit})
    else:
        Tiles.objects.filter(farm_id=farm).delete()


def _put(model, farm: UUID, now: datetime, id: UUID | None, columns: dict[str, Any]):  # type: ignore[no-untyped-def]
    row = model.objects.filter(farm_id=farm, id=id).first() if id else None
    row = row or model(id=id or new_id(now), farm_id=farm)
    for name, value in columns.items():
        setattr(row, name, value)
    turns.put(farm, [row])
    return row
