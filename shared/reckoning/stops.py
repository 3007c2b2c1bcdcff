"""The stops of a round, laid out in the field's own shape.

A zigzag along the longer way of the ground, each stop standing for the same share of it, off the edges, the
buffers and the holes. The same field and count always give the same stops, in walking order.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

from shared.errors import OutOfRange
from shared.reckoning.land import way
from shared.reckoning.plane import FlatRing, Ground, LatLon, Spot, plane_around, rings, sides
from shared.reckoning.spreadable import KeepOff, Region, Span, keep_off, region
from shared.units import Figure, Source
from shared.words.field import Buffer

EDGE_PRACTICE = Source("edge_practice", "stops keep off field edges, lanes and end rows", None, "practice")
EDGE_M = Figure(8.0, "m", EDGE_PRACTICE)
"""How far stops keep off an edge where the field is wide enough; half of it, and so on, where it is not."""
HALVINGS = Figure(5, "times", EDGE_PRACTICE)
MOST_STOPS = Figure(400, "stops", EDGE_PRACTICE)
SLICES = Figure(240, "lines across the ground", EDGE_PRACTICE)


def _hull(spots: Iterable[Spot]) -> FlatRing:
    """The corners of the tightest ring around the spots (Andrew's monotone chain)."""

    def half(ordered: list[Spot]) -> list[Spot]:
        chain: list[Spot] = []
        for x, y in ordered:
            while len(chain) >= 2:
                (ax, ay), (bx, by) = chain[-2:]
                if (bx - ax) * (y - ay) - (by - ay) * (x - ax) > 0.0:
                    break
                chain.pop()
            chain.append((x, y))
        return chain[:-1]

    ordered = sorted(set(spots))
    return tuple(half(ordered) + half(ordered[::-1]))


def long_way_deg(ground: Ground) -> float:
    """The compass bearing (0 to under 180) along which the ground is longest for its width: that of one side
    of its hull, so that a walk follows the rows of a straight-sided field."""
    flat = plane_around(ground)
    hull = _hull(spot for ring in rings(ground) for spot in flat.ring(ring))
    best: tuple[float, float] | None = None
    for (ax, ay), (bx, by) in sides(hull):
        length = math.hypot(bx - ax, by - ay)
        across = [((x - ax) * (by - ay) - (y - ay) * (bx - ax)) / length for x, y in hull]
        bearing = math.degrees(math.atan2(bx - ax, by - ay)) % math.degrees(math.pi)
        width = max(across) - min(across)
        # A hair's difference in width is rounding: let the bearing decide, so that any corner may come first.
        if best is None or (round(width, 2), bearing) < (round(best[0], 2), best[1]):
            best = width, bearing
    return best[1] if best else 0.0


def _slices(ground: Region) -> list[tuple[float, list[Span], float]]:
    """Lines across the ground, evenly up it: height, spans, metres on the ground."""
    own = [y for ring in ground.within for _, y in ring]
    foot, top = min(own), max(own)
    count = int(SLICES.value)
    cut = []
    for k in range(count):
        y = foot + (top - foot) * (2 * k + 1) / (2 * count)
        spans = ground.spans(y)
        cut.append((y, spans, math.fsum(end - start for start, end in spans)))
    return cut


def _along(spans: list[Span], share: float) -> float:
    """The x at which ``share`` of the spans' total length lies to the left."""
    left = share * math.fsum(end - start for start, end in spans)
    for start, end in spans:
        if left <= end - start:
            return start + left
        left -= end - start
    return (spans[-1][0] + spans[-1][1]) / 2.0


def _zigzag(count: int, across: int) -> list[float]:
    """Shares from side to side: over and back, evenly used; straight to and fro where there are two."""
    over = list(range(across))
    turn = over + over[::-1] if across > 2 else over
    return [(2 * turn[k % len(turn)] + 1) / (2 * across) for k in range(count)]


def _place(ground: Region, count: int) -> list[Spot] | None:
    cut = [slice_ for slice_ in _slices(ground) if slice_[2] > 0.0]
    if not cut:
        return None
    total = math.fsum(length for _, _, length in cut)
    high = max(y for y, _, _ in cut) - min(y for y, _, _ in cut) or 1.0
    step = (high * total / len(cut) / count) ** (1 / 2)
    across = max(2, round(total / len(cut) / step))
    placed: list[Spot] = []
    gone = 0.0
    shares = _zigzag(count, across)
    for y, spans, length in cut:
        gone += length
        while len(placed) < count and gone >= total * (2 * len(placed) + 1) / (2 * count):
            placed.append((_along(spans, shares[len(placed)]), y))
    return placed


def off_stops(buffer: Buffer) -> KeepOff:
    """What stops keep off around a buffer: its setback, and from a lane as far as from an edge (in metres), for
    wheels firm the ground along it. Common practice, no source."""
    off = keep_off(buffer)
    reach = max(off.setback_m, EDGE_M.value) if buffer.around == "road" else off.setback_m
    return KeepOff(reach, off.polygons, off.lines)


def stops(
    field: Ground,
    count: int,
    off: Iterable[KeepOff] = (),
    start: LatLon | None = None,
    edge_m: float = EDGE_M.value,
) -> tuple[LatLon, ...]:
    """``count`` stops (1 to 400) on a field's ground less what is kept off, in walking order, as latitude and
    longitude. They keep ``edge_m`` metres off the edges, or half of it and so on where the ground is narrow.
    With ``start`` the walk begins at the end that is nearer. Empty where no ground is left.
    Raises OutOfRange for a count or an edge that can't be."""
    if not 1 <= count <= MOST_STOPS.value:
        raise OutOfRange("count", count, f"a whole number from 1 to {MOST_STOPS.value:g}")
    if not 0.0 <= edge_m < math.inf:
        raise OutOfRange("edge_m", edge_m, "a number from 0 m")
    kept = tuple(off)
    plane = plane_around(field, long_way_deg(field))
    margins = [edge_m / 2**k for k in range(int(HALVINGS.value))] + [0.0]
    placed: list[Spot] | None = None
    for margin in margins:
        placed = _place(region(field, kept, plane, margin), count)
        if placed:
            break
    points = [plane.point(spot) for spot in placed or ()]
    if start and points and way(start, points[-1]).distance_m < way(start, points[0]).distance_m:
        points.reverse()
    return tuple(points)
