"""A field cut in two along a line, and several made one, as drawn in degrees."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise

from shapely import unary_union
from shapely.errors import ShapelyError
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import split

from server.land.setbacks import polygons, shape_of
from shared.reckoning.plane import LatLon
from shared.words.place import Outline
from shared.words.place import Polygon as Piece

AS_FINE_AS = 1e-7
"""Degrees: a hundredth of a metre. Neighbours drawn so near share their edge."""


def cut(outline: Outline, line: Sequence[LatLon]) -> tuple[Outline, Outline] | None:
    """The ground on the left and on the right of a line, as one walks it; None where it doesn't cut all through."""
    way = LineString([(lon, lat) for lat, lon in line])
    left: list[Polygon] = []
    right: list[Polygon] = []
    try:
        for ground in polygons(shape_of(outline)):
            for part in polygons(split(ground, way)):
                (left if _is_left(part, way) else right).append(part)
    except (ShapelyError, ValueError):
        return None
    return (outline_of(left), outline_of(right)) if left and right else None


def _is_left(part: Polygon, way: LineString) -> bool:
    """By the side of the line's nearest stretch that the part's own middle lies on."""
    here = part.representative_point()
    corners = list(way.coords)
    stretches = [LineString(pair) for pair in pairwise(corners)]
    (ax, ay), (bx, by) = min(stretches, key=here.distance).coords
    return bool((bx - ax) * (here.y - ay) - (by - ay) * (here.x - ax) > 0)


def joined(outlines: Iterable[Outline]) -> Outline:
    """All of these as one ground; what doesn't touch stays a piece by itself."""
    whole = unary_union([shape_of(one) for one in outlines], grid_size=AS_FINE_AS)
    return outline_of(polygons(whole))


def outline_of(shapes: Iterable[BaseGeometry]) -> Outline:
    """Polygons as an outline: latitude first, rings open."""
    return tuple(
        Piece(_ring(one.exterior), tuple(_ring(hole) for hole in one.interiors))
        for shape in shapes
        for one in polygons(shape)
    )


def _ring(ring: BaseGeometry) -> tuple[LatLon, ...]:
    return tuple((round(lat, 7), round(lon, 7)) for lon, lat in list(ring.coords)[:-1])
