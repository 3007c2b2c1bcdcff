"""Small farms for the planner, and every plan that they have: by trying each."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from itertools import product

from shared.ahead.crops import family_of
from shared.ahead.plan_check import breaches, cost
from shared.ahead.wishes import Ground, Plan, Use, Weights, Wishes
from shared.reckoning.rotation import Grown

OF_THE_FARM = ("share", "yards", "organic_yards", "hay")


def grown(crop: str, year: int, part: str = "", acres: float = 4.0) -> Grown:
    return Grown(part, family_of(crop), date(year, 9, 1), acres)


def uses(wishes: Wishes) -> list[Use]:
    rests: list[Use] = [("leaf", ""), ("hay", ""), ("smother", ""), ("lead_in", "")]
    return [*rests, *(("cash", one.name) for one in wishes.crops)]


def courses(ground: Ground, wishes: Wishes) -> list[dict[int, Use]]:
    """Every course of one field's years that breaks no wish of the field's own."""
    years = ground.years(wishes.first, wishes.count)
    every = (dict(zip(years, some, strict=True)) for some in product(uses(wishes), repeat=len(years)))
    return [one for one in every if not _own_breaches(ground, wishes, one)]


def _own_breaches(ground: Ground, wishes: Wishes, course: dict[int, Use]) -> bool:
    found = breaches((ground,), wishes, {ground.id: course})
    return any(one.wish not in OF_THE_FARM for one in found)


def every_plan(grounds: tuple[Ground, ...], wishes: Wishes) -> Iterator[Plan]:
    """Every plan of the farm that breaks no wish."""
    for some in product(*(courses(one, wishes) for one in grounds)):
        plan = {one.id: course for one, course in zip(grounds, some, strict=True)}
        if not breaches(grounds, wishes, plan):
            yield plan


def least_cost(grounds: tuple[Ground, ...], wishes: Wishes, weights: Weights) -> float | None:
    """The cost of the best plan by trying all, None where there is none."""
    return min((cost(grounds, wishes, plan, weights) for plan in every_plan(grounds, wishes)), default=None)
