"""What the years of all fields together must come to, as a small linear model over whole courses of single fields.

By Dantzig and Wolfe: the model holds a few courses of each field and prices each year's acres; the graph of courses
answers with a cheaper course for every field, until none is. Its cost is then a bound that no plan can beat.
"""

from __future__ import annotations

import time
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import Bounds, LinearConstraint, linprog, milp
from scipy.sparse import csr_array, eye_array, hstack

from server.ahead.aims import Aims, aims_of
from server.ahead.courses import Best, Courses, Prices, changes
from shared.ahead.wishes import Weights

UNLIKE_SHARE = 0.08
"""Two plans are told apart if at least so large a share of all field-years differ."""
MISSED_MUST = 2_000.0
"""What an acre costs that a must is missed by: more than anything else can save."""
ROUNDS = 120
ENOUGH = 0.002
"""Pricing stops where the bound is as near as this share of the cost."""
Uses = NDArray[np.int8]
Arrays = tuple[Prices, csr_array, csr_array]


@dataclass(slots=True)
class Row:
    """A bound over all fields in ``year`` (by its place; None: over all years): the sum of ``acres[field, use]``,
    at most ``high``; what is over costs ``over`` an acre."""

    high: float
    acres: Prices
    over: float
    year: int | None


@dataclass(slots=True)
class Master:
    """The courses held so far: whose each is, its uses, its own cost; the rows over all fields."""

    on: Courses
    weights: Weights
    own: Prices
    rows: list[Row] = field(default_factory=list)
    whose: list[int] = field(default_factory=list)
    courses: list[Uses] = field(default_factory=list)
    costs: list[float] = field(default_factory=list)
    loads: list[Prices] = field(default_factory=list)
    seen: set[tuple[int, bytes]] = field(default_factory=set)
    solver_s: float = 0.0

    def add(self, place: int, uses: Uses, owed: float) -> bool:
        """Hold a course of a field; False where it is held already."""
        years = np.flatnonzero(uses >= 0)
        own = self.own[place, years, uses[years]].sum()
        return self.hold(place, uses, float(own + self.weights.leaf * self.on.acres[place] * owed))

    def hold(self, place: int, uses: Uses, cost: float) -> bool:
        """The same with its own cost given."""
        key = (place, uses.tobytes())
        if key in self.seen:
            return False
        self.seen.add(key)
        self.whose.append(place)
        self.courses.append(uses.copy())
        self.costs.append(cost)
        self.loads.append(self.load(place, uses))
        return True

    def load(self, place: int, uses: Uses) -> Prices:
        """What a field's uses bring to each row."""
        out = np.zeros(len(self.rows))
        for at, row in enumerate(self.rows):
            if row.year is not None:
                out[at] = row.acres[place, uses[row.year]] if uses[row.year] >= 0 else 0.0
            else:
                years = np.flatnonzero(uses >= 0)
                out[at] = row.acres[place, years, uses[years]].sum()
        return out

    def prices(self, duals: Prices) -> Prices:
        """What each year's use costs a field when every row's acres are paid for."""
        out = self.own.copy()
        for row, dual in zip(self.rows, duals, strict=True):
            if dual and row.year is not None:
                out[:, row.year] -= dual * row.acres
            elif dual:
                out -= dual * row.acres
        return out


def master_of(on: Courses, weights: Weights, away: Sequence[Uses] = ()) -> Master:
    """The rows that the wishes make, with no course held yet; ``away``: plans to be unlike."""
    own = weights.change * changes(on)
    out = Master(on, weights, own)
    for year, aim in aims_of(on.grounds, on.wishes).items():
        _of_year(out, year - on.wishes.first, aim)
    for plan in away:
        _unlike(out, plan)
    return out


def _of_year(out: Master, at: int, aim: Aims) -> None:
    on, weights = out.on, out.weights
    cash, leaf, hay = (_of_leg(on, leg) for leg in ("cash", "leaf", "hay"))
    rows = [(aim.cash + aim.near, cash, weights.share), (aim.near - aim.cash, -cash, weights.share)]
    if "share" not in on.without:
        rows += [(aim.cash + aim.band, cash, MISSED_MUST), (aim.band - aim.cash, -cash, MISSED_MUST)]
    if aim.leaf is not None and "yards" not in on.without:
        rows.append((aim.leaf, leaf, MISSED_MUST))
    if aim.organic_leaf is not None and "organic_yards" not in on.without:
        apart = np.array([one.organic_from is not None for one in on.grounds])
        rows.append((aim.organic_leaf, leaf * apart[:, None], MISSED_MUST))
    if aim.hay > 0:
        must = on.wishes.hay_must and "hay" not in on.without
        rows.append((-aim.hay, -hay, MISSED_MUST if must else weights.hay))
    for crop, wanted in aim.crops.items():
        if wanted > 0:
            rows.append((-wanted, -_of_leg(on, "cash", crop), weights.crop))
    out.rows += [Row(high, acres, over, at) for high, acres, over in rows]


