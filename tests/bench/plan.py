"""The ten-year plan of 40 fields and of 500: our time beside the solver's own, and the gap to the bound.

The floor is what HiGHS itself takes for the same model. Fields and their past are invented, from a seed.
"""

from __future__ import annotations

import random
import time
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


def told(count: int, seconds: float, found: Found | None, broken: int) -> None:
    if found is None:
        print(f"  {count} fields: no plan in the time there was")
        return
    ratio = seconds / found.solver_s
    print(
        f"  {count} fields x 10 years: {seconds:.1f} s, the solver's own {found.solver_s:.1f} s, ratio {ratio:.2f}; "
        f"cost {found.cost:.0f}, bound {found.bound:.0f}, gap {found.gap_pct:.1f} %, wishes broken {broken}"
    )


def run() -> None:
    weights = EMPHASES["even_acres"]
    for count in (40, 500):
        grounds = farm(count)
        wanted = wishes(grounds)
        began = time.perf_counter()
        found = planned(grounds, wanted, weights, block=14)
        seconds = time.perf_counter() - began
        told(count, seconds, found, len(breaches(grounds, wanted, found.plan)) if found else 0)
