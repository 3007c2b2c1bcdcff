"""From shares of courses to a plan of whole ones, and the plan made better until it is near its bound.

One field after the other takes what is cheapest with all others as they are; then a few fields at once are solved
anew, drawn in the same order each time.
"""

from __future__ import annotations

import random
import time

import numpy as np
from numpy.typing import NDArray

from server.ahead.master import Master, Priced, Prices, Uses, whole

AT_ONCE = 8
AT_ONCE_S = 0.4
HELD = 24
"""Fields solved anew together, the longest for it, and the courses of each that it may take."""
IDLE = 20
"""So many draws that make nothing better, and one for each field, end it."""


class Tally:
    """A plan of whole courses with what each row comes to."""

    def __init__(self, on: Master, uses: Uses) -> None:
        self.on, self.uses = on, uses.copy()
        self.high = np.array([row.high for row in on.rows])
        self.over = np.array([row.over for row in on.rows])
        self.year = np.array([-1 if row.year is None else row.year for row in on.rows])
        self.acres = np.stack([row.acres for row in on.rows if row.year is not None])
        self.loads = sum((on.load(place, one) for place, one in enumerate(uses)), np.zeros(len(on.rows)))
        self.costs = np.array([self._own(place, one) for place, one in enumerate(uses)])

    def _own(self, place: int, uses: Uses) -> float:
        on = self.on.on
        years = np.flatnonzero(uses >= 0)
        owed, at = 0.0, int(on.starts[place])
        for year in years:
            owed += on.owed[at] * (on.uses[uses[year]][0] != "leaf")
            at = int(on.follows[at, uses[year]])
        changed = self.on.own[place, years, uses[years]].sum()
        return float(changed + self.on.weights.leaf * on.acres[place] * owed)

    @property
    def cost(self) -> float:
        return float(self.costs.sum() + self._over(self.loads))

    def _over(self, loads: Prices) -> float:
        return float((self.over * np.maximum(0.0, loads - self.high)).sum())

    def better(self, place: int) -> bool:
        """Whether the field has a cheaper course with all others as they are; it takes it."""
        was, base = self.uses[place], self.loads - self.on.load(place, self.uses[place])
        found = self.on.on.cheapest(self._prices(place, base), self.on.weights.leaf, [place])
        return np.isfinite(found.costs[0]) and self.taken(place, found.uses[0], was)

    def taken(self, place: int, uses: Uses, was: Uses) -> bool:
        """Whether the field is better with these uses; then it has them."""
        if (uses == was).all():
            return False
        loads = self.loads - self.on.load(place, was) + self.on.load(place, uses)
        own = self._own(place, uses)
        if own + self._over(loads) >= self.costs[place] + self._over(self.loads) - 1e-9:
            return False
        self.uses[place], self.loads, self.costs[place] = uses, loads, own
        return True

    def _prices(self, place: int, base: Prices) -> Prices:
        """What the farm's rows come to by this field's use in each year, the rest as it is."""
        on = self.on
        yearly = self.year >= 0
        loads = base[yearly, None] + self.acres[:, place, :] - self.high[yearly, None]
        costs = self.over[yearly, None] * np.maximum(0.0, loads)
        out = on.own[[place]].copy()
        np.add.at(out[0], self.year[yearly], costs)
        for row, load in zip(on.rows, base, strict=True):
            if row.year is None and load + on.on.wishes.count > row.high:
                out[0] += row.over * row.acres[place]
        return out


def begun(on: Master, found: Priced) -> Uses:
    """Each field's course with the largest share."""
    out = np.full((len(on.on.grounds), on.on.wishes.count), -1, np.int8)
    best = np.full(len(on.on.grounds), -1.0)
    for place, share, course in zip(on.whose, found.shares, on.courses, strict=False):
        if share > best[place]:
            best[place], out[place] = share, course
    return out


def mended(on: Master, found: Priced, enough: float, until: float) -> Uses:
    """A plan near the bound: by ``enough`` of it, or as near as was come to ``until``."""
    tally = Tally(on, begun(on, found))
    _one_by_one(tally, until)
    cheap = _cheap(on, found.dearer)
    dice, idle = random.Random(0), 0
    most = 1 if len(cheap) <= AT_ONCE else IDLE + len(cheap)
    while tally.cost - found.bound > enough and idle < most and time.monotonic() < until:
        idle += 1
        some = sorted(dice.sample(range(len(cheap)), min(AT_ONCE, len(cheap))))
        held = [one for place in some for one in cheap[place]]
        held += [_held(on, place, tally.uses[place], tally) for place in some]
        uses = whole(on, held, tally.uses, AT_ONCE_S, 0.0)
        if uses is not None:
            new = Tally(on, uses)
            if new.cost < tally.cost - 1e-9:
                tally, idle = new, 0
                _one_by_one(tally, until)
    return tally.uses


def _one_by_one(tally: Tally, until: float) -> None:
    moved = True
    while moved and time.monotonic() < until:
        moved = False
        for place in range(len(tally.uses)):
            moved |= tally.better(place)
            if time.monotonic() > until:
                return


def _cheap(on: Master, dearer: Prices) -> list[list[int]]:
    """By field: the courses held that are the least dear."""
    out: list[list[int]] = [[] for _ in on.on.grounds]
    order: NDArray[np.int64] = np.argsort(dearer, kind="stable")
    for one in order.tolist():
        if len(out[on.whose[one]]) < HELD:
            out[on.whose[one]].append(one)
    return out


def _held(on: Master, place: int, uses: Uses, tally: Tally) -> int:
    """The place among those held of the course that a field has now."""
    for at, (whose, course) in enumerate(zip(on.whose, on.courses, strict=True)):
        if whose == place and (course == uses).all():
            return at
    on.hold(place, uses, float(tally.costs[place]))
    return len(on.whose) - 1