def _unlike(out: Master, plan: Uses) -> None:
    """At most so many field-years as in that plan."""
    same = np.zeros(out.own.shape)
    for place, year in np.argwhere(plan >= 0):
        same[place, year, plan[place, year]] = 1.0
    years = int((plan >= 0).sum())
    out.rows.append(Row(years - max(1.0, np.ceil(UNLIKE_SHARE * years)), same, MISSED_MUST, None))


def _of_leg(on: Courses, leg: str, crop: str | None = None) -> Prices:
    out = np.zeros((len(on.grounds), len(on.uses)))
    for place, use in enumerate(on.uses):
        if use[0] == leg and crop in (None, use[1]):
            out[:, place] = on.acres
    return out


@dataclass(frozen=True, slots=True)
class Priced:
    """How the pricing ended: the bound, the share of each course held, and what each is dearer than its field's
    cheapest. ``musts`` is the acres by which musts are missed even so: above 0, no plan keeps all wishes."""

    bound: float
    shares: Prices
    dearer: Prices
    musts: float


def priced(on: Master, until: float) -> Priced | None:
    """Courses added until none is cheaper, or ``until`` by the clock; None where a field has no course at all."""
    first = on.on.cheapest(on.own, on.weights.leaf)
    if not np.isfinite(first.costs).all():
        return None
    _hold(on, first)
    bound = -np.inf
    for _ in range(ROUNDS):
        answer, duals, rents = _solved(on)
        found = on.on.cheapest(on.prices(duals), on.weights.leaf)
        bound = max(bound, answer.fun + float(np.minimum(0.0, found.costs - rents).sum()))
        near = answer.fun - bound <= ENOUGH * abs(answer.fun) + 1e-7
        if near or not _hold(on, found, found.costs < rents - 1e-7) or time.monotonic() > until:
            break
    count, rows = len(on.whose), len(on.rows)
    shares = answer.x[:count]
    over = answer.x[len(answer.x) - rows :]
    musts = float(sum(one for one, row in zip(over, on.rows, strict=True) if row.over == MISSED_MUST))
    shares = np.append(shares, np.zeros(len(on.whose) - count))
    loads, whose = np.array(on.loads), np.array(on.whose)
    dearer = np.array(on.costs) - loads @ duals - rents[whose]
    return Priced(bound, shares, dearer, musts)


def _hold(on: Master, found: Best, these: NDArray[np.bool_] | None = None) -> bool:
    added = False
    for place in range(len(found.costs)):
        if these is None or these[place]:
            added |= on.add(place, found.uses[place], float(found.owed[place]))
    return added


def _arrays(on: Master, held: NDArray[np.int64], fields: NDArray[np.int64]) -> Arrays:
    """Costs, the rows over all fields and one row a field, for these courses and the rows' own columns."""
    rows = len(on.rows)
    wide = hstack([csr_array(np.array([on.loads[one] for one in held]).T), -eye_array(rows)], format="csr")
    order = {field: place for place, field in enumerate(fields)}
    whose = np.array([order[on.whose[one]] for one in held])
    one_each = csr_array(
        (np.ones(len(held)), (whose, np.arange(len(held)))), shape=(len(fields), len(held) + rows)
    )
    costs = np.append(np.array([on.costs[one] for one in held]), [row.over for row in on.rows])
    return costs, wide, one_each


def _solved(on: Master):  # type: ignore[no-untyped-def]
    fields = np.arange(len(on.on.grounds))
    costs, wide, one_each = _arrays(on, np.arange(len(on.whose)), fields)
    high = np.array([row.high for row in on.rows])
    began = time.perf_counter()
    answer = linprog(costs, A_ub=wide, b_ub=high, A_eq=one_each, b_eq=np.ones(len(fields)), method="highs")
    on.solver_s += time.perf_counter() - began
    return answer, answer.ineqlin.marginals, answer.eqlin.marginals


def whole(on: Master, held: Sequence[int], start: Uses | None, longest_s: float, gap: float) -> Uses | None:
    """The best plan of these courses for the fields that they are of, the others as in ``start``; None where none
    was found in time."""
    these = np.array(held, np.int64)
    fields = np.array(sorted({on.whose[one] for one in held}), np.int64)
    costs, wide, one_each = _arrays(on, these, fields)
    high = np.array([row.high for row in on.rows])
    others = sorted(set(range(len(on.on.grounds))) - set(fields.tolist()))
    if start is not None:
        high = high - sum((on.load(one, start[one]) for one in others), np.zeros(len(high)))
    count, rows = len(these), len(on.rows)
    began = time.perf_counter()
    answer = milp(
        costs,
        integrality=np.append(np.ones(count), np.zeros(rows)),
        bounds=Bounds(0.0, np.append(np.ones(count), np.full(rows, np.inf))),
        constraints=[LinearConstraint(wide, -np.inf, high), LinearConstraint(one_each, 1.0, 1.0)],
        options={"time_limit": longest_s, "mip_rel_gap": gap},
    )
    on.solver_s += time.perf_counter() - began
    if answer.x is None:
        return None
    out = (
        start.copy() if start is not None else np.full((len(on.on.grounds), on.on.wishes.count), -1, np.int8)
    )
    for place, share in zip(these, answer.x[:count], strict=True):
        if share > 0.5:
            out[on.whose[place]] = on.courses[place]
    return out
