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
from shared.status.truck_factor import MeasuredFactor, measured_factors, newest
from shared.words.field import Field

USUAL_LOAD_YD3 = 20.0
"""Where no truck is known yet."""


@dataclass(frozen=True, slots=True)
class FactorRoom:
    """Truck yards that still fit by the farm's own factor, and from its high end to its low one."""

    room_yd3: float
    least_yd3: float
    most_yd3: float


@dataclass(frozen=True, slots=True)
class FieldRoom:
    """A field with its room. ``takes`` is what its spreadable ground holds at the cap in ground yards, None without
    a cap or acres; ``receives``: its leg is open for leaves."""

    field: Field
    left: RoomLeft
    takes: LeafVolume | None
    load_yd3: float
    by_factor: FactorRoom | None = None

    @property
    def spreadable_ac(self) -> float | None:
        return self.field.area_ac if self.field.spreadable_ac is None else self.field.spreadable_ac

    @property
    def receives(self) -> bool:
        return "leg" not in self.left.closed

    @property
    def has_leaves(self) -> bool:
        return self.left.placed_yd3 > 0 and self.left.deepest_in > 0


@dataclass(frozen=True, slots=True)
class Rooms:
    """Every field's room, the factor that the farm has measured (None: not yet), and each round that measured one."""

    fields: list[FieldRoom]
    factor: MeasuredFactor | None
    measured: Sequence[MeasuredFactor] = ()


def rooms(desk: Desk, only: UUID | None = None) -> list[FieldRoom]:
    """The room of every field in use (or of one) on the farm's today, by name."""
    return rooms_of(desk, only).fields


def rooms_of(desk: Desk, only: UUID | None = None) -> Rooms:
    """The same with the farm's own factor of truck yards to ground yards, where it has been measured."""
    ground = ground_of(desk.farm.id)
    sheets = land.sheets_in_force(desk.farm.id)
    load = usual_load_yd3(desk.farm.id)
    trees = status.standings(desk.farm.id)
    used = sorted((one for one in ground.fields.values() if not one.retired), key=lambda one: one.name)
    stands = {
        one.id: FieldStatus.from_tree(trees[one.id]) if one.id in trees else FieldStatus(one.id)
        for one in used
    }
    walked = [one.id for one in used if stands[one.id].leaf_depth]
    measured = [each for one in walked for each in measured_factors(stands[one], ground.holding(one))]
    factor = newest(measured)
    fields = [one for one in used if only in (None, one.id)]
    made = [_room(desk, one, stands[one.id], ground, sheets, load, factor) for one in fields]
    return Rooms(made, factor, measured)


def _room(
    desk: Desk,
    field: Field,
    stands: FieldStatus,
    ground: Ground,
    sheets: Sequence[Sheet],
    load: float,
    factor: MeasuredFactor | None,
) -> FieldRoom:
    shut = closed_by(stands, desk.today, False, False)
    left = leaf_room(stands, ground.holding(field.id), sheets, desk.today, load, shut)
    acres = field.area_ac if field.spreadable_ac is None else field.spreadable_ac
    takes = leaf_volume(acres, left.cap_in) if acres and left.cap_in else None
    by_factor = None
    if factor is not None and factor.low > 0 and not left.closed:

        def room_at(ratio: float) -> float:
            return leaf_room(stands, ground.holding(field.id, ratio), sheets, desk.today, load, shut).room_yd3

        by_factor = FactorRoom(room_at(factor.factor), room_at(factor.high), room_at(factor.low))
    return FieldRoom(field, left, takes, load, by_factor)


def usual_load_yd3(farm: UUID) -> float:
    """The middle one of the beds of the farm's trucks."""
    beds = sorted(float(one.bed_yd3) for one in land.vehicles(farm))
    return median(beds) if beds else USUAL_LOAD_YD3
