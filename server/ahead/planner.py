"""Plans from the whole model: the best by some weights, and whether there is one at all without some wishes."""

from __future__ import annotations

import math
import time
from dataclasses import dataclass

import numpy as np
from scipy.optimize import Bounds, milp

from server.ahead.master import UNLIKE_SHARE
from server.ahead.model import Model
from shared.ahead.plan_check import YearSum, cost
from shared.ahead.wishes import Plan, Use, Weights

GAP = 0.02
LONGEST_S = 8.0
CONFLICT_S = 4.0
"""A solve stops at two per cent over its bound, or after so many seconds with the best found by then."""
NO_WISHES: frozenset[str] = frozenset()
NO_PLAN = 2
"""The solver's word for a model that has been shown to have none."""


@dataclass(frozen=True, slots=True)
class Found:
    """A plan with its cost, the least cost that any plan could have, the seconds the solver took itself, and what
    an acre of cash crops off the target was weighed with."""

    plan: Plan
    cost: float
    bound: float
    solver_s: float
    share: float = Weights().share

    @property
    def gap_ac(self) -> float:
        """How far it may be from the best: as if so many acres of cash crops less were off in one year."""
        return max(0.0, self.cost - self.bound) / self.share if self.share > 0 else 0.0

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
    return Found(plan, cost(model.grounds, model.wishes, plan, weights), bound, took, weights.share)


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


def fitting(model: Model, without: frozenset[str], longest_s: float = CONFLICT_S) -> bool | None:
    """Whether the whole model has a plan that keeps all wishes but these; None where time ran out."""
    answer = _solved(model, np.zeros(model.columns), without, longest_s, 1.0)
    return True if answer.x is not None else (False if answer.status == NO_PLAN else None)


def keep_away(model: Model, plan: Plan) -> None:
    """Bar what is nearly this plan from here on."""
    same = [model.uses[ground, year][use] for ground, years in plan.items() for year, use in years.items()]
    most = len(same) - max(1, math.ceil(UNLIKE_SHARE * len(same)))
    model.rows.at_most("", same, float(most))
