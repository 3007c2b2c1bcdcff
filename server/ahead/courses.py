"""Every course that a field's years can take, as one graph for all fields: what stood decides what may follow.

A state is how long each family must still wait, and what the year before was. By it the cheapest course at given
prices is found for every field at once, year by year from the last one back.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from shared.ahead.crops import Crop
from shared.ahead.wishes import Ground, Plan, Use, Wishes, kept_diseases
from shared.reckoning.rotation import last_host_year

Prices = NDArray[np.float64]
NEVER = 10_000
MOST_STATES = 4_000
IDLE: Use = ("idle", "")
RESTS: tuple[Use, ...] = (("leaf", ""), ("hay", ""), ("smother", ""), ("lead_in", ""))
ANY, CASH, LEAD, STAND, FREE = "any", "cash", "lead", "stand", "free"
"""What the year before binds: nothing; leaves are owed; a crop must follow; the stand must stay; a lead-in from
before the plan, after which a crop may follow and need not."""


class TooMany(Exception):
    """The wishes leave more states than are worth looking through."""


@dataclass(frozen=True, slots=True)
class State:
    """``kept``: the diseases that bind on the field. ``waits``: years until each family may be planned again.
    ``before`` with ``stood``, the years of a stand so far. ``only``: a crop that stands already."""

    kept: tuple[str, ...]
    waits: tuple[int, ...]
    before: str
    stood: int = 0
    only: str = ""


@dataclass(slots=True)
class Courses:
    """``follows[state, use]`` is the next state, -1 where the use may not follow; ``owed[state]`` is 1 where
    leaves are due. ``barred[field, year, use]``, ``starts`` and ``counts`` are each field's own."""

    grounds: tuple[Ground, ...]
    wishes: Wishes
    without: frozenset[str]
    uses: tuple[Use, ...]
    crops: dict[str, Crop]
    states: list[State] = field(default_factory=list)
    follows: NDArray[np.int32] = field(default_factory=lambda: np.zeros((0, 0), np.int32))
    owed: Prices = field(default_factory=lambda: np.zeros(0))
    barred: NDArray[np.bool_] = field(default_factory=lambda: np.zeros((0, 0, 0), np.bool_))
    starts: NDArray[np.int32] = field(default_factory=lambda: np.zeros(0, np.int32))
    counts: NDArray[np.int32] = field(default_factory=lambda: np.zeros(0, np.int32))
    acres: Prices = field(default_factory=lambda: np.zeros(0))

    def cheapest(self, prices: Prices, leaf: float, these: slice | list[int] = slice(None)) -> Best:
        """The cheapest course of each of ``these`` fields by ``prices[field, year, use]`` with ``leaf`` an acre
        for leaves that are owed and not spread."""
        starts, counts, acres = self.starts[these], self.counts[these], self.acres[these]
        barred, uses = self.barred[these], len(self.uses)
        owing = np.array([use[0] != "leaf" for use in self.uses])
        missed = leaf * self.owed[:, None] * owing[None, :]
        closed = np.where(self.follows < 0, np.inf, 0.0)
        worth = np.zeros((len(starts), len(self.states)))
        chosen = np.zeros((self.wishes.count, len(starts), len(self.states)), np.int8)
        for year in range(self.wishes.count - 1, -1, -1):
            here = np.where(barred[:, year], np.inf, prices[:, year])
            least = np.full(worth.shape, np.inf)
            for use in range(uses):
                costs = worth[:, self.follows[:, use]] + here[:, use, None] + closed[None, :, use]
                costs += acres[:, None] * missed[None, :, use]
                better = costs < least
                chosen[year][better] = use
                least = np.where(better, costs, least)
            worth = np.where((counts > year)[:, None], least, 0.0)
        return self._walked(starts, counts, worth, chosen)

    def _walked(
        self, starts: NDArray[np.int32], counts: NDArray[np.int32], worth: Prices, chosen: NDArray[np.int8]
    ) -> Best:
        every, at = np.arange(len(starts)), starts.copy()
        costs, uses = worth[every, starts], np.full((len(starts), self.wishes.count), -1, np.int8)
        owed = np.zeros(len(starts))
        for year in range(self.wishes.count):
            on = counts > year
            use = chosen[year][every, at]
            owed += on * self.owed[at] * np.array([one[0] != "leaf" for one in self.uses])[use]
            uses[on, year] = use[on]
            at = np.where(on, self.follows[at, use], at)
        return Best(costs, uses, owed)

    def plan(self, uses: NDArray[np.int8]) -> dict[str, dict[int, Use]]:
        """A plan from each field's uses by year."""
        first = self.wishes.first
        return {
            one.id: {first + year: self.uses[use] for year, use in enumerate(uses[place]) if use >= 0}
            for place, one in enumerate(self.grounds)
        }

    def of_plan(self, plan: Plan) -> NDArray[np.int8]:
        """Each field's uses by year, from a plan."""
        known = {use: place for place, use in enumerate(self.uses)}
        out = np.full((len(self.grounds), self.wishes.count), -1, np.int8)
        for place, one in enumerate(self.grounds):
            for year, use in plan[one.id].items():
                out[place, year - self.wishes.first] = known[use]
        return out


