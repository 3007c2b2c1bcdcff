"""The work-in clock of each part: from its earliest unworked spread until the worked area reaches the
covered.

Ruling R9. Day by day: what is spread on a day is there before what is worked in on that day.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date
from math import isclose

from shared.rules.spread import Spread, WorkedIn, in_day_order


@dataclass(frozen=True, slots=True)
class Clock:
    """One run of the clock on one part. ``worked_on`` is the day it stopped, None while it runs; the areas
    are square feet covered and worked since ``started``, ground that was covered again after it was worked twice."""

    part: str
    started: date
    worked_on: date | None
    covered_ft2: float
    worked_ft2: float
    spreads: tuple[Spread, ...]


@dataclass(slots=True)
class _Running:
    part: str
    started: date
    covered_ft2: float = 0.0
    worked_ft2: float = 0.0
    ground: frozenset[str] = frozenset()
    spreads: list[Spread] = field(default_factory=list)

    def take(self, spread: Spread) -> None:
        self.spreads.append(spread)
        # A second pass lies on the first: the widest one is the ground covered. After some was worked in, nobody
        # wrote where the next pass lay: it counts as laid on the worked ground first, so that none is passed over.
        widest = max(one.area_ft2 for one in self.spreads)
        open_ft2 = spread.area_ft2 if not self.worked_ft2 else self.left_ft2 + spread.area_ft2
        self.covered_ft2 = max(self.covered_ft2, self.worked_ft2 + min(widest, open_ft2))
        self.ground |= spread.ground

    @property
    def left_ft2(self) -> float:
        return max(0.0, self.covered_ft2 - self.worked_ft2)

    @property
    def is_done(self) -> bool:
        return self.worked_ft2 >= self.covered_ft2 or isclose(self.worked_ft2, self.covered_ft2)

    def work(self, area_ft2: float | None) -> float | None:
        """Works so much of it (None: all) and answers what is over for the next."""
        used = self.left_ft2 if area_ft2 is None else min(area_ft2, self.left_ft2)
        self.worked_ft2 += used
        return None if area_ft2 is None else area_ft2 - used

    def stopped(self, on: date | None) -> Clock:
        return Clock(self.part, self.started, on, self.covered_ft2, self.worked_ft2, tuple(self.spreads))


def clocks(spreads: Iterable[Spread], workings: Iterable[WorkedIn]) -> tuple[Clock, ...]:
    """Every run of the clock in one field, by day of start and then by part, whatever the order of
    feeding."""
    waiting = list(in_day_order(spreads))
    running: dict[str, _Running] = {}
    stopped: list[Clock] = []
    for working in sorted(workings, key=_order):
        while waiting and waiting[0].on <= working.on:
            _start(running, waiting.pop(0))
        _work(running, working)
        for part in [name for name, one in running.items() if one.is_done]:
            stopped.append(running.pop(part).stopped(working.on))
    for spread in waiting:
        _start(running, spread)
    stopped.extend(one.stopped(None) for one in running.values())
    return tuple(sorted(stopped, key=lambda one: (one.started, one.part)))


def _order(working: WorkedIn) -> tuple[date, bool, str, bool, float, tuple[str, ...]]:
    whole = working.area_ft2 is None
    area = working.area_ft2 or 0.0
    return (working.on, working.part is None, working.part or "", whole, area, tuple(sorted(working.ground)))


def _start(running: dict[str, _Running], spread: Spread) -> None:
    running.setdefault(spread.part, _Running(spread.part, spread.on)).take(spread)


def _work(running: dict[str, _Running], working: WorkedIn) -> None:
    oldest_first = sorted(running.values(), key=lambda one: (one.started, one.part))
    if working.part is None:
        left = working.area_ft2
        for one in oldest_first:
            left = one.work(left)
        return
    for one in oldest_first:
        if one.part == working.part or (one.ground & working.ground and working.area_ft2 is not None):
            one.work(working.area_ft2)
        elif one.ground <= working.ground:
            one.work(None)


def worked_days(spreads: Iterable[Spread], workings: Iterable[WorkedIn]) -> dict[Spread, date | None]:
    """The day on which each spread was worked in, None where it is not yet."""
    return {spread: one.worked_on for one in clocks(spreads, workings) for spread in one.spreads}
