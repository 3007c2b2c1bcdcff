"""The room that a field still has for a town's loads, as far as this phone knows."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from uuid import UUID

from mobile.actions.field_now import field_now, ground_held
from mobile.actions.land import field as held_field
from mobile.actions.land import towns
from mobile.actions.sheets import sheets_chosen
from mobile.ports import Phone
from shared.rules.organic import TownToGround, town_approval
from shared.status.leaf_room import RoomLeft, closed_by, leaf_room


def room_left(
    phone: Phone, enrolment: int, field: UUID, on: date, town: UUID | None, load_yd3: Decimal | None
) -> RoomLeft | None:
    """Room on a farm-day; ``closed`` in it says why the field takes none. None for a field not on this phone."""
    land = ground_held(phone, enrolment, field)
    if land is None:
        return None
    status = field_now(phone, enrolment, field)
    sheets = sheets_chosen(phone, enrolment)
    barred = town is not None and _town_barred(phone, enrolment, field, town, on)
    shut = closed_by(status, on, False, barred)
    return leaf_room(status, land, sheets, on, float(load_yd3) if load_yd3 else None, shut)


def _town_barred(phone: Phone, enrolment: int, field: UUID, town: UUID, on: date) -> bool:
    """Whether organic ground is closed to a town that the certifier has not approved."""
    ground = held_field(phone, enrolment, field)
    known = next((one for one in towns(phone, enrolment) if one.id == town), None)
    if ground is None or known is None:
        return False
    load = TownToGround(
        known.name, ground.name, ground.organic_from is not None, known.organic_approved_on, on
    )
    return bool(town_approval(sheets_chosen(phone, enrolment), load))
