"""What each job asks: its figures, its typed words, its caution."""

from __future__ import annotations

from typing import get_args

from mobile.presenters.measures import Ask, Slot
from shared.words.bodies.work import JobName

JOBS: tuple[str, ...] = get_args(JobName)
AREA = Slot("area_ac", "ac", True, False)
DEPTH, PASSES = Slot("depth_in", "in", True, False), Slot("passes", "count", False, False)
RATE = Slot("material_lb_per_ac", "lb_ac", False, False)
SLOTS: dict[str, tuple[Slot, ...]] = {
    "spread": (
        PASSES,
        Slot("loads", "count", False, False),
        Slot("yards_yd3", "yd3", False, False),
        AREA,
        Slot("stubble_in", "in", True, False),
    ),
    "work_in": (DEPTH, PASSES, AREA),
    "seed": (Slot("seed_lb_per_ac", "lb_ac", True, False), DEPTH, AREA),
    "mow": (Slot("stubble_in", "in", True, False), AREA),
    "kill": (AREA,),
    "cut_hay": (Slot("cutting", "count", False, False), AREA),
    "bale": (
        Slot("bales", "count", False, False),
        Slot("bale_lb", "lb", False, False),
        Slot("moisture_pct", "pct", True, False),
    ),
    "plow": (DEPTH, AREA),
    "disk": (DEPTH, PASSES, AREA),
    "subsoil": (DEPTH, AREA),
    "cultivate": (DEPTH, PASSES, AREA),
    "lime": (RATE, Slot("cce_pct", "pct", True, False), AREA),
    "fertilize": (
        Slot("n_pct", "pct", True, False),
        Slot("p2o5_pct", "pct", True, False),
        Slot("k2o_pct", "pct", True, False),
        RATE,
    ),
    "manure": (RATE, AREA),
    "compost": (RATE, Slot("yards_yd3", "yd3", False, False), AREA),
    "spray": (
        Slot("product_amount", "count", True, False),
        Slot("reentry_h", "h", False, False),
        Slot("preharvest_d", "d", False, False),
        Slot("plantback_d", "d", False, False),
    ),
    "irrigate": (AREA,),
    "plant": (AREA,),
    "harvest": (AREA,),
    "move": (Slot("loads", "count", False, False), Slot("yards_yd3", "yd3", False, False)),
}
TYPED: dict[str, tuple[str, ...]] = {
    "seed": ("crop", "variety", "seed_lot"),
    "plant": ("crop", "variety"),
    "harvest": ("crop", "variety", "lot"),
    "cut_hay": ("lot",),
    "bale": ("lot",),
    "kill": ("material",),
    "lime": ("material",),
    "fertilize": ("material",),
    "manure": ("material",),
    "compost": ("material",),
    "spray": ("material", "epa_number", "product_unit", "applicator"),
    "other": ("other_text",),
}
CAUTIONS = {
    "spread": "spread", "mow": "mow", "cut_hay": "hay", "bale": "bale", "subsoil": "dig", "lime": "label",
    "spray": "label", "harvest": "wash",
}  # fmt: skip
WHEN = Ask("when", ("now", "yesterday", "before", "earlier"), across=2, titled=True)
DAYS_AGO = Slot("days_ago", "d", False, True)
BAGS_OFF = Ask("bags_off", ("yes", "no"), across=2, titled=True)
NEAR_HOUSES = Ask("near_houses", ("yes", "no"), across=2, titled=True)
DRAWN = ("spread", "move")
RATED = {"seed": "seed_lb_per_ac", "lime": "material_lb_per_ac", "fertilize": "material_lb_per_ac"}
"""The jobs whose machine is calibrated, and the key of their rate."""
COUNTS = frozenset(("passes", "loads", "bales", "cutting", "reentry_h", "preharvest_d", "plantback_d"))
SEED_STATUS = Ask("seed_status", ("organic", "untreated", "treated"), titled=True)
