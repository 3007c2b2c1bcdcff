"""What the gate sheets show: a day or a season at the gate, by town and place, and the room that is left."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from uuid import UUID

from server.book import reads as book
from server.land import reads as land
from server.registers.facts import facts_of
from server.web.desk import Desk
from server.web.room import FieldRoom, Rooms, rooms_of
from shared.reckoning.loads import load_tons
from shared.rules import worded
from shared.rules.organic import TownToGround, town_approval
from shared.status.fact import Fact
from shared.status.gate import GateDay, GateSheet, TownTally, gate_days, gate_sheet
from shared.status.leaf_season import season_of, span_of
from shared.status.truck_factor import MeasuredFactor
from shared.words.bodies.gate import Load
from shared.words.town import Town

KINDS = ("load", "agreed_count")
WEEK, RECENT_DAYS = 7, 21


@dataclass(frozen=True, slots=True)
class TownLine:
    """A town of the sheet with its season so far against its cap."""

    town: Town | None
    tally: TownTally
    season_yd3: Decimal
    cap_yd3: Decimal | None

    @property
    def over_cap(self) -> bool:
        return self.cap_yd3 is not None and self.season_yd3 > self.cap_yd3


@dataclass(frozen=True, slots=True)
class Gate:
    """The page. ``days``: each day of a season with its own sheet, the last first. ``turned_back`` facts are
    loads. ``ratios`` are cubic yards a ton by packing, as the report must state them; ``factor`` is
    what a truck yard makes on the ground; ``barred``: loads to organic ground from a town that the certifier had not
    approved, as a sentence with the load."""

    first: date
    last: date
    sheet: GateSheet
    towns: Sequence[TownLine]
    days: Sequence[tuple[date, GateSheet]]
    loads: Sequence[Fact]
    turned_back: Sequence[Fact]
    rooms: Sequence[FieldRoom]
    ratios: Sequence[tuple[str, float]]
    season: int
    factor: MeasuredFactor | None
    measured: Sequence[MeasuredFactor]
    barred: Sequence[tuple[str, UUID]]

    a_day_yd3: float | None

    @property
    def room_yd3(self) -> float:
        return sum(one.left.room_yd3 for one in self.rooms)

    @property
    def full_in_days(self) -> int | None:
        """After how many days like those of the last week of loads the room is full; None where none came."""
        return math.floor(self.room_yd3 / self.a_day_yd3) + 1 if self.a_day_yd3 and self.room_yd3 else None


def seasons(desk: Desk) -> list[int]:
    """The seasons in which loads came, the last first."""
    found = book.of_kinds(desk.farm.id, ("load",)).exclude(day=None).order_by()
    return sorted({season_of(on) for on in found.dates("day", "month")}, reverse=True)


def last_day_of_loads(desk: Desk, up_to: date) -> date | None:
    found = book.of_kinds(desk.farm.id, ("load",)).filter(day__lte=up_to).order_by("-day")
    return found.values_list("day", flat=True).first()


def gate_of(desk: Desk, first: date, last: date, town: UUID | None = None, with_room: bool = True) -> Gate:
    """The gate from ``first`` to ``last``, of one town where one is named; the room left only if asked for."""
    season = season_of(last)
    begins, ends = span_of(season)
    facts = facts_of(desk.farm, KINDS, min(begins, first), max(ends, last))
    facts = [one for one in facts if town is None or getattr(one.body, "town", None) == town]
    days = gate_days(facts, desk.zone)
    here = {on: day for on, day in days.items() if first <= on <= last}
    loads = [one for one in facts if isinstance(one.body, Load) and _within(one, desk, first, last)]
    sheet = gate_sheet(here.values())
    room = rooms_of(desk) if with_room else Rooms([], None)
    return Gate(
        first=first,
        last=last,
        sheet=sheet,
        towns=_towns(desk, sheet, gate_sheet(day for on, day in days.items() if begins <= on <= ends)),
        days=[(on, gate_sheet((day,))) for on, day in sorted(here.items(), reverse=True)],
        loads=loads,
        turned_back=[one for one in loads if isinstance(one.body, Load) and not one.body.is_taken],
        rooms=[one for one in room.fields if one.receives],
        ratios=_ratios(list(here.values())),
        season=season,
        factor=room.factor,
        measured=room.measured,
        barred=_barred(desk, loads),
        a_day_yd3=_a_day_yd3(desk, days),
    )


def _a_day_yd3(desk: Desk, days: Mapping[date, GateDay]) -> float | None:
    """The mean of the last seven days with loads, none of them more than three weeks ago."""
    since = desk.today - timedelta(days=RECENT_DAYS)
    taken = [
        float(gate_sheet((day,)).yards_yd3) for on, day in sorted(days.items()) if since < on <= desk.today
    ]
    last = [one for one in taken if one > 0][-WEEK:]
    return sum(last) / len(last) if last else None


def _barred(desk: Desk, loads: Sequence[Fact]) -> list[tuple[str, UUID]]:
    """Loads that a sheet would have stopped at the gate: leaves of an unapproved town for organic ground."""
    sheets = land.sheets_in_force(desk.farm.id)
    towns = {one.id: one for one in land.towns(desk.farm.id, retired=True)}
    organic = {one.id: one.name for one in land.fields(desk.farm.id, retired=True) if one.organic_from}
    of_part = {one.id: one.field for one in land.parts(desk.farm.id, retired=True)}
    out = []
    for fact in loads:
        body, on = fact.body, fact.day(desk.zone)
        if (
            not isinstance(body, Load)
            or not body.is_taken
            or fact.struck
            or on is None
            or body.town not in towns
        ):
            continue
        town = towns[body.town]
        for place, _ in body.to:
            name = organic.get(of_part.get(place, place))
            if name is not None:
                asked = TownToGround(town.name, name, True, town.organic_approved_on, on)
                out += [
                    (worded(one, desk.language, town.name).says, fact.id)
                    for one in town_approval(sheets, asked)
                ]
    return out


def _within(fact: Fact, desk: Desk, first: date, last: date) -> bool:
    on = fact.day(desk.zone)
    return on is not None and first <= on <= last


def _towns(desk: Desk, sheet: GateSheet, season: GateSheet) -> list[TownLine]:
    towns = {one.id: one for one in land.towns(desk.farm.id, retired=True)}
    so_far = {one.town: one.yards_yd3 for one in season.towns}
    lines = []
    for tally in sheet.towns:
        town = towns.get(tally.town)
        cap = town.season_cap_yd3 if town else None
        lines.append(TownLine(town, tally, so_far.get(tally.town, Decimal(0)), cap))
    return lines


def _ratios(days: Sequence[GateDay]) -> list[tuple[str, float]]:
    packings = sorted({one.packing for day in days for one in day.towns if one.taken})
    return [(packing, load_tons(1.0, packing).yd3_per_ton) for packing in packings]
