"""How tall a smother crop will be: a growth curve over heat units, drawn from what is published of it and weighed by
this field's own stops.

The curve is Gompertz's, told by the units at which it stands at the mow height. Its draws are the same each time.
What the field's rounds say weighs them; a round is never taken as surer than the curve itself can be.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np
from scipy.stats import norm, qmc, t

from shared.reckoning.mowing import MOW_AT_IN
from shared.units import Figure, Source

SSG_GROWTH = Source(
    "ssg_growth",
    "sorghum-sudangrass 18-30 in at six to eight weeks (Penn State, 2002), over 40 in at 33 days in a hot July "
    "(Wisconsin), 5 to 12 ft when mature (Vermont); the spread between them is this project's",
    2002,
    "derived",
)
REGROWTH = Source(
    "ssg_regrowth", "back at mow height in three to five weeks, common practice, no source", None, "practice"
)
TALL_IN = Figure(96.0, "in", SSG_GROWTH)
FROM_SEED_UNITS = Figure(950.0, "F days at the mow height", SSG_GROWTH)
FROM_CUT_UNITS = Figure(620.0, "F days at the mow height", REGROWTH)
STEEPNESS = Figure(0.0032, "1/F day", SSG_GROWTH)
SPREADS = (0.28, 0.24, 0.35, 1.0)
"""In logarithms: of the final height, of the units at the mow height, of the steepness; the last is the heat's."""
DRAWS = 2048
CURVE_SHARE, LEAST_IN, TAILS = 0.13, 1.5, 4.0
"""How far a curve of this kind is off, as a share of the height and at the least; the tails of what stops say."""
FIRST, LAST = 0.10, 0.90


@dataclass(frozen=True, slots=True)
class Walk:
    """A cover round as the curve takes it: the units since it was sown or cut, the mean and its standard error."""

    units: float
    mean_in: float
    error_in: float


@dataclass(frozen=True, slots=True)
class Crossing:
    """Days from now on which the cover stands at the mow height, at 5, 10, 50, 90 and 95 %; None: not within the
    days looked at. 0 or below: so many days ago, as far back as the units go."""

    low: int | None
    early: int | None
    middle: int | None
    late: int | None
    high: int | None


@cache
def _normals() -> np.ndarray:
    points = qmc.Halton(4, scramble=False).random(DRAWS + 1)[1:]
    return np.asarray(norm.ppf(points))


def crossing(
    walks: Sequence[Walk],
    units_now: float,
    units_ahead: Sequence[float],
    heat_spread: float,
    from_seed: bool,
    units_by: Sequence[float] = (),
) -> Crossing:
    """When the mow height is reached. ``units_ahead`` are the heat units looked for on each coming day,
    ``heat_spread`` how far a season may be off them, in logarithms; ``units_by`` the sum by the end of each day
    up to today, oldest first, so that a day which is past is told as itself and grows late."""
    tall, at_mow, steep = _curves(from_seed)
    heat = np.exp(heat_spread * _normals()[:, 3])
    weights = _weights(walks, tall, at_mow, steep)
    reached = np.cumsum(np.asarray(units_ahead, dtype=float))
    past = np.searchsorted(np.asarray(units_by, dtype=float), at_mow) - max(0, len(units_by) - 1)
    days = np.where(at_mow <= units_now, past, 1 + np.searchsorted(reached, (at_mow - units_now) / heat))
    order = np.argsort(days, kind="stable")
    share = np.cumsum(weights[order])
    ends = [int(days[order][np.searchsorted(share, at * share[-1])]) for at in (0.05, FIRST, 0.5, LAST, 0.95)]
    return Crossing(*(one if one <= len(reached) else None for one in ends))


def heights(units: float, tall: np.ndarray, at_mow: np.ndarray, steep: np.ndarray) -> np.ndarray:
    """The height of each draw at so many units."""
    middle = at_mow + np.log(np.log(tall / MOW_AT_IN.value)) / steep
    return np.asarray(tall * np.exp(-np.exp(-steep * (units - middle))))


def looked_for(units: Sequence[float], from_seed: bool) -> list[tuple[float, float, float]]:
    """The height in inches at so many units each: low (5 %), middle and high (95 %), before any stop is known."""
    tall, at_mow, steep = _curves(from_seed)
    ends = (np.quantile(heights(one, tall, at_mow, steep), (0.05, 0.5, 0.95)) for one in units)
    return [(float(low), float(middle), float(high)) for low, middle, high in ends]


def _curves(from_seed: bool) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Of each draw the final height, the units at the mow height, and the steepness."""
    normals = _normals()
    tall = np.maximum(TALL_IN.value * np.exp(SPREADS[0] * normals[:, 0]), MOW_AT_IN.value * 1.2)
    centre = FROM_SEED_UNITS.value if from_seed else FROM_CUT_UNITS.value
    at_mow = centre * np.exp(SPREADS[1] * normals[:, 1])
    return tall, at_mow, STEEPNESS.value * np.exp(SPREADS[2] * normals[:, 2])


def _weights(walks: Sequence[Walk], tall: np.ndarray, at_mow: np.ndarray, steep: np.ndarray) -> np.ndarray:
    said = np.zeros(DRAWS)
    for one in walks:
        looked_for = heights(one.units, tall, at_mow, steep)
        spread = np.sqrt(one.error_in**2 + (CURVE_SHARE * looked_for) ** 2 + LEAST_IN**2)
        said += t.logpdf((one.mean_in - looked_for) / spread, TAILS) - np.log(spread)
    return np.exp(said - said.max())
