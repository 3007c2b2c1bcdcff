"""Flat geometry of one farm: a local map in metres, and what polygons, edges and distances need on it.

Good within some ten kilometres of its middle: a length is then off by at most a part in a thousand. Areas that
a person reads are geodesic (``shared.reckoning.land``).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from geographiclib.geodesic import Geodesic

from shared.errors import OutOfRange
from shared.words.place import Outline, Polygon, Ring

LatLon = tuple[float, float]
"""Latitude and longitude in degrees, WGS84."""
Spot = tuple[float, float]
"""Metres to the right and up on a ``Plane``."""
FlatRing = tuple[Spot, ...]
Ground = Polygon | Outline
"""One piece of ground or several."""

_WHOLE_TURN_DEG = math.degrees(math.tau)


def pieces(ground: Ground) -> Outline:
    """The pieces of a ground, one or several."""
    return (ground,) if isinstance(ground, Polygon) else ground


def rings(ground: Ground) -> Iterator[Ring]:
    """Every ring of a ground, holes too."""
    for piece in pieces(ground):
        yield piece.outer
        yield from piece.holes


@dataclass(frozen=True, slots=True)
class Plane:
    """A flat map around a middle; ``turn_deg`` turns it so that this compass bearing points up."""

    lat: float
    lon: float
    turn_deg: float = 0.0

    def scale(self) -> tuple[float, float]:
        """Metres a degree of longitude and a degree of latitude at the middle."""
        f = Geodesic.WGS84.f
        eccentricity2 = f * (2.0 - f)
        bend = 1.0 - eccentricity2 * math.sin(math.radians(self.lat)) ** 2
        across = Geodesic.WGS84.a / math.sqrt(bend)
        along = across * (1.0 - eccentricity2) / bend
        return math.radians(across * math.cos(math.radians(self.lat))), math.radians(along)

    def ring(self, ring: Iterable[LatLon]) -> FlatRing:
        """Corners on the map, in metres."""
        east_m, north_m = self.scale()
        cosine, sine = math.cos(math.radians(self.turn_deg)), math.sin(math.radians(self.turn_deg))
        flat = []
        for lat, lon in ring:
            x = math.remainder(lon - self.lon, _WHOLE_TURN_DEG) * east_m
            y = (lat - self.lat) * north_m
            flat.append((x * cosine - y * sine, x * sine + y * cosine))
        return tuple(flat)

    def spot(self, point: LatLon) -> Spot:
        """One point on the map, in metres."""
        return self.ring((point,))[0]

    def point(self, spot: Spot) -> LatLon:
        """The latitude and longitude of a spot on the map."""
        east_m, north_m = self.scale()
        cosine, sine = math.cos(math.radians(self.turn_deg)), math.sin(math.radians(self.turn_deg))
        x, y = spot
        lon = self.lon + (x * cosine + y * sine) / east_m
        return self.lat + (y * cosine - x * sine) / north_m, math.remainder(lon, _WHOLE_TURN_DEG)


def plane_around(ground: Ground, turn_deg: float = 0.0) -> Plane:
    """The map whose middle is the middle of the ground's box. Raises OutOfRange for ground of no corners."""
    corners = [corner for ring in rings(ground) for corner in ring]
    if not corners:
        raise OutOfRange("ground", "no corners", "one piece of ground or more")
    lats = [lat for lat, _ in corners]
    first_lon = corners[0][1]
    easts = [math.remainder(lon - first_lon, _WHOLE_TURN_DEG) for _, lon in corners]
    return Plane((min(lats) + max(lats)) / 2.0, first_lon + (min(easts) + max(easts)) / 2.0, turn_deg)


def sides(ring: FlatRing) -> Iterator[tuple[Spot, Spot]]:
    """The sides of a ring, the closing one too."""
    return zip(ring, ring[1:] + ring[:1], strict=True)


def is_inside(spot: Spot, flat_rings: Iterable[FlatRing]) -> bool:
    """Whether an odd number of rings lie around the spot, so that holes count as outside."""
    x, y = spot
    inside = False
    for ring in flat_rings:
        for (ax, ay), (bx, by) in sides(ring):
            if (ay > y) != (by > y) and x < ax + (bx - ax) * (y - ay) / (by - ay):
                inside = not inside
    return inside


def distance_m(spot: Spot, start: Spot, end: Spot) -> float:
    """Metres from a spot to the nearest place of a segment."""
    (x, y), (ax, ay), (bx, by) = spot, start, end
    dx, dy = bx - ax, by - ay
    length2 = dx * dx + dy * dy
    along = 0.0 if length2 == 0.0 else max(0.0, min(1.0, ((x - ax) * dx + (y - ay) * dy) / length2))
    return math.hypot(ax + along * dx - x, ay + along * dy - y)


def edge_distance_m(spot: Spot, flat_rings: Iterable[FlatRing]) -> float:
    """Metres from a spot to the nearest side of any ring; infinity where there is none."""
    away = (distance_m(spot, start, end) for ring in flat_rings for start, end in sides(ring))
    return min(away, default=math.inf)


def flat_area_m2(ring: FlatRing) -> float:
    """Square metres inside one ring, whichever way round it runs."""
    return abs(math.fsum(ax * by - bx * ay for (ax, ay), (bx, by) in sides(ring))) / 2.0
