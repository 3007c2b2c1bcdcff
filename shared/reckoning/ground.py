"""Whether the ground will bear a truck, and how deep frost may have gone.

Bearing only: slope, ice and the law are other questions, and "may be spread on by the rule" is another answer
(R20). A frost depth from a formula is an upper bound: go and probe.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from shared.reckoning.computation import Computation, Input, checked, cite
from shared.reckoning.figures import (
    FROST_SUM,
    FROZEN_ROADS,
    LATENT_HEAT,
    PLASTIC_LIMIT,
    STEFAN,
    TRAFFIC_LOAD,
)
from shared.units import IN_PER_FT, Figure

BEARING_FROST_IN = Figure(6.0, "in", FROZEN_ROADS)
BEARING_SNOW_IN = Figure(12.0, "in, packed", FROZEN_ROADS)
MOST_AXLE_TONS = Figure(10.0, "tons/axle", TRAFFIC_LOAD)
MOST_TIRE_PSI = Figure(30.0, "psi", TRAFFIC_LOAD)
FREEZING_F = Figure(32.0, "F", FROST_SUM)
STEFAN_48 = Figure(48.0, "1 (2 x 24 h)", STEFAN)
LATENT_BTU_PER_LB = Figure(144.0, "BTU/lb", LATENT_HEAT)

State = Literal["frozen", "dry", "moist", "wet", "standing_water", "snow"]
Thread = Literal["crumbles", "edge", "rolls", "smears"]
Word = Literal["fit", "light", "stay_off"]

GROUND_FITNESS = (
    Input(
        "state",
        "choice",
        choices=("frozen", "dry", "moist", "wet", "standing_water", "snow"),
        example="moist",
    ),
    Input(
        "thread",
        "choice",
        choices=("crumbles", "edge", "rolls", "smears"),
        optional=True,
        example="crumbles",
    ),
    Input("frost_in", unit="in", low=0.0, high=120.0, optional=True, example="0"),
    Input("snow_in", unit="in", low=0.0, high=240.0, optional=True, example="0"),
    Input("snow_packed", "flag", optional=True, example="false"),
    Input("axle_tons", unit="tons/axle", low=0.0, high=100.0, example="8"),
    Input("tire_psi", unit="psi", low=0.0, high=200.0, optional=True, example="25"),
)
FROST_INDEX = (
    Input("means_f", "numbers", unit="F", low=-100.0, high=150.0, most=1_000, example="27,23,34,28,18,39,30"),
)
FROST_DEPTH = (
    Input("index_f_days", unit="F days", low=0.0, high=20_000.0, example="100"),
    Input("k_btu", unit="BTU/(h ft F)", low=0.01, high=10.0, example="0.8"),
    Input("dry_density", unit="lb/ft3", low=10.0, high=200.0, example="100"),
    Input("water_pct", unit="% of dry weight", low=1.0, high=200.0, example="15"),
    Input("n_factor", unit="surface/air", low=0.0, high=5.0, example="1"),
)


@dataclass(frozen=True, slots=True)
class GroundFitness:
    """``verdict`` is fit, light (light loads only) or stay_off for bearing this axle; ``why`` the reason that
    decided it, a key of ``reckoner.why``."""

    verdict: Word
    why: str


@dataclass(frozen=True, slots=True)
class FrostIndex:
    index_f_days: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class FrostDepth:
    depth_in: float


_SEVERITY: tuple[Word, ...] = ("fit", "light", "stay_off")
_BY_THREAD: dict[str, GroundFitness] = {
    "crumbles": GroundFitness("fit", "thread_crumbles"),
    "edge": GroundFitness("light", "thread_edge"),
    "rolls": GroundFitness("stay_off", "thread_rolls"),
    "smears": GroundFitness("stay_off", "thread_smears"),
}
_BY_STATE: dict[str, GroundFitness] = {
    "dry": GroundFitness("fit", "dry"),
    "moist": GroundFitness("light", "moist_no_thread"),
    "wet": GroundFitness("stay_off", "wet"),
    "standing_water": GroundFitness("stay_off", "standing_water"),
    "frozen": GroundFitness("stay_off", "frost_too_thin"),
    "snow": GroundFitness("stay_off", "snow_hides_ground"),
}


def _bears_frozen(frost_in: float | None, snow_in: float | None, packed: bool | None) -> bool:
    """Six inches of frost, or twelve of packed snow, or as much of both together."""
    share = (frost_in or 0.0) / BEARING_FROST_IN.value
    if packed:
        share += (snow_in or 0.0) / BEARING_SNOW_IN.value
    return share >= 1.0


def _by_soil(state: str, thread: str | None) -> GroundFitness:
    seen = _BY_STATE[state]
    if thread is None:
        return seen
    rolled = _BY_THREAD[thread]
    # On moist ground the thread test is the judgement; elsewhere it can only make the word worse.
    if state == "moist":
        return rolled
    return max(seen, rolled, key=lambda word: _SEVERITY.index(word.verdict))


def ground_fitness(
    state: State,
    thread: Thread | None = None,
    frost_in: float | None = None,
    snow_in: float | None = None,
    snow_packed: bool | None = None,
    axle_tons: float = MOST_AXLE_TONS.value,
    tire_psi: float | None = None,
) -> GroundFitness:
    """Whether the ground bears a truck of this axle: *fit*, *light* loads only, or *stay_off*.

    Six inches of frost or twelve of packed snow, or a mix, bear (frozen_roads); thinner frost does not. Else
    the thread test decides (plastic_limit): crumbles fit, on the edge light, rolls or smears off. Ten tons an
    axle or more, or tires over 30 psi, are never better than light (traffic_load). Raises InputError."""
    given = checked(GROUND_FITNESS, locals())
    if given["state"] in ("frozen", "snow") and _bears_frozen(
        given["frost_in"], given["snow_in"], given["snow_packed"]
    ):
        return GroundFitness("fit", "frozen_hard")
    word = _by_soil(given["state"], given["thread"])
    if word.verdict != "fit":
        return word
    if given["axle_tons"] >= MOST_AXLE_TONS.value:
        return GroundFitness("light", "axle_heavy")
    if given["tire_psi"] is not None and given["tire_psi"] > MOST_TIRE_PSI.value:
        return GroundFitness("light", "tire_hard")
    return word


def frost_index(means_f: Sequence[float]) -> FrostIndex:
    """The running sum of degrees (F) below 32 after each day's mean, never under 0, so that a thaw takes it
    back (frost_sum). One value a day, in F days; the last is today's. Raises InputError."""
    (means,) = checked(FROST_INDEX, locals()).values()
    running, sums = 0.0, []
    for mean_f in means:
        running = max(0.0, running + FREEZING_F.value - mean_f)
        sums.append(running)
    return FrostIndex(tuple(sums))


