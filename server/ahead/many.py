"""A plan for more fields than one model can hold: block by block, with the gap to a bound that no plan can beat.

Each block of fields gets its share of what is wanted in each year, and the acres, yards and hay that the blocks
before it were off by; then each is solved once more against all the others. The bound is the whole model's
without whole numbers.
"""

from __future__ import annotations

import time

import numpy as np
from scipy.optimize import Bounds, milp

from server.ahead.aims import Aims, aims_of
from server.ahead.model import Model, model_of
from server.ahead.planner import GAP, Found, best
from shared.ahead.plan_check import YearSum, cost, year_sums
from shared.ahead.wishes import Ground, Plan, Use, Weights, Wishes

BLOCK = 25
BLOCK_S = 5.0
"""Fields solved together, and the longest for it."""
PASSES = 2
EVERY_ACRE = 1e9
"""A block may be off by more than the farm may: the next one makes it good."""


def planned(
    grounds: tuple[Ground, ...], wishes: Wishes, weights: Weights, block: int = BLOCK
) -> Found | None:
    """A plan for all the fields, None where some block found none: once through the blocks, and once more."""
    dealt = sorted(grounds, key=_stands)
    count = max(1, round(len(dealt) / block))
    blocks = [tuple(dealt[place::count]) for place in range(count)]
    plan: dict[str, dict[int, Use]] = {}
    began = time.perf_counter()
    least = bound_of(model_of(grounds, wishes), weights)
    took = time.perf_counter() - began
    for again in range(PASSES):
        if again and cost(grounds, wishes, plan, weights) <= least * (1 + GAP):
            break
        for place, these in enumerate(blocks):
            others = tuple(one for one in dealt if one.id in plan and one not in these)
            so_far = grounds if again else tuple(one for some in blocks[: place + 1] for one in some)
            model = _block(these, grounds, so_far, others, wishes, plan)
            found = best(model, weights, BLOCK_S)
            if found is None:
                if again:
                    continue
                return None
            took += found.solver_s
            new = plan | {field: dict(years) for field, years in found.plan.items()}
            worse = again and cost(grounds, wishes, new, weights) > cost(grounds, wishes, plan, weights)
            plan = plan if worse else new
    return Found(plan, cost(grounds, wishes, plan, weights), least, took)


def _stands(ground: Ground) -> tuple[str, int, float, str]:
    """Fields that stand alike are dealt out one to each block, so that each block is like the farm."""
    last = max((one.harvested.year for one in ground.grown), default=0)
    return (ground.before[0], last, -ground.acres, ground.id)


def _block(
    these: tuple[Ground, ...],
    grounds: tuple[Ground, ...],
    so_far: tuple[Ground, ...],
    others: tuple[Ground, ...],
    wishes: Wishes,
    plan: Plan,
) -> Model:
    """The model of a block: the wishes' share of the fields so far, less what the others among them have."""
    whole = aims_of(grounds, wishes)
    spent = {one.year: one for one in year_sums(others, wishes, plan)}
    aims = {}
    for year in wishes.years:
        land = wishes.land_ac(grounds, year)
        share = wishes.land_ac(so_far, year) / land if land else 0.0
        aims[year] = _left(whole[year], share, spent[year])
    return model_of(these, wishes, aims)


def _left(aim: Aims, share: float, spent: YearSum) -> Aims:
    leaf_ac = spent.acres.get("leaf", 0.0)
    leaf = None if aim.leaf is None else max(0.0, aim.leaf * share - leaf_ac)
    organic = None
    if aim.organic_leaf is not None:
        taken = spent.organic_yards / spent.yards * leaf_ac if spent.yards else 0.0
        organic = max(0.0, aim.organic_leaf * share - taken)
    crops = {name: max(0.0, ac * share - spent.crops.get(name, 0.0)) for name, ac in aim.crops.items()}
    hay = max(0.0, aim.hay * share - spent.acres.get("hay", 0.0))
    cash = max(0.0, aim.cash * share - spent.cash_ac)
    return Aims(cash, aim.near * share, EVERY_ACRE, hay, leaf, organic, crops)


def bound_of(model: Model, weights: Weights) -> float:
    """What no plan can cost less than: the model's least cost without whole numbers."""
    high = np.ones(model.columns)
    high[model.binaries :] = np.inf
    for columns in model.bans.values():
        high[columns] = 0.0
    answer = milp(
        model.costs(weights),
        bounds=Bounds(np.zeros(model.columns), high),
        constraints=[model.rows.constraint(model.columns)],
    )
    return float(answer.fun) + model.constant(weights) if answer.x is not None else 0.0
