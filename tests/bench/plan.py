"""The ten-year plan of 40 fields and of 500: our time beside the solver's own, and the gap to the bound.

The floor is what HiGHS itself takes of that time. Fields and their past are invented, from a seed.
"""

from __future__ import annotations

import random
import time
from dataclasses import replace
from datetime import date

from server.ahead.many import planned
from server.ahead.planner import Found
from shared.ahead.crops import family_of, usual_crop
from shared.ahead.plan_check import breaches
from shared.ahead.wishes import EMPHASES, Ground, Wishes
from shared.reckoning.rotation import Grown
from shared.units import FT2_PER_ACRE, INCH_FT2_PER_YD3

CROPS = ("garlic", "cabbage", "sweet corn", "winter squash")
RESTS = ("cash", "leaf", "hay", "hay", "lead_in")
FIRST, SIX_IN = 2027, 6 * FT2_PER_ACRE.value / INCH_FT2_PER_YD3.value


def farm(count: int) -> tuple[Ground, ...]:
    dice = random.Random(count)
    out = []
    for place in range(count):
        turn = dice.randrange(5)
        last, crops = FIRST - 1 - turn, dice.sample(CROPS, 3)
        past = tuple(
            Grown("", family_of(crop), date(last - 5 * back, 9, 1), 4.0) for back, crop in enumerate(crops)
        )
        out.append(
            Ground(f"f{place:03}", f"F{place}", round(dice.uniform(1.5, 9), 2), (RESTS[turn], ""), past)
        )
    return tuple(out)


def wishes(grounds: tuple[Ground, ...]) -> Wishes:
    acres = sum(one.acres for one in grounds)
    crops = tuple(usual_crop(one, want_ac=0.04 * acres) for one in CROPS)
    return Wishes(FIRST, crops, yards=0.2 * acres * SIX_IN, hay_ac=0.25 * acres)


def kept_from(grounds: tuple[Ground, ...]) -> tuple[Ground, ...]:
    """The same fields with a plan that suits nobody: it has to be left here and there."""
    dice = random.Random(len(grounds))
    legs = ("hay", "smother", "lead_in")
    return tuple(
        replace(one, present={year: (dice.choice(legs), "") for year in range(FIRST, FIRST + 10)})
        for one in grounds
    )


def told(what: str, seconds: float, found: Found | None, broken: int) -> None:
    if found is None:
        print(f"  {what}: no plan in the time there was")
        return
    ratio = seconds / found.solver_s
    print(
        f"  {what}: {seconds:.1f} s, the solver's own {found.solver_s:.1f} s, ratio {ratio:.2f}; "
        f"cost {found.cost:.1f}, bound {found.bound:.1f}, at most {found.gap_ac:.1f} ac from the best; "
        f"wishes broken {broken}"
    )


def run() -> None:
    print("  gap: as if so many acres of cash crops less were off the target in one of the ten years")
    for count in (40, 500):
        plain = farm(count)
        for kind, grounds in (("no plan yet", plain), ("a plan to keep to", kept_from(plain))):
            for emphasis in EMPHASES if count == 40 else ("few_changes",):
                wanted = wishes(grounds)
                began = time.perf_counter()
                found = planned(grounds, wanted, EMPHASES[emphasis])
                seconds = time.perf_counter() - began
                broken = len(breaches(grounds, wanted, found.plan)) if found else 0
                told(f"{count} fields x 10 years, {kind}, {emphasis}", seconds, found, broken)
