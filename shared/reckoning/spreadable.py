"""The ground that leaves may go on: a field less what is kept off around houses, wells, water and lines.

Plain Python for the phone. A buffer is all within its setback of a point, a line or a polygon, corners round.
The area is found by exact cuts along lines across the field, summed by Fejer's rule until it stands still.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from shared.reckoning.computation import HOUSE
from shared.reckoning.land import ground_area_m2
from shared.reckoning.plane import (
    FlatRing,
    Ground,
    LatLon,
    Plane,
    Spot,
    distance_m,
    edge_distance_m,
    flat_area_m2,
    is_inside,
    pieces,
    plane_around,
    rings,
    sides,
)
from shared.units import M_PER_FT, Figure, acres
from shared.words.field import Buffer
from shared.words.place import Outline, Ring

STANDS_STILL = Figure(1e-5, "share of the field's area", HOUSE)
FEWEST_LINES = Figure(4, "lines across a strip", HOUSE)
DOUBLINGS = Figure(8, "times the lines are doubled at most", HOUSE)

Span = tuple[float, float]
"""From one x to another, in metres, along a line across the field."""


@dataclass(frozen=True, slots=True)
class KeepOff:
    """Ground to stay off: all within ``setback_m`` of the polygons (their inside too) and of the lines. A
    line of one corner is a point."""

    setback_m: float
    polygons: Outline = ()
    lines: tuple[Ring, ...] = ()


def keep_off(buffer: Buffer) -> KeepOff:
    """What a buffer keeps off. A piece of one corner is a point, one of two a line; without a setback only
    the piece itself is kept off."""
    setback = float(buffer.setback_ft or 0) * M_PER_FT.value
    drawn = buffer.outline or ()
    return KeepOff(
        setback,
        tuple(piece for piece in drawn if len(piece.outer) > 2),
        tuple(piece.outer for piece in drawn if 0 < len(piece.outer) <= 2),
    )


@dataclass(frozen=True, slots=True)
class Band:
    """All within ``reach`` metres of the segment from ``a`` to ``b``: a line cuts it once at most."""

    a: Spot
    b: Spot
    reach: float

    def corners(self) -> tuple[Spot, ...]:
        """The corners of the straight part, or none for a disk."""
        (ax, ay), (bx, by) = self.a, self.b
        length = math.hypot(bx - ax, by - ay)
        if length == 0.0:
            return ()
        x, y = (by - ay) / length * self.reach, (ax - bx) / length * self.reach
        return (ax + x, ay + y), (bx + x, by + y), (bx - x, by - y), (ax - x, ay - y)

    def heights(self) -> Iterable[float]:
        """Where the cut's shape changes along y."""
        for _, y in (self.a, self.b):
            yield y - self.reach
            yield y + self.reach
        for _, y in self.corners():
            yield y

    def cut(self, y: float) -> Span | None:
        """The span of the line at height ``y`` inside the band, or None."""
        found = []
        for cx, cy in (self.a, self.b):
            rise = self.reach * self.reach - (y - cy) ** 2
            if rise > 0.0:
                half = math.sqrt(rise)
                found += [cx - half, cx + half]
        for (ax, ay), (bx, by) in sides(self.corners()):
            if (ay > y) != (by > y):
                found.append(ax + (bx - ax) * (y - ay) / (by - ay))
        return (min(found), max(found)) if found else None


def _cuts(flat_rings: Iterable[FlatRing], y: float) -> list[Span]:
    """The spans of the line at height ``y`` inside rings, by an odd count of sides."""
    crossed = sorted(
        ax + (bx - ax) * (y - ay) / (by - ay)
        for ring in flat_rings
        for (ax, ay), (bx, by) in sides(ring)
        if (ay > y) != (by > y)
    )
    return list(zip(crossed[::2], crossed[1::2], strict=True))


def _less(spans: list[Span], off: list[Span]) -> list[Span]:
    """What is left of ascending spans when others, in any order and overlapping, are taken away."""
    left = []
    taken = sorted(off)
    for start, end in spans:
        at = start
        for low, high in taken:
            if high > at and low < end:
                if low > at:
                    left.append((at, low))
                at = high
        if at < end:
            left.append((at, end))
    return left


