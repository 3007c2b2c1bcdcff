"""A day's jobs in an order that a crew can drive, and why the others are not among them.

By fitness of the ground, last day, machine and way between the fields; ties by the due's id, so that it is the
same each time. Fields with a disease or nematode found in them come last of their kind.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import groupby
from typing import Literal
from uuid import UUID

from shared.units import Figure, Source
from shared.words.due import Due

DAY_WORK = Source("day_work", "how much a crew does in a day, common practice, no source", None, "practice")
MACHINES: dict[str, str] = {
    "work_in": "disk", "mow": "mower", "cut_hay": "mower", "seed": "drill", "spread": "spreader",
    "lime": "spreader", "plant": "planter",
}  # fmt: skip
"""What a job is done with; a job that is not listed and has a field is walked."""
ACRES_AN_HOUR: dict[str, Figure] = {
    "disk": Figure(5.0, "ac/h", DAY_WORK),
    "mower": Figure(4.0, "ac/h", DAY_WORK),
    "drill": Figure(5.0, "ac/h", DAY_WORK),
    "spreader": Figure(2.0, "ac/h", DAY_WORK),
    "planter": Figure(1.5, "ac/h", DAY_WORK),
}
WALK_H = Figure(0.7, "h a field", DAY_WORK)
DAY_H = Figure(9.0, "h", DAY_WORK)
SOON_DAYS = Figure(3, "days", DAY_WORK)
OLD_GROUND_DAYS = Figure(2, "days", DAY_WORK)
WALKED = "on_foot"
AT_DESK = ("notice", "report", "paper", "answer", "organic_end")
MOST_EXACT = 9
"""Up to so many fields the shortest way is found by trying all; beyond it the next is always the nearest."""

Why = Literal["not_yet", "ground", "put_off", "day_full"]


@dataclass(frozen=True, slots=True)
class Stop:
    """A field as a day's order needs it: where it is (metres east and north), its acres, what its ground was
    last (*fit*, *light*, *stay_off*, empty for not known) and when, and whether it is infested."""

    field: UUID
    name: str
    acres: float
    east_m: float
    north_m: float
    ground: str = ""
    ground_on: date | None = None
    infested: bool = False


@dataclass(frozen=True, slots=True)
class Placed:
    """A job with its place in the day. ``look_first``: nobody has lately seen whether the ground bears."""

    due: Due
    place: int
    machine: str
    hours: float
    look_first: bool


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A job that is not for this day, and why; ``until`` the day from which it may be, where that is known."""

    due: Due
    why: Why
    until: date | None = None


@dataclass(frozen=True, slots=True)
class Day:
    """A day: the jobs in order, those for the desk, those left out."""

    on: date
    jobs: tuple[Placed, ...]
    desk: tuple[Due, ...]
    left_out: tuple[LeftOut, ...]


def machine_of(job: str) -> str:
    return MACHINES.get(job, WALKED)


def hours_of(due: Due, stop: Stop | None) -> float:
    """The hours that a job takes, by its acres and machine."""
    rate = ACRES_AN_HOUR.get(machine_of(due.job))
    return WALK_H.value if rate is None or stop is None else max(0.25, stop.acres / rate.value)


def day_order(
    dues: Iterable[Due], stops: Mapping[UUID, Stop], on: date, put_off: Mapping[str, str] | None = None
) -> Day:
    """The jobs of a day in order. ``put_off`` are dues that somebody could not do lately, with why."""
    open_, left, desk = [], [], []
    for due in sorted(dues, key=lambda one: one.id):
        stop = stops.get(due.field) if due.field else None
        why = _why_not(due, stop, on, put_off or {})
        if due.job in AT_DESK:
            desk += [due] if why is None else []
        elif why is not None:
            left.append(why)
        else:
            open_.append(due)
    placed, full = _fitted(open_, stops, on)
    order = sorted((*left, *full), key=lambda one: (one.due.last or date.max, one.due.id))
    return Day(on, placed, tuple(sorted(desk, key=_by_last)), tuple(order))


def _by_last(due: Due) -> tuple[date, date, str]:
    return (due.last or date.max, due.best or due.earliest or date.max, due.id)


