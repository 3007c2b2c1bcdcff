"""The truck factor of each town and packing, told apart from rounds on ground that had leaves of several (R2).

A round says how many ground yards lie where so many truck yards of each sort were sent. Each sort's factor is
taken to lie about the farm's own, how far off by a wide spread; what the rounds say moves and narrows it (normal
linear model). A sort is told only where the rounds have narrowed it to half of what was supposed.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import sqrt
from uuid import UUID

from shared.units import Figure, Source

APART = Source(
    "factors_apart", "how far towns and packings lie apart, common practice, no source", None, "practice"
)
NORMAL = Source("normal", "the normal distribution", None, "derived")
SPREAD = Figure(0.6, "share of the farm's own factor, one standard deviation", APART)
NINETY = Figure(1.6448536269514722, "standard deviations, 90 % two-sided", NORMAL)
NARROWED = Figure(0.5, "share of the supposed standard deviation", APART)

Sort = tuple[UUID, str]
"""A town and how its leaves are packed."""


@dataclass(frozen=True, slots=True)
class RoundYards:
    """One depth round: ground yards that lie there with their standard error, and truck yards sent of each sort."""

    ground_yd3: float
    error_yd3: float
    truck_yd3: Mapping[Sort, float]


@dataclass(frozen=True, slots=True)
class SortFactor:
    """Ground yards a truck yard of one town and packing with its 90 % interval, by how many truck yards under rounds.
    ``factor`` is None where the rounds do not tell it from the farm's own yet."""

    town: UUID
    packing: str
    truck_yd3: float
    factor: float | None
    low: float
    high: float


def factors_by_sort(rounds: Sequence[RoundYards]) -> list[SortFactor]:
    """Each sort's factor, the most truck yards first; empty without a round that has yards and an error."""
    used = [one for one in rounds if one.error_yd3 > 0 and sum(one.truck_yd3.values()) > 0]
    sorts = sorted({sort for one in used for sort in one.truck_yd3}, key=str)
    if not sorts:
        return []
    sent = sum(sum(one.truck_yd3.values()) for one in used)
    own = sum(one.ground_yd3 for one in used) / sent
    supposed = SPREAD.value * own
    precision = [[float(row == column) / supposed**2 for column in sorts] for row in sorts]
    pull = [own / supposed**2 for _ in sorts]
    for one in used:
        yards = [one.truck_yd3.get(sort, 0.0) / one.error_yd3 for sort in sorts]
        ground = one.ground_yd3 / one.error_yd3
        for row, mine in enumerate(yards):
            pull[row] += mine * ground
            for column, other in enumerate(yards):
                precision[row][column] += mine * other
    told = []
    for place, (town, packing) in enumerate(sorts):
        spread = _solved(precision, [float(place == other) for other in range(len(sorts))])
        error = sqrt(spread[place])
        mean = sum(share * each for share, each in zip(spread, pull, strict=True))
        ends = (max(0.0, mean - NINETY.value * error), mean + NINETY.value * error)
        known = mean if error <= NARROWED.value * supposed and mean > 0 else None
        under = sum(one.truck_yd3.get((town, packing), 0.0) for one in used)
        told.append(SortFactor(town, packing, under, known, *ends))
    return sorted(told, key=lambda one: (-one.truck_yd3, str(one.town), one.packing))


def _solved(matrix: Iterable[Sequence[float]], right: Sequence[float]) -> list[float]:
    """The solution of a positive definite system, by elimination without pivots."""
    rows = [[*row, end] for row, end in zip(matrix, right, strict=True)]
    for place, row in enumerate(rows):
        for below in rows[place + 1 :]:
            share = below[place] / row[place]
            below[place:] = [
                mine - share * above for mine, above in zip(below[place:], row[place:], strict=True)
            ]
    out: list[float] = []
    for place in range(len(rows) - 1, -1, -1):
        row = rows[place]
        known = sum(each * value for each, value in zip(row[place + 1 : -1], out, strict=True))
        out.insert(0, (row[-1] - known) / row[place])
    return out
