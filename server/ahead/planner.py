"""Plans from the solver: the best by some weights, others unlike it, and why there is none."""

from __future__ import annotations

import time
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np
from scipy.optimize import Bounds, milp

from server.ahead.model import Model, model_of
from shared.ahead.plan_check import YearSum, cost, year_sums
from shared.ahead.wishes import EMPHASES, Ground, Plan, Use, Weights, Wishes

GAP = 0.02
LONGEST_S = 8.0
CONFLICT_S = 4.0
"""A solve stops at two per cent over its bound, or after so many seconds with the best found by then."""
UNLIKE_SHARE = 0.08
"""Two plans are told apart if at least so large a share of all field-years differ."""
NO_WISHES: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Found:
    """A plan with its cost, the least cost that any plan could have, and the seconds the solver took itself."""

    plan: Plan
    cost: float
    bound: float
    solver_s: float

    @property
    def gap_pct(self) -> float:
        """How far it may be from the best, in % of its cost."""
        return 100.0 * max(0.0, self.cost - self.bound) / self.cost if self.cost > 0 else 0.0


@dataclass(frozen=True, slots=True)
class Proposal:
    """One of the plans shown side by side: by which emphasis it was made, and what its years come to."""

    emphasis: str
    found: Found
    years: tuple[YearSum, ...]


@dataclass(frozen=True, slots=True)
class Conflict:
    """A smallest set of wishes that no plan keeps together: without any one of them there is a plan. ``proven``
    False where the solver ran out of time over one of these."""

    wishes: tuple[str, ...]
    proven: bool


def best(model: Model, weights: Weights, longest_s: float = LONGEST_S, gap: float = GAP) -> Found | None:
    """The plan with the least cost, None where none keeps all wishes (or none was found in time)."""
    costs = model.costs(weights)
    began = time.perf_counter()
    answer = _solved(model, costs, NO_WISHES, longest_s, gap)
    took = time.perf_counter() - began
    if answer.x is None:
        return None
    plan = plan_from(model, answer.x)
    constant = model.constant(weights)
    bound = constant + (answer.mip_dual_bound if answer.mip_dual_bound is not None else answer.fun)
    return Found(plan, cost(model.grounds, model.wishes, plan, weights), bound, took)


def _solved(model: Model, costs: np.ndarray, without: frozenset[str], longest_s: float, gap: float):  # type: ignore[no-untyped-def]
    high = np.ones(model.columns)
    high[model.binaries :] = np.inf
    for wish, columns in model.bans.items():
        if wish not in without:
            high[columns] = 0.0
    whole = np.zeros(model.columns)
    whole[: model.binaries] = 1
    return milp(
        costs,
        integrality=whole,
        bounds=Bounds(np.zeros(model.columns), high),
        constraints=[model.rows.constraint(model.columns, without)],
        options={"time_limit": longest_s, "mip_rel_gap": gap},
    )


def plan_from(model: Model, values: np.ndarray) -> dict[str, dict[int, Use]]:
    """The plan that the solver's columns say."""
    out: dict[str, dict[int, Use]] = {one.id: {} for one in model.grounds}
    for (ground, year), uses in model.uses.items():
        out[ground][year] = max(uses, key=lambda use: values[uses[use]])
    return out


def why_not(model: Model, longest_s: float = CONFLICT_S) -> Conflict | None:
    """A smallest set of wishes in conflict, None where there is a plan.

    A wish is left out; where there is still no plan, it stays out; what is left at the end conflicts, and
    without any one of it there is a plan. Pinned years are tried first, so that what stays is as general as
    can be.
    """
    nothing = np.zeros(model.columns)

    def fits(without: Iterable[str]) -> bool | None:
        answer = _solved(model, nothing, frozenset(without), longest_s, 1.0)
        return True if answer.x is not None else (False if answer.status == 2 else None)

    if fits(()) is not False:
        return None
    kept, proven = list(model.keys), True
    for one in sorted(model.keys, key=lambda wish: (not wish.startswith("pin:"), wish)):
        without = set(model.keys) - (set(kept) - {one})
        fit = fits(without)
        if fit is False:
            kept.remove(one)
        proven = proven and fit is not None
    return Conflict(tuple(kept), proven)


def proposals(
    grounds: tuple[Ground, ...],
    wishes: Wishes,
    emphases: Mapping[str, Weights] = EMPHASES,
    longest_s: float = LONGEST_S,
) -> tuple[Proposal, ...]:
    """Good plans unlike each other, one for each emphasis; empty where no plan keeps all wishes. A later one for
    which nothing unlike those before is found is left out."""
    out: list[Proposal] = []
    model = model_of(grounds, wishes)
    for emphasis, weights in emphases.items():
        found = best(model, weights, longest_s)
        if found is None:
            if not out:
                return ()
            continue
        out.append(Proposal(emphasis, found, year_sums(grounds, wishes, found.plan)))
        _keep_away(model, found.plan)
    return tuple(out)


def _keep_away(model: Model, plan: Plan) -> None:
    """Bar what is nearly this plan from here on."""
    same = [model.uses[ground, year][use] for ground, years in plan.items() for year, use in years.items()]
    most = len(same) - max(1, round(UNLIKE_SHARE * len(same)))
    model.rows.at_most("", same, float(most))


def unlike(plan: Plan, other: Plan) -> bool:
    """Whether two plans of the same fields differ in enough of their field-years to be told apart."""
    years = [(field, year) for field in plan for year in plan[field]]
    differ = sum(plan[field][year] != other[field][year] for field, year in years)
    return differ >= UNLIKE_SHARE * len(years)
