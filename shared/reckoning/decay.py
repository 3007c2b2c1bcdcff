"""Leaves in the soil by RothC 26.3: pools of carbon month by month, and what nitrogen they hold or give.

Carbon enters as decomposable and resistant plant material, and becomes carbon dioxide, microbes and humus. A
real field differs: this says in which range and when, not how much to apply.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from shared.errors import OutOfRange
from shared.reckoning.computation import HOUSE
from shared.reckoning.figures import ROTHC, ROTHC_WOODLAND
from shared.units import Figure

MONTHS = Figure(12.0, "months/year", ROTHC)
K_DECOMPOSABLE = Figure(10.0, "1/year", ROTHC)
K_RESISTANT = Figure(0.3, "1/year", ROTHC)
K_MICROBES = Figure(0.66, "1/year", ROTHC)
K_HUMUS = Figure(0.02, "1/year", ROTHC)
MICROBES_SHARE = Figure(0.46, "share", ROTHC)
HUMUS_SHARE = Figure(0.54, "share", ROTHC)
LEAF_RATIO = Figure(0.25, "decomposable/resistant", ROTHC_WOODLAND)
CLAY_PCT = Figure(20.0, "% clay, a silt loam", HOUSE)

X_SCALE = Figure(1.67, "ratio", ROTHC)
X_LEAST = Figure(1.85, "ratio", ROTHC)
X_SPAN = Figure(1.60, "ratio", ROTHC)
X_CLAY = Figure(0.0786, "1/% clay", ROTHC)

WARMTH_TOP = Figure(47.91, "ratio", ROTHC)
WARMTH_SPAN = Figure(106.06, "C", ROTHC)
WARMTH_SHIFT = Figure(18.27, "C", ROTHC)
WARMTH_LEAST_C = Figure(-5.0, "C", ROTHC)
COVERED = Figure(0.6, "ratio", ROTHC)

DRY_BASE = Figure(20.0, "mm", ROTHC)
DRY_CLAY = Figure(1.3, "mm/% clay", ROTHC)
DRY_CLAY2 = Figure(0.01, "mm/% clay2", ROTHC)
DRY_DEPTH_CM = Figure(23.0, "cm", ROTHC)
ONE_BAR = Figure(0.444, "share", ROTHC)
BARE_SHARE = Figure(0.556, "share", ROTHC)
DRY_FLOOR = Figure(0.2, "ratio", ROTHC)
PAN_EVAPORATION = Figure(0.75, "share", ROTHC)

WHOLE_STEP = Figure(1e-9, "of a month, which rounding may add", HOUSE)


@dataclass(frozen=True, slots=True)
class Pools:
    """Carbon by kind, in the unit of what was put in: decomposable and resistant plant material, microbes,
    humus. What has gone into the air is not among them."""

    decomposable: float
    resistant: float
    microbes: float = 0.0
    humus: float = 0.0

    @property
    def litter(self) -> float:
        """What is still plant material."""
        return self.decomposable + self.resistant

    @property
    def living(self) -> float:
        """What microbes and humus hold."""
        return self.microbes + self.humus

    @property
    def total(self) -> float:
        """All the carbon that is left."""
        return self.litter + self.living


def clay_ratio(clay_pct: float) -> float:
    """x, carbon dioxide to (microbes + humus) of what decomposes: 1.67 (1.85 + 1.60 exp(-0.0786 clay))."""
    if not 0.0 <= clay_pct <= 100.0:
        raise OutOfRange("clay_pct", clay_pct, "a number from 0 to 100 %")
    return X_SCALE.value * (X_LEAST.value + X_SPAN.value * math.exp(-X_CLAY.value * clay_pct))


def warmth_rate(mean_c: float) -> float:
    """The factor of a month's mean temperature in C: 1 near 9.3, 0 below -5."""
    if mean_c < WARMTH_LEAST_C.value:
        return 0.0
    return WARMTH_TOP.value / (math.exp(WARMTH_SPAN.value / (mean_c + WARMTH_SHIFT.value)) + 1.0)


def cover_rate(covered: bool) -> float:
    """The factor of plant cover: 0.6 while something grows, 1 on bare ground."""
    return COVERED.value if covered else 1.0


def driest_mm(clay_pct: float, depth_cm: float = DRY_DEPTH_CM.value) -> float:
    """The largest deficit of water in mm, negative, of ``depth_cm`` of soil with this clay."""
    clay_ratio(clay_pct)
    full = DRY_BASE.value + DRY_CLAY.value * clay_pct - DRY_CLAY2.value * clay_pct**2
    return -full * depth_cm / DRY_DEPTH_CM.value