@dataclass(frozen=True, slots=True)
class Best:
    """By field: its cost (infinite where no course is open), its uses by year (-1 past its last), and in how
    many years leaves were owed and not spread."""

    costs: Prices
    uses: NDArray[np.int8]
    owed: Prices


def courses_of(grounds: tuple[Ground, ...], wishes: Wishes, without: frozenset[str] = frozenset()) -> Courses:
    """The graph for these fields, wishes left out by their keys. Raises ``TooMany``."""
    crops = {one.name: one for one in wishes.every_crop(grounds)}
    uses = (*RESTS, IDLE, *(("cash", name) for name in crops))
    out = Courses(grounds, wishes, without, tuple(uses), crops)
    _grown_graph(out, [_start(out, one) for one in grounds])
    out.counts = np.array([len(one.years(wishes.first, wishes.count)) for one in grounds], np.int32)
    out.acres = np.array([one.acres for one in grounds], float)
    out.barred = np.stack([_barred(out, one) for one in grounds])
    return out


def _start(on: Courses, ground: Ground) -> State:
    wishes, without = on.wishes, on.without
    kept = tuple(sorted(one for one in kept_diseases(ground, wishes) if f"interval:{one}" not in without))
    last = max((one.harvested.year for one in ground.grown), default=None)
    rest = 0 if last is None or "rest" in without else last + wishes.rest_years + 1 - wishes.first
    waits = []
    for crop in on.crops.values():
        wait = rest
        for disease in kept:
            if crop.hosts(disease):
                hosts = (last_host_year(ground.grown, part, disease) for part in ground.parts)
                latest = max((one for one in hosts if one is not None), default=None)
                if latest is not None:
                    wait = max(wait, latest + _free(on, crop, disease) + 1 - wishes.first)
        waits.append(min(NEVER, max(0, wait)))
    leg = ground.before[0]
    before = {"cash": CASH, "lead_in": FREE, "hay": STAND}.get(leg, ANY)
    stood = wishes.hay_least if leg == "hay" else 0
    return State(kept, tuple(waits), before, stood, ground.standing)


def _free(on: Courses, crop: Crop, disease: str) -> int:
    needed = on.wishes.free_years(crop.family, disease)
    return NEVER if needed is None else needed


def _grown_graph(on: Courses, starts: list[State]) -> None:
    """Every state that can be come to from the fields' own, with what follows."""
    known: dict[State, int] = {}
    for one in starts:
        known.setdefault(one, len(known))
    rows: list[list[int]] = []
    waiting = list(known)
    for state in waiting:
        row = []
        for use in on.uses:
            then = _next(on, state, use)
            if then is not None and then not in known:
                known[then] = len(known)
                waiting.append(then)
                if len(known) > MOST_STATES:
                    raise TooMany
            row.append(-1 if then is None else known[then])
        rows.append(row)
    on.states = waiting
    on.follows = np.array(rows, np.int32)
    on.owed = np.array([float(one.before == CASH) for one in waiting])
    on.starts = np.array([known[one] for one in starts], np.int32)


