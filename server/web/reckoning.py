"""The reckoner's form with figures of the farm's own."""

from __future__ import annotations

from typing import Any

from server.web.room import FieldRoom
from shared.reckoning.computation import Computation
from shared.reckoning.in_words import Sheet
from shared.status.field_status import FieldStatus


def of_field(one: Computation, room: FieldRoom, stands: FieldStatus, sheet: Sheet) -> dict[str, str]:
    """What the book knows of a field, for the inputs that ask for it."""
    depths = stands.leaf_depth[0].fresh_in if stands.leaf_depth else ()
    known: dict[str, Any] = {
        "area_ac": room.spreadable_ac,
        "cap_in": room.left.cap_in,
        "placed_yd3": room.left.placed_yd3 or None,
        "yards_yd3": room.left.placed_yd3 or None,
        "load_yd3": room.load_yd3,
        "depths_in": depths or None,
    }
    out = {}
    for each in one.inputs:
        value = known.get(each.name)
        if value is None:
            continue
        unit = sheet.unit(each.unit)
        values = value if isinstance(value, tuple) else (value,)
        out[each.name] = ",".join(f"{unit.turned(v) if unit else v:.6g}" for v in values)
    return out


def knows_fields(one: Computation) -> bool:
    """Whether a field can fill in anything here."""
    return any(each.name in ("area_ac", "cap_in", "placed_yd3", "depths_in") for each in one.inputs)