def _why_not(due: Due, stop: Stop | None, on: date, put_off: Mapping[str, str]) -> LeftOut | None:
    if due.earliest is not None and due.earliest > on:
        return LeftOut(due, "not_yet", due.earliest)
    if due.id in put_off:
        return LeftOut(due, "put_off")
    heavy = machine_of(due.job) != WALKED
    if heavy and stop is not None and stop.ground == "stay_off" and not _old(stop, on):
        return LeftOut(due, "ground")
    return None


def _old(stop: Stop, on: date) -> bool:
    return stop.ground_on is None or on - stop.ground_on > timedelta(days=OLD_GROUND_DAYS.value)


def _tier(due: Due, on: date) -> int:
    """0 late or last day, 1 within a few days, 2 later, 3 no last day."""
    if due.last is None:
        return 3
    left = (due.last - on).days
    return 0 if left <= 0 else (1 if left <= SOON_DAYS.value else 2)


def _fitted(
    dues: Sequence[Due], stops: Mapping[UUID, Stop], on: date
) -> tuple[tuple[Placed, ...], list[LeftOut]]:
    """What fits into the day of each machine, the most urgent first, then driven in an order."""
    used: dict[str, float] = {}
    inside: list[Due] = []
    full: list[LeftOut] = []
    for due in sorted(dues, key=lambda one: (_tier(one, on), *_by_last(one))):
        machine, hours = machine_of(due.job), hours_of(due, stops.get(due.field) if due.field else None)
        if used.get(machine, 0.0) and used[machine] + hours > DAY_H.value:
            full.append(LeftOut(due, "day_full", on + timedelta(days=1)))
        else:
            used[machine] = used.get(machine, 0.0) + hours
            inside.append(due)
    return _driven(inside, stops, on), full


def _driven(dues: Sequence[Due], stops: Mapping[UUID, Stop], on: date) -> tuple[Placed, ...]:
    out: list[Placed] = []
    at = (0.0, 0.0)

    def kind(one: Due) -> tuple[int, bool]:
        stop = stops.get(one.field) if one.field else None
        return (_tier(one, on), stop is not None and stop.infested)

    for _, some in groupby(sorted(dues, key=lambda one: (kind(one), one.id)), key=kind):
        these = list(some)
        fields = sorted({one.field for one in these if one.field in stops}, key=str)
        way = shortest_way(at, [(stops[one].east_m, stops[one].north_m) for one in fields if one])
        order = {fields[at_]: place for place, at_ in enumerate(way)}
        these.sort(key=lambda one: (order.get(one.field, len(order)), machine_of(one.job), one.id))
        for one in these:
            stop = stops.get(one.field) if one.field else None
            unsure = (
                machine_of(one.job) != WALKED and stop is not None and (not stop.ground or _old(stop, on))
            )
            out.append(Placed(one, len(out) + 1, machine_of(one.job), hours_of(one, stop), unsure))
        if way:
            last = stops[fields[way[-1]]]  # type: ignore[index]
            at = (last.east_m, last.north_m)
    return tuple(out)


Spot = tuple[float, float]


def shortest_way(start: Spot, spots: Sequence[Spot]) -> tuple[int, ...]:
    """The places of ``spots`` in the order of the shortest way from ``start`` through all of them, exact up to
    nine; the same for the same spots each time."""
    if len(spots) <= MOST_EXACT:
        return _exact(start, spots)
    left, at, out = list(range(len(spots))), start, []
    while left:
        nearest = min(left, key=lambda one: (math.dist(at, spots[one]), one))
        out.append(nearest)
        left.remove(nearest)
        at = spots[nearest]
    return tuple(out)


def _exact(start: Spot, spots: Sequence[Spot]) -> tuple[int, ...]:
    """By Held and Karp: the best way to each spot through each set of others."""
    best: dict[tuple[int, int], tuple[float, tuple[int, ...]]] = {
        (1 << one, one): (math.dist(start, spot), (one,)) for one, spot in enumerate(spots)
    }
    for _ in range(1, len(spots)):
        further: dict[tuple[int, int], tuple[float, tuple[int, ...]]] = {}
        for (been, last), (way, path) in best.items():
            for one, spot in enumerate(spots):
                if not been & (1 << one):
                    key, longer = (been | 1 << one, one), (way + math.dist(spots[last], spot), (*path, one))
                    if key not in further or longer < further[key]:
                        further[key] = longer
        best = further
    return min(best.values())[1] if best else ()
