"""How hard the ground is by a cone penetrometer, and where the hard layer lies.

A reading means little without the moisture it was taken at: dry ground reads hard, wet ground soft. Under old
sod a high reading is no proof of compaction: dig first.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from shared.errors import OutOfRange
from shared.reckoning.computation import Computation, Input, checked, cite
from shared.reckoning.figures import CONE_NOMINAL, CONE_STANDARD, NRCS_FEEL, PAN_LIMIT, PAN_SHARE, WILSON_1927
from shared.reckoning.intervals import median, wilson
from shared.units import Figure

HARD_PSI = Figure(300.0, "psi", PAN_LIMIT)
ACT_PCT = Figure(50.0, "% of points", PAN_SHARE)
READY_FROM_PCT = Figure(75.0, "% of available water", NRCS_FEEL)
"""*Ready* is from here to field capacity; *moist* and *dry* are drier, *wet* is wetter."""
CONE_IN2 = {
    "half_inch": Figure(0.2, "in2", CONE_NOMINAL),
    "three_quarter_inch": Figure(0.5, "in2", CONE_NOMINAL),
}
CONE_MM = {
    "half_inch": Figure(12.83, "mm across the base", CONE_STANDARD),
    "three_quarter_inch": Figure(20.27, "mm across the base", CONE_STANDARD),
}

Cone = Literal["half_inch", "three_quarter_inch"]
Moisture = Literal["dry", "moist", "ready", "wet", "unknown"]

CONE_PRESSURE = (
    Input("force_lbf", unit="lbf", low=0.0, high=1_000.0, example="150"),
    Input("cone", "choice", choices=tuple(CONE_IN2), example="three_quarter_inch"),
)
FIRMNESS = (
    Input(
        "peaks_psi",
        "numbers",
        unit="psi",
        low=0.0,
        high=2_000.0,
        example="120,180,250,310,320,290,330,200,210,305,340,260",
    ),
    Input(
        "moistures",
        "choices",
        choices=("dry", "moist", "ready", "wet", "unknown"),
        optional=True,
        example="ready,ready,ready,ready,ready,ready,ready,ready,ready,ready,ready,ready",
    ),
)
HARD_LAYER = (
    Input(
        "profile_psi",
        "pairs",
        unit="in:psi",
        key_low=0.0,
        key_high=60.0,
        low=0.0,
        high=2_000.0,
        example="0:50,3:150,6:280,9:380,12:340,15:240",
    ),
    Input(
        "limit_psi", unit="psi", low=1.0, high=2_000.0, optional=True, default=HARD_PSI.value, example="300"
    ),
)


@dataclass(frozen=True, slots=True)
class ConePressure:
    psi: float


@dataclass(frozen=True, slots=True)
class Firmness:
    """Shares are of the points that could be judged, None where none could. ``act`` where half of them or
    more are hard, ``sure`` where the interval lies wholly on one side of half."""

    over_pct: float | None
    low_pct: float | None
    high_pct: float | None
    act: bool
    sure: bool
    unjudged: int


@dataclass(frozen=True, slots=True)
class HardLayer:
    """Depths in inches, None where there is no such crossing."""

    top_in: float | None
    bottom_in: float | None

    @property
    def caution(self) -> str | None:
        """A layer with a top and no bottom may go on below the last reading."""
        deeper = self.top_in is not None and self.bottom_in is None
        return "reckoner.caution.layer_goes_on" if deeper else None


@dataclass(frozen=True, slots=True)
class FlaggedLayer(HardLayer):
    """A hard layer whose first reading was over the limit already: its real top is at that depth or above."""

    @property
    def caution(self) -> str | None:
        return "reckoner.caution.layer_from_top"


def cone_pressure(force_lbf: float, cone: Cone) -> ConePressure:
    """Pounds a square inch from a gauge's pounds of force (0 to 1,000) and the cone that was fitted: 0.2 or
    0.5 in2 at the base (cone_standard). Raises InputError."""
    force, fitted = checked(CONE_PRESSURE, locals()).values()
    return ConePressure(force / CONE_IN2[fitted].value)


def is_hard(peak_psi: float, moisture: Moisture = "ready") -> bool | None:
    """Whether a point is hard, or None where its moisture lets no one say: high on ground drier than *ready*,
    at or under the limit on wet ground, moisture unknown (R15). Strictly over 300 psi is hard."""
    over = peak_psi > HARD_PSI.value
    if moisture in ("dry", "moist"):
        return None if over else False
    if moisture == "wet":
        return True if over else None
    return over if moisture == "ready" else None


def firmness(peaks_psi: Sequence[float], moistures: Sequence[Moisture] | None = None) -> Firmness:
    """The share of points that are hard, in percent, with its Wilson 95 % interval, by each point's highest
    reading in psi (0 to 2,000) and its moisture. Without moistures all are taken as *ready*. What can't be
    judged is counted in ``unjudged``. Raises InputError, also where the two lists differ in length."""
    peaks, felt = checked(FIRMNESS, locals()).values()
    if felt is not None and len(felt) != len(peaks):
        raise OutOfRange("moistures", f"{len(felt)} values", f"as many as peaks_psi, {len(peaks)}")
    states = felt if felt is not None else ("ready",) * len(peaks)
    judged = [is_hard(peak, state) for peak, state in zip(peaks, states, strict=True)]
    hard, known = judged.count(True), len(judged) - judged.count(None)
    if not known:
        return Firmness(None, None, None, False, False, len(judged))
    share = wilson(hard, known)
    act = 100.0 * hard >= ACT_PCT.value * known
    low, high = 100.0 * share.low, 100.0 * share.high
    sure = low >= ACT_PCT.value if act else high < ACT_PCT.value
    return Firmness(100.0 * share.mean, low, high, act, sure, judged.count(None))


def hard_layer(profile_psi: Sequence[tuple[float, float]], limit_psi: float = HARD_PSI.value) -> HardLayer:
    """Top and bottom in inches of the first layer strictly over ``limit_psi`` along one probe's readings
    (depth in inches, psi; in any order, no depth twice), straight lines between them (R16).

    Where the first reading is over already the top is its depth, and the answer is a ``FlaggedLayer``; where
    the readings never fall back the bottom is None. Raises InputError."""
    readings, limit = checked(HARD_LAYER, locals()).values()
    ordered = sorted(readings)
    for (depth, _), (next_depth, _) in pairwise(ordered):
        if depth == next_depth:
            raise OutOfRange("profile_psi", depth, "each depth once")
    first_depth, first_psi = ordered[0]
    flagged = first_psi > limit
    top = first_depth if flagged else None
    for (depth, psi), (next_depth, next_psi) in pairwise(ordered):
        if (psi > limit) == (next_psi > limit):
            continue
        crossing = depth + (next_depth - depth) * (limit - psi) / (next_psi - psi)
        if top is not None:
            return (FlaggedLayer if flagged else HardLayer)(top, crossing)
        top = crossing
    return (FlaggedLayer if flagged else HardLayer)(top, None)


def field_layer(layers: Iterable[HardLayer]) -> HardLayer:
    """The hard layer of a field: median top and median bottom in inches of the probes that met one."""
    found = list(layers)
    tops = [layer.top_in for layer in found if layer.top_in is not None]
    bottoms = [layer.bottom_in for layer in found if layer.bottom_in is not None]
    return HardLayer(median(tops) if tops else None, median(bottoms) if bottoms else None)


def asks_spade(found: Firmness, under_sod: bool) -> bool:
    """Whether to dig before anything is said of tillage: some points were hard, and the ground has lain under
    sod or untilled, where more than 300 psi is no proof of compaction (pan_limit)."""
    return under_sod and bool(found.over_pct)


COMPUTATIONS: tuple[Computation, ...] = (
    Computation(
        "cone_pressure",
        cone_pressure,
        CONE_PRESSURE,
        {"psi": "psi"},
        "psi = force_lbf / base area (half_inch 0.2 in2, three_quarter_inch 0.5 in2)",
        cite(CONE_STANDARD, CONE_NOMINAL),
        "reckoner.caution.cone_fits_dial",
    ),
    Computation(
        "firmness",
        firmness,
        FIRMNESS,
        {"over_pct": "%", "low_pct": "%", "high_pct": "%", "unjudged": "points"},
        "over_pct = 100 x points over 300 psi / points judged; Wilson 95 % interval; act at half or more",
        cite(PAN_LIMIT, PAN_SHARE, WILSON_1927),
        "reckoner.caution.spade_first",
    ),
    Computation(
        "hard_layer",
        hard_layer,
        HARD_LAYER,
        {"top_in": "in", "bottom_in": "in"},
        "first crossing of limit_psi going down and the next one back, linear between readings",
        cite(PAN_LIMIT, CONE_STANDARD),
        "reckoner.caution.spade_first",
    ),
)
