"""Some three hundred loads at the gate from October to December, a few turned back, a few picked over."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from decimal import Decimal
from functools import cache
from random import Random
from typing import Literal
from uuid import UUID

from demo_fixtures import farm
from demo_fixtures.fact import Fact
from demo_fixtures.people import TALLIER
from demo_fixtures.season import Season, on, workday
from demo_fixtures.towns import QUILLHAM, TOWNS, TRUCKS, Borough, Truck
from demo_fixtures.weather import ground_state
from shared.words.bodies.gate import AgreedCount, Load, TrashItem

LOADS_A_SEASON = 305
OPENS, SHUTS, BUSIEST = (10, 6), (12, 18), (11, 16)
PILE_HOLDS_YD3 = Decimal(420)
Outcome = Literal["taken", "taken_after_picking", "turned_back"]


@dataclass(frozen=True, slots=True)
class Turn:
    """A field's turn to take loads: from a day on, up to so many yards."""

    plot: str
    opens: tuple[int, int]
    up_to_yd3: int


TURNS: Mapping[int, tuple[Turn, ...]] = {
    -1: (Turn("long_twelve", (10, 6), 3200), Turn("pond_field", (11, 5), 2700)),
    0: (
        Turn("quarry_side", (10, 6), 1420),
        Turn("saddle", (10, 6), 1240),
        Turn("hedge_strip", (10, 8), 960),
        Turn("mill_flat", (11, 5), 2600),
    ),
}


@dataclass(frozen=True, slots=True)
class Arrived:
    """One truck at the gate. ``to`` is a field's key, the pile's, or None for a load turned back. ``double``:
    the tallier wrote the one before it twice, and strikes this."""

    years: int
    number: int
    at: datetime
    truck: Truck
    fill_pct: int
    outcome: Outcome
    to: str | None
    items: tuple[TrashItem, ...] = ()
    bags: Literal["none", "few", "many"] = "none"
    again: Arrived | None = None
    double: bool = False

    @property
    def yards_yd3(self) -> Decimal:
        return self.truck.bed_yd3 * self.fill_pct / 100

    @property
    def counts(self) -> bool:
        return self.to is not None and not self.double

    @property
    def key(self) -> tuple[object, ...]:
        return ("load", self.years, self.number)

    def fact(self, season: Season) -> Fact:
        back = self.outcome == "turned_back"
        trash = "over" if back else ("picked" if self.outcome == "taken_after_picking" else "none")
        body = Load(
            ticket=f"{(season.year + self.years) % 100:02d}-{self.number:04d}",
            town=self.truck.town.id,
            beds=((self.truck.bed_yd3, Decimal(self.fill_pct)),),
            packing=self.truck.packing,
            bags=self.bags,
            checked="tipped" if back else "glance",
            trash=trash,
            trash_items=self.items,
            trash_basis="seen",
            outcome=self.outcome,
            to=((target(self.to), self.yards_yd3),) if self.to else (),
            hauler=self.truck.driver.id,
            vehicle=self.truck.id,
            collected="raked" if self.truck.town is QUILLHAM else "vacuumed",
            reason=_why(self) if back else None,
            again_of=self.again.fact(season).id(season) if self.again else None,
        )
        return Fact(self.key, self.at, "gate", TALLIER, body, spot=farm.GATE)


def _why(load: Arrived) -> str:
    return "glass" if "glass" in load.items else "bags"


def target(key: str) -> UUID:
    """The field or pile that a load went to."""
    return farm.LANE_PILE.id if key == farm.LANE_PILE.key else farm.BY_KEY[key].id


def _day_counts(season: Season, years: int) -> list[tuple[date, int]]:
    """Loads a day along a bell, so that the season's sum is exact."""
    first, last, peak = (season.day(years, *one) for one in (OPENS, SHUTS, BUSIEST))
    days = [first + timedelta(days=place) for place in range((last - first).days + 1)]
    days = [day for day in days if workday(day)]
    bell = [math.exp(-(((day - peak).days / 19) ** 2)) + 0.18 for day in days]
    out, sum_bell, given = [], 0.0, 0
    for day, height in zip(days, bell, strict=True):
        sum_bell += height
        upto = round(LOADS_A_SEASON * sum_bell / sum(bell))
        out.append((day, upto - given))
        given = upto
    return out


