"""Whether readings over a field lie in patches, and whether a map between them beats their plain mean.

On a real farm's 52 points a map drawn by distance was worse than the plain mean. So no interpolated map is
drawn unless there are 30 points, Moran's I is significant, and leaving each point out in turn the map beats
the mean: otherwise the points and the field's mean are shown.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import NormalDist
from typing import Literal

from shared.errors import OutOfRange
from shared.reckoning.computation import HOUSE, Computation, Input, checked, cite
from shared.reckoning.intervals import mean
from shared.units import Figure, Source

MORAN = Source("moran", "Moran's I, moments under randomization, Cliff & Ord 1981", 1981, "memory")
GATE = Source("map_gate", "after Kravchenko 2003, Soil Sci. Soc. Am. J. 67:1564-1571", 2003, "derived")

LEAST_POINTS = Figure(30, "points", GATE)
SIGNIFICANT = Figure(0.05, "chance", GATE)
NEIGHBOURS = Figure(4, "nearest points", HOUSE)
THREE = Figure(3.0, "in the moments", MORAN)
SIX = Figure(6.0, "in the moments", MORAN)

Point = tuple[float, float]
Weights = tuple[dict[int, float], ...]
"""For each point its neighbours by index, with their weights."""

MAP_FITNESS = (
    Input(
        "points_m",
        "pairs",
        unit="m",
        low=-1e7,
        high=1e7,
        key_low=-1e7,
        key_high=1e7,
        least=3,
        most=500,
        example="0:0,30:0,60:0,0:30",
    ),
    Input("values", "numbers", least=3, most=500, low=-1e9, high=1e9, example="5.4,5.6,6.1,5.5"),
)


@dataclass(frozen=True, slots=True)
class Moran:
    """``i`` with what chance alone would give (``expected``), its standard score and two-sided chance, by the
    normal approximation under randomization."""

    i: float
    expected: float
    z: float
    p: float


@dataclass(frozen=True, slots=True)
class LeftOut:
    """Root mean square error of each point foretold from the others: by distance, and by their mean."""

    map_error: float
    mean_error: float


@dataclass(frozen=True, slots=True)
class MapFitness:
    """``verdict`` *map*, or *points_only* with ``why`` not: *few*, *no_patches* or *mean_is_better*."""

    verdict: Literal["map", "points_only"]
    why: Literal["map_is_better", "few", "no_patches", "mean_is_better"]
    points: int
    moran_i: float | None
    chance: float | None
    map_error: float
    mean_error: float


def _finite(points: Sequence[Point], values: Sequence[float]) -> None:
    if len(points) != len(values):
        raise OutOfRange("values", f"{len(values)} values", f"{len(points)} values, one for each point")
    if not all(math.isfinite(each) for point in points for each in point):
        raise OutOfRange("points_m", "NaN or infinity", "finite metres")
    if not all(math.isfinite(value) for value in values):
        raise OutOfRange("values", "NaN or infinity", "finite numbers")


def nearest(points: Sequence[Point], count: int = int(NEIGHBOURS.value)) -> Weights:
    """The ``count`` nearest points of each, weights adding to 1; of equally near ones the earlier. Raises
    ``OutOfRange`` unless there are more points than that."""
    if not 1 <= count < len(points):
        raise OutOfRange("count", count, f"a whole number from 1 to {len(points) - 1}")
    rows = []
    for i, point in enumerate(points):
        others = sorted((math.dist(point, other), j) for j, other in enumerate(points) if j != i)
        rows.append({j: 1.0 / count for _, j in others[:count]})
    return tuple(rows)


def rook(rows: int, columns: int) -> Weights:
    """The neighbours up, down, left and right on a lattice read row by row, weights adding to 1."""
    out = []
    for row in range(rows):
        for column in range(columns):
            beside = ((row - 1, column), (row + 1, column), (row, column - 1), (row, column + 1))
            held = [r * columns + c for r, c in beside if 0 <= r < rows and 0 <= c < columns]
            out.append({j: 1.0 / len(held) for j in held})
    return tuple(out)


def moran(values: Sequence[float], weights: Weights) -> Moran | None:
    """Moran's I of ``values``, four or more, under ``weights``; None where all values are alike and have no
    pattern. (n / S0) sum(w z z) / sum(z2), expected -1 / (n - 1). Cliff & Ord 1981 (from memory)."""
    n = len(values)
    if n != len(weights) or n <= THREE.value:
        raise OutOfRange("values", f"{n} values", f"4 values or more, one for each of {len(weights)} points")
    middle = mean(values)
    off = [value - middle for value in values]
    square = math.fsum(each**2 for each in off)
    if square == 0.0 or max(values) == min(values):
        return None
    s0 = math.fsum(weight for row in weights for weight in row.values())
    cross = math.fsum(off[i] * weight * off[j] for i, row in enumerate(weights) for j, weight in row.items())
    i = n / s0 * cross / square
    expected = -1.0 / (n - 1)
    z = (i - expected) / math.sqrt(_variance(off, weights, s0) - expected**2)
    return Moran(i, expected, z, 2.0 * NormalDist().cdf(-abs(z)))


def _variance(off: Sequence[float], weights: Weights, s0: float) -> float:
    """E[I2] under randomization, from the weights' sums S0, S1, S2 and the values' kurtosis."""
    n = len(off)
    s1 = math.fsum(
        weight * (weight + weights[j].get(i, 0.0))
        for i, row in enumerate(weights)
        for j, weight in row.items()
    )
    into = [0.0] * n
    for row in weights:
        for j, weight in row.items():
            into[j] += weight
    s2 = math.fsum((sum(row.values()) + into[i]) ** 2 for i, row in enumerate(weights))
    second = math.fsum(each**2 for each in off) / n
    k = math.fsum(each**2 * each**2 for each in off) / n / second**2
    three = THREE.value
    wide = n * ((n**2 - three * n + three) * s1 - n * s2 + three * s0**2)
    peaked = k * ((n**2 - n) * s1 - 2 * n * s2 + SIX.value * s0**2)
    return (wide - peaked) / ((n - 1) * (n - 2) * (n - three) * s0**2)


def by_distance(points: Sequence[Point], values: Sequence[float], at: Point, power: float = 2.0) -> float:
    """The value at ``at`` as the mean of all points, each weighted by 1 / distance^power; on a point (or
    several at one place) the mean of those. Two points at 1 and 2 with 10 and 20 give 12."""
    _finite(points, values)
    if not points:
        raise OutOfRange("points_m", "0 points", "1 point or more")
    gaps = [math.dist(at, point) for point in points]
    near = min(gaps)
    if near == 0.0:
        return mean([value for gap, value in zip(gaps, values, strict=True) if gap == 0.0])
    # Divided by the nearest gap, so that no weight overflows.
    shares = [(near / gap) ** power for gap in gaps]
    whole = math.fsum(shares)
    return math.fsum(share * value for share, value in zip(shares, values, strict=True)) / whole


def left_out(points: Sequence[Point], values: Sequence[float], power: float = 2.0) -> LeftOut:
    """Each of two points or more foretold from all the others, by distance and by their plain mean."""
    _finite(points, values)
    if len(points) < 2:
        raise OutOfRange("points_m", f"{len(points)} points", "2 points or more")
    by_map, by_mean = [], []
    for i, (point, value) in enumerate(zip(points, values, strict=True)):
        others = [*points[:i], *points[i + 1 :]]
        rest = [*values[:i], *values[i + 1 :]]
        by_map.append((by_distance(others, rest, point, power) - value) ** 2)
        by_mean.append((mean(rest) - value) ** 2)
    return LeftOut(math.sqrt(mean(by_map)), math.sqrt(mean(by_mean)))


def map_fitness(points_m: Sequence[Point], values: Sequence[float]) -> MapFitness:
    """Whether a map may be drawn between readings at ``points_m`` (east:north in metres).

    Only with 30 points or more, Moran's I (four nearest, row-standardized) above what chance gives at 5 %,
    two-sided, and a smaller left-out error by distance than by the mean.
    """
    points, readings = checked(MAP_FITNESS, locals()).values()
    error = left_out(points, readings)
    n = len(points)
    found = moran(readings, nearest(points)) if n > NEIGHBOURS.value else None
    why: Literal["map_is_better", "few", "no_patches", "mean_is_better"] = "map_is_better"
    if n < LEAST_POINTS.value:
        why = "few"
    elif found is None or found.p >= SIGNIFICANT.value or found.z <= 0.0:
        why = "no_patches"
    elif error.map_error >= error.mean_error:
        why = "mean_is_better"
    return MapFitness(
        "map" if why == "map_is_better" else "points_only",
        why,
        n,
        None if found is None else found.i,
        None if found is None else found.p,
        error.map_error,
        error.mean_error,
    )


COMPUTATIONS: tuple[Computation, ...] = (
    Computation(
        "map_fitness",
        map_fitness,
        MAP_FITNESS,
        {"points": "points"},
        "map only if points >= 30, Moran's I (4 nearest) at p < 0.05, and left-out error under the mean's",
        cite(GATE, MORAN),
        "reckoner.caution.no_map",
    ),
)