def frost_depth(
    index_f_days: float, k_btu: float, dry_density: float, water_pct: float, n_factor: float
) -> FrostDepth:
    """Inches that frost may have reached by Stefan's formula: an upper bound in temperate winters, so it says
    *go and probe* and never *clear*. ``n_factor`` is surface to air: bare ground 1, turf 0.5 (from memory).
    Raises InputError."""
    index, conductivity, density, water, n = checked(FROST_DEPTH, locals()).values()
    latent = LATENT_BTU_PER_LB.value * water / 100.0 * density
    return FrostDepth(IN_PER_FT.value * math.sqrt(STEFAN_48.value * conductivity * n * index / latent))


COMPUTATIONS: tuple[Computation, ...] = (
    Computation(
        "ground_fitness",
        ground_fitness,
        GROUND_FITNESS,
        {},
        "6 in of frost or 12 in of packed snow bears; else by thread: crumbles fit, edge light, rolls or "
        "smears stay off; axle under 10 tons and tires to 30 psi for fit",
        cite(FROZEN_ROADS, PLASTIC_LIMIT, TRAFFIC_LOAD),
        "reckoner.caution.bearing_only",
    ),
    Computation(
        "frost_index",
        frost_index,
        FROST_INDEX,
        {"index_f_days": "F days"},
        "each day: max(0, the day before + 32 - mean_f)",
        cite(FROST_SUM),
        "reckoner.caution.go_and_probe",
    ),
    Computation(
        "frost_depth",
        frost_depth,
        FROST_DEPTH,
        {"depth_in": "in"},
        "depth_in = 12 x sqrt(48 x k_btu x n_factor x index_f_days / (144 x water_pct / 100 x dry_density))",
        cite(STEFAN, LATENT_HEAT),
        "reckoner.caution.go_and_probe",
    ),
)
