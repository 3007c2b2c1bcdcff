"""The litter pools of RothC 26.3, alone: no new litter, no old humus, moist ground at one pace.

Only what ``tie_up`` needs: which share of the carbon is still litter and which has become living or humified.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from shared.reckoning.figures import ROTHC, ROTHC_WOODLAND
from shared.units import Figure, Source

CLAY_CHOICE = Source("clay_choice", "clay share of the worked case, a silt loam", None, "practice")

K_DECOMPOSABLE = Figure(10.0, "1/yr", ROTHC)
K_RESISTANT = Figure(0.3, "1/yr", ROTHC)
K_LIVING = Figure(0.66, "1/yr", ROTHC)
K_HUMUS = Figure(0.02, "1/yr", ROTHC)
STEPS_PER_YEAR = Figure(12.0, "steps/yr", ROTHC)
WOODLAND_RATIO = Figure(0.25, "decomposable/resistant", ROTHC_WOODLAND)
CLAY_PCT = Figure(20.0, "% clay", CLAY_CHOICE)
RESPIRED_SCALE = Figure(1.67, "1", ROTHC)
RESPIRED_FLOOR = Figure(1.85, "1", ROTHC)
RESPIRED_SPAN = Figure(1.60, "1", ROTHC)
RESPIRED_CLAY = Figure(0.0786, "1/% clay", ROTHC)
LIVING_SHARE = Figure(0.46, "share", ROTHC)
WHOLE_STEP = Figure(1e-9, "of a step", CLAY_CHOICE)


@dataclass(frozen=True, slots=True)
class Pools:
    """Shares of the carbon that went in: what is left as decomposable and resistant litter, in microbes, and
    as humus. What is missing to 1 was breathed out."""

    decomposable: float
    resistant: float
    microbes: float
    humus: float

    @property
    def litter(self) -> float:
        return self.decomposable + self.resistant

    @property
    def living(self) -> float:
        return self.microbes + self.humus


def kept_share(clay_pct: float = CLAY_PCT.value) -> float:
    """The share of decomposed carbon that stays in the soil, by clay percent: 1 / (x + 1)."""
    clayless = RESPIRED_SPAN.value * math.exp(-RESPIRED_CLAY.value * clay_pct)
    return 1.0 / (RESPIRED_SCALE.value * (RESPIRED_FLOOR.value + clayless) + 1.0)


def litter_pools(
    years: float,
    pace: float = 1.0,
    ratio: float = WOODLAND_RATIO.value,
    clay_pct: float = CLAY_PCT.value,
) -> Pools:
    """One part of fresh litter after ``years`` (0 or more), step by month as RothC does, the last step as
    short as need be. ``pace`` is RothC's rate modifier, ``ratio`` decomposable to resistant litter."""
    kept = kept_share(clay_pct)
    pools = Pools(ratio / (1.0 + ratio), 1.0 / (1.0 + ratio), 0.0, 0.0)
    steps = years * STEPS_PER_YEAR.value
    whole = math.floor(steps + WHOLE_STEP.value)
    for _ in range(whole):
        pools = _step(pools, pace / STEPS_PER_YEAR.value, kept)
    rest = steps - whole
    return _step(pools, pace * rest / STEPS_PER_YEAR.value, kept) if rest > WHOLE_STEP.value else pools


def _step(pools: Pools, span: float, kept: float) -> Pools:
    decomposable = pools.decomposable * math.exp(-K_DECOMPOSABLE.value * span)
    resistant = pools.resistant * math.exp(-K_RESISTANT.value * span)
    microbes = pools.microbes * math.exp(-K_LIVING.value * span)
    humus = pools.humus * math.exp(-K_HUMUS.value * span)
    gone = pools.litter + pools.living - decomposable - resistant - microbes - humus
    return Pools(
        decomposable,
        resistant,
        microbes + gone * kept * LIVING_SHARE.value,
        humus + gone * kept * (1.0 - LIVING_SHARE.value),
    )
