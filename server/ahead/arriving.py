"""Yards still coming from a town this season, and when they fill the room: past seasons' curves of arrival, moved
and stretched, weighed by what came this season week by week.

Nothing is taken for an arrival law: the shape is what the gate wrote down in other years. Of a town that has no year
before, other towns' shapes stand in, or a usual leaf fall, and its total follows from its own loads alone: wide.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np
from scipy.stats import norm, qmc, t

DRAWS = 512
DAYS = 320
"""A season is told by days from the first of July; what comes after mid May is of no leaf season."""
YEARS_SPREAD, YEARS_WEIGHT = 0.30, 3.0
"""How far a town's totals lie apart from year to year, in logarithms, and how many years' worth that guess is."""
UNKNOWN_SPREAD = 0.60
SHIFT_LEAST, SHIFT_MORE, STRETCH = 4.0, 16.0, 0.20
"""Days by which a season comes sooner or later than another, the more the fewer are known; by how much it stretches."""
LUMPS, LOAD_YD3, TAILS = 0.15, 25.0, 4.0
"""How unevenly a season's yards come, as a share of its total; about one load; the tails of a week's word."""
WEEK = 7
USUAL_FALL = (
    (86, 0.0),
    (105, 0.05),
    (120, 0.20),
    (135, 0.48),
    (150, 0.75),
    (165, 0.90),
    (185, 0.98),
    (205, 1.0),
)
"""By day from the first of July: October to January, most of it in November (common practice, no source)."""
ENDS = (0.05, 0.10, 0.50, 0.90, 0.95)

Curve = np.ndarray
"""What came by the end of each day, as a share of the season's total."""


@dataclass(frozen=True, slots=True)
class Coming:
    """Draws of a town's yards to come, by day from tomorrow: each row one way the season may go on."""

    by_day: np.ndarray

    @property
    def yards(self) -> tuple[float, ...]:
        """Yards still coming at 5, 10, 50, 90 and 95 %."""
        return tuple(float(one) for one in np.quantile(self.by_day[:, -1], ENDS))


def curve_of(came: Mapping[int, float]) -> Curve:
    """A past season's curve; ``came`` are yards by day."""
    days = np.zeros(DAYS)
    for day, yards in came.items():
        days[min(max(day, 0), DAYS - 1)] += yards
    return np.cumsum(days) / days.sum()


@cache
def usual_curve() -> Curve:
    days, shares = zip(*USUAL_FALL, strict=True)
    return np.interp(np.arange(DAYS), days, shares)


@cache
def _dice(place: int) -> np.ndarray:
    """Normal draws of five sorts, the same each time; ``place`` keeps towns apart from one another."""
    points = qmc.Halton(6, scramble=True, seed=place).random(DRAWS)
    return np.clip(points, 1e-6, 1 - 1e-6)


def coming(
    totals: Sequence[float],
    shapes: Sequence[Curve],
    now: Mapping[int, float],
    today: int,
    cap_yd3: float | None = None,
    place: int = 0,
) -> Coming | None:
    """What a town still brings after the end of ``today``. ``totals``: its own past seasons' yards; ``shapes``: theirs,
    or what stands in for them; ``now``: this season's yards by day; ``cap_yd3``: the most that was agreed on.
    None where neither a past season nor a load of this one says anything."""
    so_far = sum(yards for day, yards in now.items() if day <= today)
    if not totals and so_far <= 0:
        return None
    dice = _dice(place)
    stands_in = [] if len(totals) > 1 else [usual_curve()]
    paths = _paths([*shapes, *stands_in], dice, len(totals), today)
    by_now = paths[:, today]
    total = _totals(totals, so_far, by_now, norm.ppf(dice[:, 3]))
    weights = _weights(paths, total, now, today)
    picked = _picked(weights, place)
    paths, total, by_now = paths[picked], total[picked], by_now[picked]
    left = np.maximum(1 - by_now, 0.0)
    uneven = LUMPS * total * np.sqrt(left) * norm.ppf(dice[:, 4])
    yards = np.maximum(total * left + uneven, 0.0)
    if cap_yd3 is not None:
        yards = np.minimum(yards, max(cap_yd3 - so_far, 0.0))
    after = (paths[:, today + 1 :] - by_now[:, None]) / np.maximum(left, 1e-9)[:, None]
    return Coming(np.clip(after, 0.0, 1.0) * yards[:, None])


