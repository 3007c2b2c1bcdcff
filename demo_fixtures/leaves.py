"""Leaves on the ground: spreading, depth rounds behind the spreader, working in, and the state of the ground."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from decimal import Decimal

from demo_fixtures import farm, gate
from demo_fixtures.clocks import told
from demo_fixtures.cover import walker
from demo_fixtures.fact import Fact
from demo_fixtures.people import ANA, TOBIN
from demo_fixtures.season import Season, next_workday, on, workday
from demo_fixtures.walk import Walk, spots
from demo_fixtures.weather import ground_state
from shared.words.bodies.walked import Ground, LeafDepth
from shared.words.bodies.work import Work

SPREADER, DISK = "beater spreader", "offset disk"
OVER_CAP = "saddle"
"""The field whose leaves lie over the cap, on purpose: its probe says so before its yards do."""
DEPTHS = {
    "long_twelve": 4.3,
    "pond_field": 4.9,
    "quarry_side": 4.7,
    OVER_CAP: 6.9,
    "hedge_strip": 4.9,
    "mill_flat": 5.1,
}
"""The mean that each field's depth round is drawn around, in inches. Invented."""


def facts(season: Season) -> list[Fact]:
    out: list[Fact] = []
    for years in gate.TURNS:
        out += _spreads(season, years) + _from_the_pile(season, years) + _grounds(season, years)
        for turn in gate.TURNS[years]:
            out += _depths(season, years, turn.plot)
    return out + _worked_in(season)


def spread_days(season: Season, years: int, plot: str) -> list[tuple[date, list[gate.Arrived]]]:
    """Each day on which a field's heaps were spread, with the loads that lay there: every second working day
    of its turn, and the day after its last load."""
    mine = [one for one in gate.loads(season, years) if one.counts and one.to == plot]
    out: list[tuple[date, list[gate.Arrived]]] = []
    waiting: list[gate.Arrived] = []
    for place, load in enumerate(mine):
        waiting.append(load)
        last = place + 1 == len(mine)
        if last or (mine[place + 1].at.date() > load.at.date() and load.at.date().toordinal() % 2):
            out.append((next_workday(load.at.date() + timedelta(days=1)), waiting))
            waiting = []
    return out


def _spreads(season: Season, years: int) -> list[Fact]:
    out = []
    for turn in gate.TURNS[years]:
        for day, heaps in spread_days(season, years, turn.plot):
            body = Work(
                job="spread",
                machine=SPREADER,
                people=(TOBIN.id,),
                started_at=told(on(day, 13, 5)),
                loads=len(heaps),
                yards_yd3=sum((one.yards_yd3 for one in heaps), Decimal(0)),
                bags_off=True,
            )
            out.append(work("spread", turn.plot, on(day, 15, 40), body))
    return out


def work(name: str, plot: str, at: datetime, body: Work, phone: str = "yellow") -> Fact:
    """A job written down at the gap in the hedge when it was done."""
    inside = spots(plot, 10)[0]
    hand = TOBIN if phone == "yellow" else ANA
    return Fact((name, plot, at.date().isoformat()), at, phone, hand, body, plot, inside)


PILE_SPREAD = {-1: ("pond_field", (12, 21)), 0: ("mill_flat", (12, 21))}


def pile_yd3(season: Season, years: int) -> Decimal:
    """What a leaf season sent to the pile: all of it is spread once the gate has shut."""
    return sum(
        (one.yards_yd3 for one in gate.loads(season, years) if one.counts and one.to == farm.LANE_PILE.key),
        Decimal(0),
    )


def _from_the_pile(season: Season, years: int) -> list[Fact]:
    plot, (month, day) = PILE_SPREAD[years]
    yards = pile_yd3(season, years)
    if not yards:
        return []
    at = on(next_workday(season.day(years, month, day)), 14, 50)
    body = Work(job="spread", machine=SPREADER, from_=(farm.LANE_PILE.id,), yards_yd3=yards, bags_off=True)
    return [work("spread pile", plot, at, body)]


def _grounds(season: Season, years: int) -> list[Fact]:
    """Wet or frozen? Each morning of the leaf season, in the field that takes the day's first load."""
    out = []
    seen: set[date] = set()
    for load in gate.loads(season, years):
        day = load.at.date()
        if day in seen or not workday(day):
            continue
        seen.add(day)
        plot = load.to if load.to in farm.BY_KEY else gate.TURNS[years][0].plot
        state = ground_state(season, day)
        thread = {"dry": "crumbles", "moist": "edge", "wet": "rolls", "standing_water": "smears"}.get(state)
        body = Ground(
            state=state,
            frost_in=Decimal(2) if state == "frozen" else None,
            thread=thread,  # type: ignore[arg-type]
            axle_tons=Decimal(5),
        )
        assert plot is not None
        at = on(day, 7, 4) + timedelta(seconds=11 * len(seen) % 600)
        out.append(Fact(("ground", day.isoformat()), at, "yellow", TOBIN, body, plot, spots(plot, 10)[0]))
    return out


def _depths(season: Season, years: int, plot: str) -> list[Fact]:
    """Ten stops behind the spreader, halfway through a field's turn and at its end."""
    days = [day for day, _ in spread_days(season, years, plot)]
    out: list[Fact] = []
    for place, day in enumerate(sorted({days[len(days) // 2], days[-1]})):
        dice = season.dice("depth", plot, years, place)
        middle = DEPTHS[plot]
        bodies = []
        for _ in range(10):
            depth = max(1.0, dice.gauss(middle, 0.45))
            rained = ground_state(season, day) in ("wet", "standing_water")
            bodies.append(LeafDepth(Decimal(str(round(depth, 1))), "rained" if rained else "fresh"))
        phone, hand = walker(day, plot)
        walk = Walk("leaf_depth", plot, on(day, 15, 55) + timedelta(minutes=place), phone, hand)
        out += walk.facts(season, list(bodies), seconds=75)
    return out


def _worked_in(season: Season) -> list[Fact]:
    """Long Twelve all at once before its sorghum-sudan; Pond Field in two goes, the second late in summer."""
    jobs = (("long_twelve", (5, 28), "5.85"), ("pond_field", (6, 17), "2.4"), ("pond_field", (8, 19), "1.5"))
    return [
        work(
            "work_in",
            plot,
            on(next_workday(season.day(0, *when)), 16, 20),
            Work(job="work_in", area_ac=Decimal(area), machine=DISK, passes=2, depth_in=Decimal(6)),
        )
        for plot, when, area in jobs
    ]