@cache
def loads(season: Season, years: int) -> tuple[Arrived, ...]:
    """One leaf season's loads, in order: this year's (0) or last year's (-1)."""
    dice = season.dice("gate", years)
    out: list[Arrived] = []
    sent: dict[str, Decimal] = {}
    for day, count in _day_counts(season, years):
        at = on(day, 7, 35) + timedelta(seconds=dice.randint(0, 900))
        for _ in range(count):
            load = _one(dice, season, years, len(out) + 1, at, out, sent)
            out.append(load)
            if load.counts and load.to:
                sent[load.to] = sent.get(load.to, Decimal(0)) + load.yards_yd3
            at += timedelta(seconds=27_000 // max(count, 4) + dice.randint(-420, 420))
            if len(out) in (88, 171):
                out.append(_written_twice(load))
    return tuple(out)


def _written_twice(load: Arrived) -> Arrived:
    return replace(load, number=load.number + 1, at=load.at + timedelta(seconds=74), double=True)


def _one(
    dice: Random,
    season: Season,
    years: int,
    number: int,
    at: datetime,
    past: list[Arrived],
    sent: dict[str, Decimal],
) -> Arrived:
    before = past[-1] if past else None
    if before and before.outcome == "turned_back" and before.at.date() == at.date():
        mended = replace(
            before, number=number, at=at, bags="few", outcome="taken_after_picking", again=before
        )
        return replace(mended, items=("plastic",), to=_where(season, years, at.date(), sent))
    truck = _truck(dice, past)
    fill = dice.choice((100, 100, 100, 90, 90, 80, 70))
    luck = dice.uniform(0, 100)
    if luck < truck.careless:
        items: tuple[TrashItem, ...] = ("glass",) if dice.random() < 0.4 else ("plastic",)
        bags: Literal["few", "many"] = "few" if items == ("glass",) else "many"
        return Arrived(years, number, at, truck, fill, "turned_back", None, items, bags)
    to = _where(season, years, at.date(), sent)
    if luck < truck.careless + 4:
        return Arrived(years, number, at, truck, fill, "taken_after_picking", to, ("plastic",), "few")
    return Arrived(years, number, at, truck, fill, "taken", to)


def _truck(dice: Random, past: list[Arrived]) -> Truck:
    """Any but the two that were just here."""
    lately = {load.truck.key for load in past[-2:]}
    free = [truck for truck in TRUCKS if truck.key not in lately]
    return dice.choices(free, [truck.share for truck in free])[0]


def _where(season: Season, years: int, day: date, sent: dict[str, Decimal]) -> str:
    """The first field that is open and has room; the pile while the ground won't bear a truck."""
    pile = farm.LANE_PILE.key
    if ground_state(season, day) == "standing_water" and sent.get(pile, Decimal(0)) < PILE_HOLDS_YD3:
        return pile
    for turn in TURNS[years]:
        if day >= season.day(years, *turn.opens) and sent.get(turn.plot, Decimal(0)) < turn.up_to_yd3:
            return turn.plot
    return pile


def facts(season: Season) -> list[Fact]:
    out = [load.fact(season) for years in TURNS for load in loads(season, years)]
    return out + [fact for years in TURNS for fact in _agreed(season, years)]


def _agreed(season: Season, years: int) -> list[Fact]:
    """Each Friday the tallier and each town's driver agree on the day's count."""
    out = []
    fridays = sorted({load.at.date() for load in loads(season, years) if load.at.weekday() == 4})
    for day in fridays:
        for place, town in enumerate(TOWNS):
            mine = [one for one in loads(season, years) if one.at.date() == day and _is_of(one, town)]
            if mine:
                body = AgreedCount(
                    town.id,
                    len(mine),
                    sum((one.yards_yd3 for one in mine), Decimal(0)),
                    mine[0].truck.driver.name,
                )
                out.append(
                    Fact(
                        ("agreed", town.key, day.isoformat()),
                        on(day, 15, 48 + place),
                        "gate",
                        TALLIER,
                        body,
                        spot=farm.GATE,
                    )
                )
    return out


def _is_of(load: Arrived, town: Borough) -> bool:
    return load.truck.town is town and load.counts