def moisture_rates(
    rain_mm: Sequence[float],
    pan_mm: Sequence[float],
    covered: Sequence[bool],
    clay_pct: float = CLAY_PCT.value,
    depth_cm: float = DRY_DEPTH_CM.value,
) -> tuple[float, ...]:
    """The factor of moisture, month by month from a full soil: rain less 0.75 of pan evaporation gathers a
    deficit, no deeper under bare ground than 0.556 of the largest. Raises ``OutOfRange`` for lists of
    different length."""
    if not len(rain_mm) == len(pan_mm) == len(covered):
        raise OutOfRange("pan_mm", f"{len(pan_mm)} values", "as many months of rain, evaporation and cover")
    driest = driest_mm(clay_pct, depth_cm)
    one_bar = ONE_BAR.value * driest
    deficit = 0.0
    rates = []
    for rain, pan, grown in zip(rain_mm, pan_mm, covered, strict=True):
        # Bare soil dries no further than its own limit, but does not wet up to it either.
        floor = driest if grown else min(BARE_SHARE.value * driest, deficit)
        deficit = min(0.0, max(floor, deficit + rain - PAN_EVAPORATION.value * pan))
        dry = (driest - deficit) / (driest - one_bar)
        rates.append(1.0 if deficit > one_bar else DRY_FLOOR.value + (1.0 - DRY_FLOOR.value) * dry)
    return tuple(rates)


def fresh(carbon: float, ratio: float = LEAF_RATIO.value) -> Pools:
    """Fresh litter split by decomposable to resistant (0.25: deciduous woodland, from memory)."""
    if not (math.isfinite(carbon) and carbon >= 0.0):
        raise OutOfRange("carbon", carbon, "a number from 0")
    if not (math.isfinite(ratio) and ratio >= 0.0):
        raise OutOfRange("ratio", ratio, "a number from 0")
    decomposable = carbon * ratio / (1.0 + ratio)
    return Pools(decomposable, carbon - decomposable)


def decayed(pools: Pools, months: float = 1.0, rate: float = 1.0, clay_pct: float = CLAY_PCT.value) -> Pools:
    """The pools after one step of up to a month, as Rothamsted's release computes it: each pool falls by
    exp(-rate k t), and what fell is split at the step's end."""
    years = months / MONTHS.value * rate
    kept = Pools(
        pools.decomposable * math.exp(-K_DECOMPOSABLE.value * years),
        pools.resistant * math.exp(-K_RESISTANT.value * years),
        pools.microbes * math.exp(-K_MICROBES.value * years),
        pools.humus * math.exp(-K_HUMUS.value * years),
    )
    stays = max(0.0, pools.total - kept.total) / (clay_ratio(clay_pct) + 1.0)
    return Pools(
        kept.decomposable,
        kept.resistant,
        kept.microbes + MICROBES_SHARE.value * stays,
        kept.humus + HUMUS_SHARE.value * stays,
    )


def rothc(
    carbon: float,
    months: float,
    ratio: float = LEAF_RATIO.value,
    clay_pct: float = CLAY_PCT.value,
    rates: Sequence[float] = (1.0,),
) -> Pools:
    """The pools of one dressing of ``carbon`` after ``months`` (whole or not), nothing more being added.

    ``rates`` are the months' factors (warmth x moisture x cover), used in turn and again from the first.
    Raises ``OutOfRange`` for negative months or rates, and for no rates at all.
    """
    if not (math.isfinite(months) and months >= 0.0):
        raise OutOfRange("months", months, "a number from 0")
    if not rates or not all(math.isfinite(rate) and rate >= 0.0 for rate in rates):
        raise OutOfRange("rates", rates, "one number or more, each from 0")
    pools = fresh(carbon, ratio)
    for month, length in enumerate(_steps(months)):
        pools = decayed(pools, length, rates[month % len(rates)], clay_pct)
    return pools


def _steps(months: float) -> Iterator[float]:
    whole = math.floor(months + WHOLE_STEP.value)
    yield from (1.0 for _ in range(whole))
    if months - whole > WHOLE_STEP.value:
        yield months - whole


def litter_pools(
    years: float, pace: float = 1.0, ratio: float = LEAF_RATIO.value, clay_pct: float = CLAY_PCT.value
) -> Pools:
    """One part of fresh litter after ``years``, every month at the same ``pace``: shares of what went in."""
    return rothc(1.0, years * MONTHS.value, ratio, clay_pct, (pace,))
