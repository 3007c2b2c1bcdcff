"""The room a field still has, its work-in clocks, and how deep leaves lie on it, on a day and under the
sheets in force.

Room is told in truck yards until the farm has measured what a truck yard makes on the ground (R2). Yards on
a part lie on its pieces of ground and add up where parts overlap (R3); a piece that is over the cap gives no
room, and takes none from the others.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from math import fsum
from typing import Literal
from uuid import UUID

from shared.reckoning.leaf import AREA_AC, FLOAT_SLACK, YARDS_YD3, leaf_volume
from shared.rules.calendar import ONE_DAY
from shared.rules.depth import depth, laid_depth
from shared.rules.period import counted
from shared.rules.room import Closed, FieldToFill, Room, Sent, field_room
from shared.rules.sheet import Clause, Sheet
from shared.rules.spread import Spread, WorkedIn
from shared.rules.work_in_clock import Clock, clocks, worked_days
from shared.status.field_status import FieldStatus
from shared.status.holding import Holding
from shared.status.laid import Laid
from shared.units import FT2_PER_ACRE
from shared.words.finding import Finding

WhyNoRoom = Literal["leg", "ground", "town_not_approved", "no_cap", "no_area"]
OPEN_LEGS = ("leaf", "idle")
"""Leaves go on after a cash crop; a field in any other leg is not open for them."""
UNKNOWN_AC = 1.0
"""Stands for the ground of a field whose acres nobody has drawn or typed: its clock still runs."""
ROUNDED_OFF = 0.05
"""Rounding takes no more than this share off an area; more is another area."""
LEAST_AC, MOST_YD3 = AREA_AC.low or 0.0, YARDS_YD3.high or 0.0


@dataclass(frozen=True, slots=True)
class RoomLeft:
    """Truck yards and whole loads of ``load_yd3`` (None: no usual load was named) that still fit; by how
    much the cap is passed already; the depth of what lies there on its deepest piece; the cap in inches
    (None: no sheet sets one); why the field takes none now (empty: it does); ``yards_are`` *truck* until
    the factor is measured."""

    room_yd3: float
    whole_loads: int | None
    over_by_yd3: float
    deepest_in: float
    placed_yd3: float
    cap_in: float | None
    closed: tuple[WhyNoRoom, ...]
    yards_are: Literal["truck", "ground"]


def spreads_of(status: FieldStatus, land: Holding) -> tuple[Spread, ...]:
    """What lies on the field as the rules' checks take it, in truck yards, or in ground yards where the
    factor is known. The ground covered is the drawn part, else what was typed, else the spreadable
    outline (R3)."""
    return tuple(_spread(one, land) for one in status.laid)


def _spread(one: Laid, land: Holding) -> Spread:
    held = land.parts.get(one.part) if one.part is not None else None
    drawn = _acres(held.area_ac if held else None)
    typed = _acres(float(one.area_ac) if one.area_ac is not None else None)
    area = drawn or typed or _acres(land.spreadable_ac) or UNKNOWN_AC
    return Spread(
        part=str(one.part or land.field),
        on=one.since,
        yards_yd3=min(float(one.yards_yd3) * (land.factor or 1.0), MOST_YD3),
        area_ft2=area * FT2_PER_ACRE.value,
        area_from="drawn" if drawn else "typed" if typed else "outline",
        yards_are="truck" if land.factor is None else "ground",
        pieces=land.ground(one.part),
    )


def _acres(area_ac: float | None) -> float | None:
    """An area that a depth can be reckoned on, else None."""
    return area_ac if area_ac is not None and area_ac >= LEAST_AC else None


def workings_of(status: FieldStatus, land: Holding) -> tuple[WorkedIn, ...]:
    """What was worked in as the rules' checks take it."""
    return tuple(
        WorkedIn(
            on=one.on,
            part=str(one.part) if one.part is not None else None,
            area_ft2=_worked_ft2(one.area_ac, one.part, land),
            pieces=land.ground(one.part) if one.part is not None else frozenset(),
        )
        for one in status.worked
    )


def _worked_ft2(typed: Decimal | None, part: UUID | None, land: Holding) -> float | None:
    """The ground worked; None for all of the field. People type acres rounded: an area that is the
    ground's own, written with as many decimals, is all of it."""
    acres = land.acres(part)
    drawn = acres if part is not None else None
    if typed is not None and typed > 0 and not (acres and _is_all(typed, acres)):
        drawn = float(typed)
    return drawn * FT2_PER_ACRE.value if drawn else None


def _is_all(typed: Decimal, acres: float) -> bool:
    decimals = max(0, -int(typed.as_tuple().exponent))
    return round(acres, decimals) == float(typed) and abs(acres - float(typed)) <= acres * ROUNDED_OFF


def work_in_clocks(status: FieldStatus, land: Holding) -> tuple[Clock, ...]:
    """Every run of the field's work-in clock (R9); those with ``worked_on`` None are still running."""
    return clocks(spreads_of(status, land), workings_of(status, land))


def depth_findings(
    status: FieldStatus, land: Holding, sheets: Sequence[Sheet], on: date
) -> tuple[Finding, ...]:
    """What lies too deep by volume on the day ``on``, by each sheet in force. Nothing can be said, so
    nothing is, of a field whose acres aren't known."""
    if _acres(land.spreadable_ac) is None:
        return ()
    return depth(sheets, spreads_of(status, land), workings_of(status, land), on)


