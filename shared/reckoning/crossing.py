"""Whether a ring of corners on the globe crosses, touches or doubles back on itself.

A ring of a field's size is judged as it is drawn, on a flat map; a larger one with unit vectors and great
circles, so that a continent around a pole holds too. The same arithmetic serves both: a flat map is the plane
one above the middle of the globe.
"""

from __future__ import annotations

import math

from shared.reckoning.computation import HOUSE
from shared.reckoning.plane import LatLon
from shared.units import Figure

ALIGNED = Figure(1e-8, "rad", HOUSE)
"""Corners closer in line than this lie on one line: a micron at the end of a hundred metres."""
LOCAL_DEG = Figure(1.0, "degrees", HOUSE)
"""A ring that spans less than this either way is judged on a flat map."""

Vector = tuple[float, float, float]
Side = tuple[Vector, Vector]


def _vector(point: LatLon) -> Vector:
    lat, lon = math.radians(point[0]), math.radians(point[1])
    return math.cos(lat) * math.cos(lon), math.cos(lat) * math.sin(lon), math.sin(lat)


def _vectors(ring: tuple[LatLon, ...]) -> list[Vector]:
    lat, lon = ring[0]
    flat = [(math.remainder(b - lon, math.degrees(math.tau)), a - lat, 1.0) for a, b in ring]
    wide = max(
        max(x for x, _, _ in flat) - min(x for x, _, _ in flat), max(a for a, _ in ring) - min(ring)[0]
    )
    return flat if wide < LOCAL_DEG.value else [_vector(point) for point in ring]


def _less(a: Vector, b: Vector) -> Vector:
    return a[0] - b[0], a[1] - b[1], a[2] - b[2]


def _dot(a: Vector, b: Vector) -> float:
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def _cross(a: Vector, b: Vector) -> Vector:
    return a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]


def _turn(a: Vector, b: Vector, c: Vector) -> int:
    """1 where a, b, c turn left seen from above, -1 right, 0 in line."""
    ab, ac = _less(b, a), _less(c, a)
    turned = _dot(a, _cross(ab, ac))
    if abs(turned) <= ALIGNED.value * math.sqrt(_dot(ab, ab) * _dot(ac, ac)):
        return 0
    return 1 if turned > 0.0 else -1


def _between(a: Vector, b: Vector, c: Vector) -> bool:
    """Whether c, in line with a and b, lies from a to b."""
    return _dot(_less(a, c), _less(b, c)) <= 0.0


def _meet(one: Side, other: Side) -> bool:
    a, b = one
    c, d = other
    turns = _turn(a, c, b), _turn(c, b, d), _turn(b, d, a), _turn(d, a, c)
    if 0 not in turns:
        return len(set(turns)) == 1
    return any(
        turn == 0 and _between(start, end, corner)
        for turn, start, end, corner in (
            (_turn(a, b, c), a, b, c),
            (_turn(a, b, d), a, b, d),
            (_turn(c, d, a), c, d, a),
            (_turn(c, d, b), c, d, b),
        )
    )


def _reach(side: Side, axis: int) -> tuple[float, float]:
    """What an arc spans along an axis: its chord's, and as much more as the arc can bulge."""
    chord = _less(side[1], side[0])
    bulge = _dot(chord, chord) / 2.0
    return min(side[0][axis], side[1][axis]) - bulge, max(side[0][axis], side[1][axis]) + bulge


def first_crossing(ring: tuple[LatLon, ...]) -> tuple[int, int] | None:
    """The numbers (from 1, side 1 starts at the first corner) of two sides of a ring that meet where they
    should not, or None. The ring is not repeated at its end and has three corners or more."""
    corners = _vectors(ring)
    count = len(corners)
    lines = [(corners[k], corners[(k + 1) % count]) for k in range(count)]
    for k in range(count):
        before, corner, after = corners[k - 1], corners[k], corners[(k + 1) % count]
        back = _dot(_less(before, corner), _less(after, corner)) > 0.0
        if back and _turn(before, corner, after) == 0:
            first, second = sorted(((k - 1) % count + 1, k + 1))
            return first, second
    axis = max(range(len(corners[0])), key=lambda a: max(v[a] for v in corners) - min(v[a] for v in corners))
    spans = sorted((*_reach(line, axis), k) for k, line in enumerate(lines))
    open_spans: list[tuple[float, int]] = []
    for low, high, k in spans:
        open_spans = [(end, other) for end, other in open_spans if end >= low]
        for _, other in open_spans:
            near = (k - other) % count in (1, count - 1)
            if not near and _meet(lines[k], lines[other]):
                return min(k, other) + 1, max(k, other) + 1
        open_spans.append((high, k))
    return None
