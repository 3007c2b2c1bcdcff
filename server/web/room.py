"""The room that fields still have for leaves, and how deep they lie, as ``shared.status`` makes it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from uuid import UUID

from server.land import reads as land
from server.status import reads as status
from server.status.holdings import Ground, ground_of
from server.web.desk import Desk
from shared.reckoning.intervals import median
from shared.reckoning.leaf import LeafVolume, leaf_volume
from shared.rules.sheet import Sheet
from shared.status.field_status import FieldStatus
from shared.status.leaf_room import RoomLeft, closed_by, leaf_room
from shared.words.field import Field

USUAL_LOAD_YD3 = 20.0
"""Where no truck is known yet."""


@dataclass(frozen=True, slots=True)
class FieldRoom:
    """A field with its room. ``takes`` is what its spreadable ground holds at the cap in ground yards, None without
    a cap or acres; ``receives``: its leg is open for leaves."""

    field: Field
    left: RoomLeft
    takes: LeafVolume | None
    load_yd3: float

    @property
    def spreadable_ac(self) -> float | None:
        return self.field.area_ac if self.field.spreadable_ac is None else self.field.spreadable_ac

    @property
    def receives(self) -> bool:
        return "leg" not in self.left.closed

    @property
    def has_leaves(self) -> bool:
        return self.left.placed_yd3 > 0 and self.left.deepest_in > 0


def rooms(desk: Desk, only: UUID | None = None) -> list[FieldRoom]:
    """The room of every field in use (or of one) on the farm's today, by name."""
    ground = ground_of(desk.farm.id)
    sheets = land.sheets_in_force(desk.farm.id)
    load = usual_load_yd3(desk.farm.id)
    trees = status.standings(desk.farm.id)
    fields = [one for one in ground.fields.values() if not one.retired and only in (None, one.id)]
    fields.sort(key=lambda one: one.name)
    out = []
    for field in fields:
        stands = FieldStatus.from_tree(trees[field.id]) if field.id in trees else FieldStatus(field.id)
        out.append(_room(desk, field, stands, ground, sheets, load))
    return out


def _room(
    desk: Desk, field: Field, stands: FieldStatus, ground: Ground, sheets: Sequence[Sheet], load: float
) -> FieldRoom:
    shut = closed_by(stands, desk.today, False, False)
    left = leaf_room(stands, ground.holding(field.id), sheets, desk.today, load, shut)
    acres = field.area_ac if field.spreadable_ac is None else field.spreadable_ac
    takes = leaf_volume(acres, left.cap_in) if acres and left.cap_in else None
    return FieldRoom(field, left, takes, load)


def usual_load_yd3(farm: UUID) -> float:
    """The middle one of the beds of the farm's trucks."""
    beds = sorted(float(one.bed_yd3) for one in land.vehicles(farm))
    return median(beds) if beds else USUAL_LOAD_YD3
