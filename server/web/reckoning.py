"""The reckoner's form with figures of the farm's own."""

from __future__ import annotations

from server.web.room import FieldRoom
from shared.reckoning.computation import Computation
from shared.reckoning.in_words import Sheet, filled
from shared.status.field_status import FieldStatus
from shared.status.known import known_of_field


def of_field(one: Computation, room: FieldRoom, stands: FieldStatus, sheet: Sheet) -> dict[str, str]:
    """What the book knows of a field, for the inputs that ask for it."""
    return filled(one, known_of_field(stands, room.left, room.spreadable_ac, room.load_yd3), sheet)
