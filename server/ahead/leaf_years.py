"""What is left of a leaf layer and what it does to nitrogen, year by year, as ranges: never a rate to apply, and never
a year from which a crop may be grown. A soil nitrate test is the sound way to see.

Pools of carbon as in ``shared.reckoning.decay``, drawn over how fast leaves go, how much nitrogen they hold, how much
carbon microbes keep, and how many dry tons a yard was.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np
from scipy.stats import norm, qmc

from shared.reckoning.decay import decayed, fresh
from shared.reckoning.litter import (
    K_FAST,
    K_PER_YEAR,
    K_SLOW,
    MEDIAN_G_PER_KG,
    MICROBIAL_C_TO_N_HIGH,
    MICROBIAL_C_TO_N_LOW,
    leaf_dry_matter,
)
from shared.units import LB_PER_TON

DRAWS = 1024
MOST_MONTHS = 400
G_PER_KG = 1000.0
NINETY = 2 * 1.6449
LEAF_N_SPREAD, TRUCK_SPREAD = 0.20, 0.25
"""In logarithms, this project's own: of the nitrogen in leaves between towns and years; of a truck yard to a ground
yard while the farm has not measured its factor."""
KEPT, KEPT_SPREAD, AGAIN, AGAIN_SPREAD = 1.1, 0.45, 0.35, 1.2
"""What microbes and humus hold beside what the pools say, and how fast a year they are turned over again, each with its
spread in logarithms: other laws of decay let nitrogen go years sooner than these pools. This project's own."""
ENDS = (0.05, 0.50, 0.95)
Range = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Layer:
    """A dressing: in-place yards an acre, and the years since it was spread at the ends of the years asked about."""

    yards_per_ac: float
    years: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class LeafYear:
    """At the end of a year: dry pounds an acre left, and pounds of nitrogen an acre that the year set free (above 0)
    or tied up (below 0); at 5, 50 and 95 %."""

    left_lb: Range
    free_lb: Range


@cache
def _pools() -> np.ndarray:
    """Shares of the carbon by month at the usual pace: what is litter still, and what microbes and humus hold."""
    out, pools = [], fresh(1.0)
    for _ in range(MOST_MONTHS + 1):
        out.append((pools.litter, pools.living))
        pools = decayed(pools)
    return np.array(out)


@cache
def _normals() -> np.ndarray:
    return np.asarray(norm.ppf(qmc.Halton(7, scramble=False).random(DRAWS + 1)[1:]))


def leaf_years(layers: Sequence[Layer], factor_known: bool) -> tuple[LeafYear, ...]:
    """Year by year what is left of all the layers and what they do to nitrogen. ``years`` of each layer are as many,
    in order; a year before its spreading is below 0."""
    if not layers:
        return ()
    normals = _normals()
    pace = np.sqrt(K_SLOW.value * K_FAST.value) / K_PER_YEAR.value
    pace *= np.exp(np.log(K_FAST.value / K_SLOW.value) / NINETY * normals[:, 0])
    left, free = np.zeros((2, DRAWS, len(layers[0].years)))
    for one in layers:
        pounds = _dry_lb(one.yards_per_ac, factor_known, normals)
        mass, net = _of_layer(pounds, np.asarray(one.years), pace, normals)
        left, free = left + mass, free + net
    yearly = np.diff(free, axis=1, prepend=_before(layers, pace, normals, factor_known)[:, None])
    return tuple(LeafYear(_range(left[:, place]), _range(yearly[:, place])) for place in range(left.shape[1]))


def _before(layers: Sequence[Layer], pace: np.ndarray, normals: np.ndarray, known: bool) -> np.ndarray:
    """What had been set free by the end of the year before the first that is asked about."""
    total = np.zeros(DRAWS)
    for one in layers:
        pounds = _dry_lb(one.yards_per_ac, known, normals)
        total += _of_layer(pounds, np.array([one.years[0] - 1.0]), pace, normals)[1][:, 0]
    return total


def _dry_lb(yards_per_ac: float, factor_known: bool, normals: np.ndarray) -> np.ndarray:
    """The published weight in the middle, its band's ends at 5 and 95 %: the upper one lies much further off."""
    found = leaf_dry_matter(yards_per_ac)
    if found.low_tons <= 0:
        return np.zeros(DRAWS)
    below, above = np.log(found.dry_tons / found.low_tons), np.log(found.high_tons / found.dry_tons)
    apart = np.where(normals[:, 1] < 0, below, above) / (NINETY / 2) * normals[:, 1]
    factor = 0.0 if factor_known else TRUCK_SPREAD * normals[:, 6]
    return np.asarray(found.dry_tons * LB_PER_TON.value * np.exp(apart + factor))


def _of_layer(
    pounds: np.ndarray, years: np.ndarray, pace: np.ndarray, normals: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """Dry pounds left, and nitrogen set free since the spreading, of each draw at each of the years."""
    months = np.clip(years[None, :] * 12.0 * pace[:, None], 0.0, MOST_MONTHS)
    at = np.arange(MOST_MONTHS + 1)
    litter, living = (np.interp(months.ravel(), at, one).reshape(months.shape) for one in _pools().T)
    spread = (years >= 0)[None, :]
    carbon = (pounds * MEDIAN_G_PER_KG["c_lb"].value / G_PER_KG)[:, None]
    nitrogen = pounds * MEDIAN_G_PER_KG["n_lb"].value / G_PER_KG * np.exp(LEAF_N_SPREAD * normals[:, 2])
    low, high = MICROBIAL_C_TO_N_LOW.value, MICROBIAL_C_TO_N_HIGH.value
    microbes = (low + (high - low) * norm.cdf(normals[:, 3]))[:, None]
    again = (AGAIN * np.exp(AGAIN_SPREAD * normals[:, 5]))[:, None] * np.maximum(years, 0.0)[None, :]
    kept = living * (KEPT * np.exp(KEPT_SPREAD * normals[:, 4]))[:, None] * np.exp(-again)
    net = nitrogen[:, None] * (1 - litter) - carbon * kept / microbes
    gone = np.exp(-K_PER_YEAR.value * pace[:, None] * np.maximum(years, 0.0)[None, :])
    return np.where(spread, pounds[:, None] * gone, 0.0), np.where(spread, net, 0.0)


def _range(draws: np.ndarray) -> Range:
    low, middle, high = (float(one) for one in np.quantile(draws, ENDS))
    return low, middle, high
