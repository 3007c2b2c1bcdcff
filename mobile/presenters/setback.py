"""How far a buffer reaches, as an outline to be drawn. What may be spread on is reckoned elsewhere, exactly."""

from __future__ import annotations

import math

from mobile.presenters.sketch import Points

CORNER_DEG = 15.0


def around(points: Points, reach_m: float) -> Points:
    """The outline at ``reach_m`` around a point, a line or a ring, round at its corners."""
    if len(points) == 1:
        return _arc(points[0], reach_m, 0.0, math.tau)
    ring = points if len(points) > 2 else (*points, *points[1:-1][::-1])
    ring = ring if _turns_left(ring) else ring[::-1]
    out: list[tuple[float, float]] = []
    for at, corner in enumerate(ring):
        came = _outward(ring[at - 1], corner)
        goes = _outward(corner, ring[(at + 1) % len(ring)])
        turn = (goes - came) % math.tau
        out += _arc(corner, reach_m, came, turn if turn <= math.pi + 1e-9 else turn - math.tau)
    return tuple(out)


def _turns_left(ring: Points) -> bool:
    return sum(ax * by - bx * ay for (ax, ay), (bx, by) in zip(ring, (*ring[1:], ring[0]), strict=True)) >= 0


def _outward(one: tuple[float, float], other: tuple[float, float]) -> float:
    """The direction at right angles to a side, to its right hand: out of a ring that turns left."""
    return math.atan2(other[1] - one[1], other[0] - one[0]) - math.pi / 2


def _arc(middle: tuple[float, float], r: float, start: float, turn: float) -> Points:
    steps = max(1, math.ceil(abs(math.degrees(turn)) / CORNER_DEG)) if turn > 0 else 1
    return tuple(
        (
            middle[0] + r * math.cos(start + turn * step / steps),
            middle[1] + r * math.sin(start + turn * step / steps),
        )
        for step in range(steps + 1)
    )
