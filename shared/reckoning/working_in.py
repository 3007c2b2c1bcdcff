"""Which spreads are still to be worked in, which make one application, and how much a cap counts.

All three are folds over spreads and workings in any order: days decide, and on one day what was spread comes
before what was worked in.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Literal

from shared.reckoning.computation import HOUSE
from shared.reckoning.deadlines import MONTHS_PER_YEAR, months_before
from shared.units import Figure, Source

RULING = Source(
    "one_application", "one application: until worked in or 30 idle days, a ruling", None, "practice"
)
IDLE_DAYS = Figure(30.0, "days", RULING)
DONE_WITHIN_AC = Figure(1e-6, "ac, which rounding may leave", HOUSE)

Period = Literal["one_application", "calendar_year", "rolling_12_months", "until_worked_in"]
PERIODS: tuple[Period, ...] = (
    "one_application",
    "calendar_year",
    "rolling_12_months",
    "until_worked_in",
)


@dataclass(frozen=True, slots=True)
class Spread:
    """Leaves spread on ``area_ac`` of one part. ``part_ac`` is the whole part, None where it isn't known:
    then passes are taken to lie beside each other, and more is asked to be worked in."""

    on: date
    part: str
    area_ac: float
    yards_yd3: float = 0.0
    part_ac: float | None = None


@dataclass(frozen=True, slots=True)
class Working:
    """``area_ac`` worked in; ``part`` None where nobody wrote which."""

    on: date
    part: str | None
    area_ac: float


@dataclass(frozen=True, slots=True)
class Unworked:
    """A part whose leaves are still on top: since when, and how many acres are left."""

    part: str
    since: date
    left_ac: float

    def last_day(self, days: int) -> date:
        """The last day in time under a limit of so many days; ``since`` is day 0 (R9)."""
        return self.since + timedelta(days=days)


Event = Spread | Working


def _ordered(spreads: Iterable[Spread], workings: Iterable[Working]) -> list[Event]:
    laid = sorted(spreads, key=lambda one: (one.on, one.part, one.area_ac, one.yards_yd3))
    # Located work first: what nobody located then goes to what is left.
    done = sorted(workings, key=lambda one: (one.on, one.part is None, one.part or "", one.area_ac))
    return sorted((*laid, *done), key=lambda one: (one.on, isinstance(one, Working)))


def _spread_onto(open_: dict[str, Unworked], spread: Spread) -> None:
    before = open_.get(spread.part, Unworked(spread.part, spread.on, 0.0))
    left = before.left_ac + spread.area_ac
    if spread.part_ac is not None:
        left = min(left, max(spread.part_ac, before.left_ac))
    if left > 0.0:
        open_[spread.part] = replace(before, left_ac=left)


def _work(open_: dict[str, Unworked], working: Working) -> None:
    oldest = sorted(open_.values(), key=lambda one: (one.since, one.part))
    parts = [one.part for one in oldest] if working.part is None else [working.part]
    still = working.area_ac
    for part in parts:
        before = open_.get(part)
        if before is None:
            continue
        done = min(still, before.left_ac)
        still -= done
        if before.left_ac - done <= DONE_WITHIN_AC.value:
            del open_[part]
        else:
            open_[part] = replace(before, left_ac=before.left_ac - done)


def unworked(spreads: Iterable[Spread], workings: Iterable[Working]) -> tuple[Unworked, ...]:
    """The parts with leaves still to be worked in, oldest first (R9).

    A part's clock runs from its earliest unworked spread and stops when the worked area reaches the covered
    area. Work that nobody located clears the oldest first. Work before anything lay there counts for nothing.
    """
    open_: dict[str, Unworked] = {}
    for event in _ordered(spreads, workings):
        if isinstance(event, Spread):
            _spread_onto(open_, event)
        else:
            _work(open_, event)
    return tuple(sorted(open_.values(), key=lambda one: (one.since, one.part)))


@dataclass(frozen=True, slots=True)
class Application:
    """The spreads on one part that count as one (R5): first and last day, yards in all, and whether its
    leaves lie on top still."""

    part: str
    first: date
    last: date
    yards_yd3: float
    on_top: bool


def applications_made(spreads: Iterable[Spread], workings: Iterable[Working]) -> tuple[Application, ...]:
    """Each part's applications, in order of their first day: the spreads on it until all of it is worked in,
    or until more than 30 days went by without one (R5)."""
    made: list[Application] = []
    latest: dict[str, int] = {}
    open_: dict[str, Unworked] = {}
    for event in _ordered(spreads, workings):
        if isinstance(event, Working):
            _work(open_, event)
            made = [replace(one, on_top=one.on_top and one.part in open_) for one in made]
            continue
        at = latest.get(event.part)
        running = at is not None and made[at].on_top
        if at is None or not running or (event.on - made[at].last).days > IDLE_DAYS.value:
            latest[event.part] = len(made)
            made.append(Application(event.part, event.on, event.on, event.yards_yd3, True))
        else:
            yards = made[at].yards_yd3 + event.yards_yd3
            made[at] = replace(made[at], last=event.on, yards_yd3=yards)
        _spread_onto(open_, event)
    return tuple(sorted(made, key=lambda one: (one.first, one.part)))


def counted_yd3(
    spreads: Sequence[Spread],
    workings: Sequence[Working],
    part: str,
    on: date,
    period: Period | None,
) -> float:
    """The yards on ``part`` that a cap counts on day ``on``, by the sheet's period (R4).

    ``rolling_12_months`` is (on - 12 months, on]. ``period`` None is a text that nobody read: the strictest,
    the one that counts most. Later spreads and workings are left out.
    """
    laid = [one for one in spreads if one.on <= on and one.part == part]
    if period is None:
        return max(counted_yd3(spreads, workings, part, on, each) for each in PERIODS)
    if period == "calendar_year":
        return math.fsum(one.yards_yd3 for one in laid if one.on.year == on.year)
    if period == "rolling_12_months":
        after = months_before(on, int(MONTHS_PER_YEAR.value))
        return math.fsum(one.yards_yd3 for one in laid if one.on > after)
    earlier = [one for one in spreads if one.on <= on]
    made = [
        one
        for one in applications_made(earlier, [work for work in workings if work.on <= on])
        if one.part == part
    ]
    if period == "until_worked_in":
        return math.fsum(one.yards_yd3 for one in made if one.on_top)
    return made[-1].yards_yd3 if made else 0.0