@dataclass(frozen=True, slots=True)
class Region:
    """Flat ground in metres: inside an odd number of ``within``, outside each polygon of ``off`` (a tuple of
    its rings), outside every band."""

    within: tuple[FlatRing, ...]
    off: tuple[tuple[FlatRing, ...], ...]
    bands: tuple[Band, ...]

    def contains(self, spot: Spot) -> bool:
        """Whether a spot is on the ground; the edge of a band is off it."""
        return (
            is_inside(spot, self.within)
            and not any(is_inside(spot, polygon) for polygon in self.off)
            and all(distance_m(spot, band.a, band.b) > band.reach for band in self.bands)
        )

    def spans(self, y: float) -> list[Span]:
        """The spans of the line at height ``y`` on the ground, ascending and apart."""
        taken = [span for polygon in self.off for span in _cuts(polygon, y)]
        taken += [span for band in self.bands if (span := band.cut(y))]
        return _less(_cuts(self.within, y), taken)

    def heights(self) -> list[float]:
        """Where the shape of a cut may change, ascending, from the ground's foot to its top."""
        own = [y for ring in self.within for _, y in ring]
        foot, top = min(own), max(own)
        others = [y for polygon in self.off for ring in polygon for _, y in ring]
        others += [y for band in self.bands for y in band.heights()]
        return sorted({*own, *(y for y in others if foot < y < top)})

    def near(self, low: float, high: float) -> Region:
        """The region without the bands and polygons that no line from ``low`` to ``high`` meets."""
        bands = tuple(
            band
            for band in self.bands
            if min(band.a[1], band.b[1]) - band.reach < high and max(band.a[1], band.b[1]) + band.reach > low
        )
        off = tuple(
            polygon
            for polygon in self.off
            if any(y < high for ring in polygon for _, y in ring)
            and any(y > low for ring in polygon for _, y in ring)
        )
        return Region(self.within, off, bands)

    def area_m2(self) -> float:
        """Square metres, to about a part in 100,000 of the whole ground."""
        heights = self.heights()
        strips = [(self.near(low, high), low, high) for low, high in pairwise(heights)]
        whole = math.fsum(flat_area_m2(ring) for ring in self.within)
        lines = int(FEWEST_LINES.value)
        area = _strips_m2(strips, lines)
        for _ in range(int(DOUBLINGS.value)):
            if not self.bands and not self.off:
                break  # straight sides only: the rule is exact
            lines *= 2
            before, area = area, _strips_m2(strips, lines)
            if abs(area - before) <= STANDS_STILL.value * whole:
                break
        return area


def _fejer(count: int) -> tuple[tuple[float, float], ...]:
    """Nodes on (-1, 1) and weights that sum to 2 of Fejer's first rule (Waldvogel 2006, BIT 46:195-202)."""
    rule = []
    for k in range(count):
        angle = (2 * k + 1) * math.pi / (2 * count)
        bent = math.fsum(math.cos(2 * j * angle) / ((2 * j) ** 2 - 1) for j in range(1, count // 2 + 1))
        rule.append((math.cos(angle), 2.0 / count * (1.0 - 2.0 * bent)))
    return tuple(rule)


def _strips_m2(strips: Sequence[tuple[Region, float, float]], lines: int) -> float:
    rule = _fejer(lines)
    parts = []
    for region, low, high in strips:
        middle, half = (low + high) / 2.0, (high - low) / 2.0
        for node, weight in rule:
            length = math.fsum(end - start for start, end in region.spans(middle + half * node))
            parts.append(weight * half * length)
    return math.fsum(parts)


def region(ground: Ground, off: Iterable[KeepOff], plane: Plane, edge_m: float = 0.0) -> Region:
    """The ground less what is kept off, on a plane; ``edge_m`` keeps off the ground's own edges too."""
    within = tuple(plane.ring(ring) for ring in rings(ground))
    bands = [Band(a, b, edge_m) for ring in within for a, b in sides(ring)] if edge_m > 0.0 else []
    polygons = []
    for each in off:
        drawn = [tuple(plane.ring(ring) for ring in rings(piece)) for piece in each.polygons]
        polygons += drawn
        if each.setback_m > 0.0:
            bands += [
                Band(a, b, each.setback_m) for rings_ in drawn for ring in rings_ for a, b in sides(ring)
            ]
            for line in each.lines:
                flat = plane.ring(line)
                ends = zip(flat, flat[1:] or flat, strict=False)
                bands += [Band(a, b, each.setback_m) for a, b in ends]
    return Region(within, tuple(polygons), tuple(bands))


@dataclass(frozen=True, slots=True)
class Spreadable:
    """The spreadable ground of a field. ``area_m2`` is geodesic, of which ``area_ac`` is in acres."""

    plane: Plane
    region: Region
    field_m2: float
    area_m2: float

    @property
    def area_ac(self) -> float:
        return acres(self.area_m2)

    def contains(self, point: LatLon) -> bool:
        """Whether leaves may go on this point: in the field and outside every buffer."""
        return self.region.contains(self.plane.spot(point))

    def distance_to_edge_m(self, point: LatLon) -> float:
        """Metres from a point to the nearest edge of the field or of what is kept off."""
        spot = self.plane.spot(point)
        edges = [edge_distance_m(spot, self.region.within)]
        edges += [edge_distance_m(spot, polygon) for polygon in self.region.off]
        edges += [abs(distance_m(spot, band.a, band.b) - band.reach) for band in self.region.bands]
        return min(edges)


def spreadable(field: Ground, off: Iterable[KeepOff] = ()) -> Spreadable:
    """The field's outline (one or more pieces, with holes) less all that is kept off. Agrees with shapely to
    0.1 % of the field's area. Raises InputError for no ground, or a ring that crosses itself or has no area."""
    plane = plane_around(field)
    field_m2 = ground_area_m2(field)
    ground = region(field, off, plane)
    bare = math.fsum(
        flat_area_m2(plane.ring(piece.outer)) - math.fsum(flat_area_m2(plane.ring(h)) for h in piece.holes)
        for piece in pieces(field)
    )
    return Spreadable(plane, ground, field_m2, ground.area_m2() * field_m2 / bare)