def _paths(shapes: Sequence[Curve], dice: np.ndarray, years: int, today: int) -> np.ndarray:
    """Each draw's curve: one of the shapes, moved by some days and stretched about its middle; reckoned for the
    days that are asked for, weeks before today and each day from then on."""
    which = np.minimum((dice[:, 0] * len(shapes)).astype(int), len(shapes) - 1)
    shift = norm.ppf(dice[:, 1]) * (SHIFT_LEAST + SHIFT_MORE / (1 + years))
    stretch = np.exp(norm.ppf(dice[:, 2]) * STRETCH)
    asked = np.union1d(np.arange(today, -1, -WEEK), np.arange(today, DAYS))
    days = asked.astype(float)
    out = np.zeros((DRAWS, DAYS))
    for place, shape in enumerate(shapes):
        mine = np.flatnonzero(which == place)
        middle = float(np.searchsorted(shape, 0.5))
        at = middle + (days - middle - shift[mine, None]) / stretch[mine, None]
        out[np.ix_(mine, asked)] = np.interp(at.ravel(), np.arange(DAYS), shape).reshape(at.shape)
    return out


def _totals(totals: Sequence[float], so_far: float, by_now: np.ndarray, normals: np.ndarray) -> np.ndarray:
    if not totals:
        return np.asarray(so_far / np.maximum(by_now, 0.03) * np.exp(UNKNOWN_SPREAD * normals))
    logs = np.log(np.maximum(totals, 1.0))
    apart = float(((logs - logs.mean()) ** 2).sum())
    spread2 = (YEARS_WEIGHT * YEARS_SPREAD**2 + apart) / (YEARS_WEIGHT + len(logs) - 1)
    return np.asarray(np.exp(logs.mean() + np.sqrt(spread2 * (1 + 1 / len(logs))) * normals))


def _weights(paths: np.ndarray, total: np.ndarray, now: Mapping[int, float], today: int) -> np.ndarray:
    """How well each draw agrees with what came, a week at a time back from today."""
    came = np.zeros(DAYS)
    for day, yards in now.items():
        came[min(max(day, 0), DAYS - 1)] += yards
    sums = np.cumsum(came)
    said = np.zeros(DRAWS)
    for end in range(today, WEEK - 1, -WEEK):
        looked_for = total * (paths[:, end] - paths[:, end - WEEK])
        seen = sums[end] - sums[end - WEEK]
        if seen <= 0 and float(looked_for.max()) < LOAD_YD3:
            continue
        spread = np.sqrt(
            (LUMPS * total) ** 2 * np.maximum(paths[:, end] - paths[:, end - WEEK], 0) + LOAD_YD3**2
        )
        said += t.logpdf((seen - looked_for) / spread, TAILS) - np.log(spread)
    return np.asarray(np.exp(said - said.max()))


def _picked(weights: np.ndarray, place: int) -> np.ndarray:
    """Draws again, as often as their weights say, in an order that keeps towns apart."""
    steps = (np.arange(DRAWS) + 0.5) / DRAWS
    found = np.searchsorted(np.cumsum(weights) / weights.sum(), steps)
    return np.asarray(np.random.default_rng(place).permutation(np.minimum(found, DRAWS - 1)))


def fills(several: Sequence[Coming], room_yd3: float) -> tuple[int | None, ...]:
    """In how many days from today the room is full, at 5, 10, 50, 90 and 95 %; None: it does not fill by then."""
    if not several:
        return (None,) * len(ENDS)
    together = np.sum([one.by_day for one in several], axis=0)
    over = together > room_yd3
    days = np.where(over.any(axis=1), over.argmax(axis=1) + 1, DAYS)
    found = np.quantile(days, ENDS, method="inverted_cdf")
    return tuple(int(one) if one < DAYS else None for one in found)
