"""A plan for any number of fields, by decomposition: single fields take courses, prices hold the years together.

What comes out is near a bound that no plan can beat. Where few fields leave it open, the whole model decides.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence

from server.ahead.courses import TooMany, courses_of
from server.ahead.master import UNLIKE_SHARE, master_of, priced
from server.ahead.mending import Tally, mended
from server.ahead.model import Model, model_of
from server.ahead.planner import NO_WISHES, Conflict, Found, Proposal, best, fitting, keep_away
from shared.ahead.plan_check import breaches, cost, year_sums
from shared.ahead.wishes import EMPHASES, Ground, Plan, Weights, Wishes

ENOUGH = 0.0005
"""A plan is good where at most so many of its acre-years, weighed as cash acres, could be better."""
PRICING_S, MENDING_S, A_FIELD_S = 20.0, 2.0, 0.03
"""The longest that pricing takes, and that mending does, with so much more for each field."""
FEW, FEW_S = 20, 4.0
"""Up to so many fields the whole model is asked as well where the bound was not come near, for so long."""
SURELY = 1e-3
"""Acres, dearly weighed, by which musts are missed: more is no rounding."""
NOTHING = Weights(0.0, 0.0, 0.0, 0.0, 0.0)
Told = Callable[[str], None]


def planned(
    grounds: tuple[Ground, ...], wishes: Wishes, weights: Weights, away: Sequence[Plan] = ()
) -> Found | None:
    """A plan near the best, unlike those in ``away``; None where none keeps all wishes, or none was found."""
    found = _by_courses(grounds, wishes, weights, away)
    if found is not None and _near(found, grounds, wishes):
        return found
    if len(grounds) > FEW:
        return found
    model = model_of(grounds, wishes)
    for one in away:
        keep_away(model, one)
    other = best(model, weights, FEW_S)
    if found is None or other is None:
        return other or found
    took, bound = found.solver_s + other.solver_s, max(found.bound, other.bound)
    plan = min(found, other, key=lambda one: one.cost)
    return Found(plan.plan, plan.cost, min(bound, plan.cost), took, weights.share)


def _near(found: Found, grounds: tuple[Ground, ...], wishes: Wishes) -> bool:
    return found.gap_ac <= ENOUGH * sum(wishes.land_ac(grounds, year) for year in wishes.years)


def _by_courses(
    grounds: tuple[Ground, ...], wishes: Wishes, weights: Weights, away: Sequence[Plan]
) -> Found | None:
    try:
        on = courses_of(grounds, wishes)
    except TooMany:
        return None
    master = master_of(on, weights, [on.of_plan(one) for one in away])
    found = priced(master, time.monotonic() + PRICING_S)
    if found is None:
        return None
    acre_years = sum(wishes.land_ac(grounds, year) for year in wishes.years)
    until = time.monotonic() + MENDING_S + A_FIELD_S * len(grounds)
    plan = on.plan(mended(master, found, ENOUGH * acre_years * weights.share, until))
    if breaches(grounds, wishes, plan) or not all(unlike(plan, one) for one in away):
        return None
    least = cost(grounds, wishes, plan, weights)
    return Found(plan, least, min(found.bound, least), master.solver_s, weights.share)


def proposals(
    grounds: tuple[Ground, ...], wishes: Wishes, told: Told = lambda _: None
) -> tuple[Proposal, ...]:
    """Good plans unlike each other, one for each emphasis; empty where no plan keeps all wishes. A later one for
    which nothing unlike those before is found is left out. ``told`` hears which is being made."""
    out: list[Proposal] = []
    for emphasis, weights in EMPHASES.items():
        told(emphasis)
        found = planned(grounds, wishes, weights, [one.found.plan for one in out])
        if found is not None:
            out.append(Proposal(emphasis, found, year_sums(grounds, wishes, found.plan)))
        elif not out:
            return ()
    return tuple(out)


def unlike(plan: Plan, other: Plan) -> bool:
    """Whether two plans of the same fields differ in enough of their field-years to be told apart."""
    years = [(field, year) for field in plan for year in plan[field]]
    differ = sum(plan[field][year] != other[field][year] for field, year in years)
    return differ >= UNLIKE_SHARE * len(years)


def why_not(grounds: tuple[Ground, ...], wishes: Wishes) -> Conflict | None:
    """A smallest set of wishes in conflict, None where there is a plan.

    A wish is left out; where there is still no plan, it stays out; what is left at the end conflicts, and
    without any one of it there is a plan. Pinned years are tried first, so that what stays is as general as
    can be.
    """
    model = model_of(grounds, wishes)
    if fits(model, NO_WISHES) is not False:
        return None
    kept, proven = list(model.keys), True
    for one in sorted(model.keys, key=lambda wish: (not wish.startswith("pin:"), wish)):
        without = frozenset(set(model.keys) - (set(kept) - {one}))
        fit = fits(model, without)
        if fit is False:
            kept.remove(one)
        proven = proven and fit is not None
    return Conflict(tuple(kept), proven)


def fits(model: Model, without: frozenset[str]) -> bool | None:
    """Whether a plan keeps all wishes but these; None where that was not found out in time. By courses first,
    whose bound shows soon that there is none; what is left open goes to the whole model."""
    try:
        on = courses_of(model.grounds, model.wishes, without)
    except TooMany:
        return fitting(model, without)
    master = master_of(on, NOTHING)
    found = priced(master, time.monotonic() + PRICING_S)
    if found is None or found.bound > SURELY:
        return False
    uses = mended(master, found, SURELY, time.monotonic() + MENDING_S)
    return True if Tally(master, uses).cost <= SURELY else fitting(model, without)
