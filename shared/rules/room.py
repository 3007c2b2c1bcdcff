"""The leaf yards a field can still take under the sheets in force (rulings R2, R4 and R8)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from math import fsum
from typing import Literal

from shared.reckoning.computation import Input
from shared.reckoning.leaf import YARDS_YD3, LeafRoom
from shared.reckoning.leaf import room as room_under
from shared.rules.depth import Cap, caps
from shared.rules.period import counted
from shared.rules.sheet import Sheet
from shared.rules.spread import Spread
from shared.units import FT2_PER_ACRE

Closed = Literal["leg", "ground", "town_not_approved", "no_cap"]
"""Why a field takes no leaves now: its leg, its ground, a town not approved for organic ground; or no sheet
in force sets a cap, so that no room can be reckoned."""

_LOAD = Input("load_yd3", unit="yd3", low=0, above_low=True)
_FACTOR = Input("factor", unit="ground yd3/truck yd3", low=0, above_low=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class Sent:
    """Yards sent toward a field on a day, in truck yards. ``turned_back`` counts nothing, ``removed_yd3`` was
    taken off again, and what went to a pile counts only once it is drawn out and spread (``in_pile``)."""

    on: date
    yards_yd3: float
    turned_back: bool = False
    removed_yd3: float = 0
    in_pile: bool = False

    def __post_init__(self) -> None:
        YARDS_YD3.check(self.yards_yd3)
        YARDS_YD3.check(self.removed_yd3)

    @property
    def counts_yd3(self) -> float:
        """The yards of it that take up room."""
        if self.turned_back or self.in_pile:
            return 0
        return max(0.0, self.yards_yd3 - self.removed_yd3)


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldToFill:
    """A field on a day: its spreadable ground, what was sent, the size of a usual load (None: not asked) and
    the farm's factor of ground yards to truck yards (None: not yet measured). ``worked_in_on`` is the last
    day on which all of it was worked in; ``closed`` says why it takes none now."""

    field: str
    on: date
    area_ft2: float
    sent: tuple[Sent, ...] = ()
    load_yd3: float | None = None
    factor: float | None = None
    worked_in_on: date | None = None
    closed: tuple[Closed, ...] = ()

    def __post_init__(self) -> None:
        for one, value in ((_LOAD, self.load_yd3), (_FACTOR, self.factor)):
            if value is not None:
                one.check(value)


@dataclass(frozen=True, slots=True)
class Room:
    """Truck yards that a field still takes, whole loads of the usual size (None where none was given), the
    yards over the cap already, the cap behind it (None without one), why it is closed, and ``yards_are``:
    until the factor is measured these are *truck* yards, not ground depth."""

    room_yd3: float
    whole_loads: int | None
    over_by_yd3: float
    cap: Cap | None
    closed: tuple[Closed, ...]
    yards_are: Literal["truck", "ground"]


def field_room(sheets: Sequence[Sheet], field: FieldToFill) -> Room:
    """The least room under any cap that binds. A closed field has room 0 with the reason, whatever would fit.
    Raises ``OutOfRange`` for an area not above 0."""
    yards_are: Literal["truck", "ground"] = "truck" if field.factor is None else "ground"
    fits = [(_room_under(cap, field), cap) for cap in caps(sheets)]
    if not fits:
        return Room(0, _no_loads(field), 0, None, tuple(sorted({*field.closed, "no_cap"})), yards_are)
    least, cap = min(fits, key=lambda fit: (fit[0].room_yd3, -fit[0].over_by_yd3, fit[1].sheet.name))
    if field.closed:
        return Room(0, _no_loads(field), least.over_by_yd3, cap, tuple(sorted(set(field.closed))), yards_are)
    return Room(least.room_yd3, least.whole_loads, least.over_by_yd3, cap, (), yards_are)


def _room_under(cap: Cap, field: FieldToFill) -> LeafRoom:
    return room_under(
        area_ac=field.area_ft2 / FT2_PER_ACRE.value,
        cap_in=cap.depth_in,
        placed_yd3=_placed_yd3(cap, field),
        load_yd3=field.load_yd3,
        factor=1.0 if field.factor is None else field.factor,
    )


def _no_loads(field: FieldToFill) -> int | None:
    return None if field.load_yd3 is None else 0


def _placed_yd3(cap: Cap, field: FieldToFill) -> float:
    """The truck yards that count in the cap's period."""
    layers = [
        Spread(part=field.field, on=one.on, yards_yd3=one.counts_yd3, area_ft2=field.area_ft2)
        for one in field.sent
    ]
    worked = {
        one: field.worked_in_on if field.worked_in_on and one.on <= field.worked_in_on else None
        for one in layers
    }
    counting = counted(cap.clause.basis, field.field, layers, worked, field.on)
    return fsum(one.yards_yd3 for one in counting)