def closed_by(status: FieldStatus, on: date, ground_barred: bool, town_barred: bool) -> tuple[Closed, ...]:
    """Why a field is not open: its leg on the day; the ground; a town not approved for organic ground."""
    leg = status.leg_on(on)
    told: list[tuple[bool, Closed]] = [
        (leg is not None and leg.leg not in OPEN_LEGS and not _after_harvest(status, on), "leg"),
        (ground_barred, "ground"),
        (town_barred, "town_not_approved"),
    ]
    return tuple(why for barred, why in told if barred)


def _after_harvest(status: FieldStatus, on: date) -> bool:
    """A cash crop that is off the field leaves it open: its leg lasts until leaves or seed go on."""
    leg, harvest = status.leg_on(on), status.last_done("harvest")
    sown = status.last_done("plant", "seed")
    return (
        leg is not None
        and leg.leg == "cash"
        and harvest is not None
        and (sown is None or sown.rank < harvest.rank)
    )


def leaf_room(
    status: FieldStatus,
    land: Holding,
    sheets: Sequence[Sheet],
    on: date,
    load_yd3: float | None = None,
    closed: Iterable[Closed] = (),
) -> RoomLeft:
    """The least room under any cap that binds, over the pieces of ground, on a farm day. ``closed`` says
    why the field is not open, if it isn't (``closed_by``): then room is 0, and what would fit is not
    told."""
    shut = tuple(sorted(set(closed)))
    yards_are: Literal["truck", "ground"] = "truck" if land.factor is None else "ground"
    spreads = tuple(one for one in spreads_of(status, land) if one.on <= on)
    worked = worked_days(spreads, [one for one in workings_of(status, land) if one.on <= on])
    deepest = max(
        (
            laid_depth(piece, counted("until_worked_in", piece, spreads, worked, on)).depth_in
            for piece in land.pieces
        ),
        default=0.0,
    )
    if _acres(land.spreadable_ac) is None:
        loads = None if load_yd3 is None else 0
        return RoomLeft(0.0, loads, 0.0, deepest, 0.0, None, (*shut, "no_area"), yards_are)
    judged = (*sheets, *_own_cap(land))
    rooms = [_piece_room(piece, spreads, worked, land, judged, on) for piece in land.pieces]
    takes = [_takes_yd3(piece, one, land) for piece, one in zip(land.pieces, rooms, strict=True)]
    left, over_by = fsum(one.room_yd3 for one in rooms), fsum(one.over_by_yd3 for one in rooms)
    placed = fsum(takes) - left + over_by
    why: tuple[WhyNoRoom, ...] = tuple(sorted({*shut, *(each for one in rooms for each in one.closed)}))
    left = 0.0 if why else left
    whole = None if load_yd3 is None else math.floor(left / load_yd3 * (1.0 + FLOAT_SLACK.value))
    cap = min((one.cap.depth_in for one in rooms if one.cap), default=None)
    return RoomLeft(left, whole, over_by, deepest, placed, cap, why, yards_are)


def _own_cap(land: Holding) -> tuple[Sheet, ...]:
    """The field's own depth, as a sheet of the farm's own word."""
    if land.cap_in is None or land.cap_in <= 0:
        return ()
    clause = Clause(
        key="depth_in",
        value=float(land.cap_in),
        unit="in",
        citation="the field's own cap",
        read_on="",
        standing="read",
        force="own",
        basis="rolling_twelve_months",
    )
    return (
        Sheet(name="field", title="The field's own cap", authority="the farm", edition="", depth_in=clause),
    )


def _piece_room(
    piece: str,
    spreads: Sequence[Spread],
    worked: Mapping[Spread, date | None],
    land: Holding,
    sheets: Sequence[Sheet],
    on: date,
) -> Room:
    """The room of one piece of ground: each spread lies on its pieces in proportion to their acres."""
    there = [one for one in spreads if piece in one.ground]
    area_ac = land.pieces[piece]
    if _acres(area_ac) is None:
        return Room(0.0, None, 0.0, None, (), "truck" if land.factor is None else "ground")
    shares = [
        area_ac / fsum(land.pieces[each] for each in one.ground if each in land.pieces) for one in there
    ]
    yards = [one.yards_yd3 / (land.factor or 1.0) * share for one, share in zip(there, shares, strict=True)]
    to_fill = FieldToFill(
        field=piece,
        on=on,
        area_ft2=area_ac * FT2_PER_ACRE.value,
        sent=tuple(Sent(on=one.on, yards_yd3=each) for one, each in zip(there, yards, strict=True)),
        factor=land.factor,
        worked_in_on=_all_worked_on([(one.on, worked[one]) for one in there]),
    )
    return field_room(sheets, to_fill)


def _all_worked_on(laid: Sequence[tuple[date, date | None]]) -> date | None:
    """The last day up to which all that was laid by then had been worked in."""
    done = max((worked for _, worked in laid if worked is not None), default=None)
    lying = min((on for on, worked in laid if worked is None), default=None)
    if done is None or lying is None or done < lying:
        return done
    return lying - ONE_DAY


def _takes_yd3(piece: str, room: Room, land: Holding) -> float:
    """The truck yards that a piece takes in all under its cap."""
    if room.cap is None or _acres(land.pieces[piece]) is None:
        return room.room_yd3
    return leaf_volume(land.pieces[piece], room.cap.depth_in).yards_yd3 / (land.factor or 1.0)