def _next(on: Courses, state: State, use: Use) -> State | None:
    """What the field is in after this use, None where it may not follow."""
    leg, wishes, without = use[0], on.wishes, on.without
    if state.only and use != ("cash", state.only):
        return None
    if state.before == LEAD and leg != "cash":
        return None
    if state.before == STAND and state.stood < wishes.hay_least and leg != "hay":
        return None
    if leg == "leaf" and state.before != CASH and "leaf_first" not in without:
        return None
    lead = wishes.lead_in and "lead_in" not in without
    later = tuple(max(0, one - 1) if one < NEVER else NEVER for one in state.waits)
    if leg != "cash":
        before = LEAD if leg == "lead_in" and lead else (STAND if leg == "hay" else ANY)
        return State(state.kept, later, before, _stood(on, state) if leg == "hay" else 0)
    if not state.only:
        if state.waits[list(on.crops).index(use[1])] > 0:
            return None
        if lead and state.before not in (LEAD, FREE):
            return None
    return State(state.kept, _waits(on, state.kept, later, on.crops[use[1]]), CASH)


def _stood(on: Courses, state: State) -> int:
    if "hay_stand" in on.without:
        return on.wishes.hay_least
    return min(on.wishes.hay_least, state.stood + 1)


def _waits(on: Courses, kept: tuple[str, ...], later: tuple[int, ...], now: Crop) -> tuple[int, ...]:
    rest = 0 if "rest" in on.without else on.wishes.rest_years
    out = []
    for wait, crop in zip(later, on.crops.values(), strict=True):
        both = (_free(on, crop, ill) for ill in kept if crop.hosts(ill) and now.hosts(ill))
        out.append(max(wait, rest, *both))
    return tuple(out)


def _barred(on: Courses, ground: Ground) -> NDArray[np.bool_]:
    """What a field's own dates and pins rule out, by year and use."""
    wishes, without = on.wishes, on.without
    wished = {one.name for one in wishes.crops}
    out = np.zeros((wishes.count, len(on.uses)), np.bool_)
    for year in ground.years(wishes.first, wishes.count):
        pinned = ground.pinned.get(year) if f"pin:{ground.id}:{year}" not in without else None
        plain = None if pinned is None else (pinned[0], pinned[1] if pinned[0] == "cash" else "")
        for place, use in enumerate(on.uses):
            standing = bool(ground.standing) and year == wishes.first
            if plain is not None:
                out[year - wishes.first, place] = use != plain or _dated(on, ground, year, use, standing)
            elif use == IDLE or (use[0] == "cash" and use[1] not in wished and not standing):
                out[year - wishes.first, place] = True
            else:
                out[year - wishes.first, place] = _dated(on, ground, year, use, standing)
    return out


def _dated(on: Courses, ground: Ground, year: int, use: Use, standing: bool) -> bool:
    """Whether a spray's wait, a lease's end or organic ground rules a crop out in a year."""
    if use[0] != "cash" or standing:
        return False
    return any(wish not in on.without for wish in on.wishes.dated_breaches(ground, on.crops[use[1]], year))


def changes(on: Courses) -> Prices:
    """By field, year and use: the acres that differ from the farm's present plan."""
    known: Mapping[Use, int] = {use: place for place, use in enumerate(on.uses)}
    out = np.zeros((len(on.grounds), on.wishes.count, len(on.uses)))
    for place, one in enumerate(on.grounds):
        for year in one.years(on.wishes.first, on.wishes.count):
            was = one.present.get(year)
            if was is not None:
                plain = (was[0], was[1] if was[0] == "cash" else "")
                out[place, year - on.wishes.first] = one.acres
                if plain in known:
                    out[place, year - on.wishes.first, known[plain]] = 0.0
    return out
