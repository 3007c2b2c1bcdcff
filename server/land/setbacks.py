"""Setbacks with shapely in a local projection: the ground that leaves may go on, and what came too near to a house, a
well, water or a line. Areas are geodesic; lengths are of a transverse Mercator around the farm's own middle."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Any
from uuid import UUID

import shapely
from pyproj import Geod, Transformer
from shapely.geometry import LineString, MultiPolygon, Point, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.geometry.polygon import orient
from shapely.ops import unary_union

from server.land import reads as land
from shared.reckoning.plane import LatLon
from shared.status.kept_off import Near
from shared.units import M_PER_FT, acres
from shared.words.field import Buffer
from shared.words.place import Outline

GLOBE = Geod(ellps="WGS84")
QUARTER = 90
"""Sides a quarter of a round corner: 0.005 % short of a true one."""
ROUNDED = 1
"""The middle of the projection in whole degrees' tenths, so that farms share one and it is made once."""
Flat = Any
"""What pyproj makes: a function of longitudes and latitudes to metres, or back."""


@lru_cache(maxsize=64)
def _projection(lat: float, lon: float) -> tuple[Flat, Flat]:
    here = f"+proj=tmerc +lat_0={lat} +lon_0={lon} +k=1 +x_0=0 +y_0=0 +ellps=WGS84 +units=m"
    there = Transformer.from_crs("EPSG:4326", here, always_xy=True)
    back = Transformer.from_crs(here, "EPSG:4326", always_xy=True)
    return there.transform, back.transform


def _moved(way: Flat, shape: BaseGeometry) -> BaseGeometry:
    return shapely.transform(shape, way, interleaved=False)


def shape_of(outline: Outline) -> BaseGeometry:
    """The pieces as drawn, longitude first: a piece of one corner is a point, one of two a line."""
    found: list[BaseGeometry] = []
    for piece in outline:
        corners = [(lon, lat) for lat, lon in piece.outer]
        holes = [[(lon, lat) for lat, lon in hole] for hole in piece.holes]
        if len(corners) > 2:
            found.append(Polygon(corners, holes))
        elif corners:
            found.append(LineString(corners) if len(corners) == 2 else Point(corners[0]))
    return unary_union([one if one.is_valid else one.buffer(0) for one in found])


def acres_on_globe(shape: BaseGeometry) -> float:
    """Geodesic acres of polygons in degrees, longitude first."""
    # pyproj adds the rings up by their sense: holes have to run the other way round.
    return acres(sum(abs(GLOBE.geometry_area_perimeter(orient(one))[0]) for one in polygons(shape)))


@dataclass(frozen=True)
class KeptOff:
    """The farm's buffers on one flat map. ``middle`` is its latitude and longitude."""

    middle: LatLon
    buffers: tuple[Buffer, ...]

    @classmethod
    def of(cls, outlines: Iterable[Outline | None], buffers: Iterable[Buffer]) -> KeptOff:
        drawn = tuple(one for one in buffers if one.outline and not one.retired)
        grounds = [one for one in outlines if one] or [one.outline for one in drawn if one.outline]
        first = grounds[0][0].outer[0] if grounds else (0.0, 0.0)
        return cls((round(first[0], ROUNDED), round(first[1], ROUNDED)), drawn)

    @cached_property
    def flat(self) -> Sequence[BaseGeometry]:
        """What each buffer is around, in metres."""
        there, _ = _projection(*self.middle)
        return [_moved(there, shape_of(one.outline or ())) for one in self.buffers]

    @cached_property
    def bands(self) -> Sequence[BaseGeometry]:
        """Each buffer whole: what it is around and its setback."""
        reaches = [float(one.setback_ft or 0) * M_PER_FT.value for one in self.buffers]
        return [one.buffer(by, quad_segs=QUARTER) for one, by in zip(self.flat, reaches, strict=True)]

    @cached_property
    def tree(self) -> shapely.STRtree:
        return shapely.STRtree(self.flat)

    @cached_property
    def band_tree(self) -> shapely.STRtree:
        return shapely.STRtree(self.bands)

    def left(self, outline: Outline) -> BaseGeometry:
        """The ground of an outline less every buffer, in degrees, longitude first."""
        there, back = _projection(*self.middle)
        ground = _moved(there, shape_of(outline))
        met = [self.bands[place] for place in self.band_tree.query(ground)] if self.buffers else []
        return _moved(back, ground.difference(unary_union(met))) if met else shape_of(outline)

    def left_ac(self, outline: Outline) -> float:
        return acres_on_globe(self.left(outline))

    def band(self, buffer: UUID) -> BaseGeometry | None:
        """A buffer whole, in degrees, longitude first; None for one that isn't drawn."""
        _, back = _projection(*self.middle)
        found = [one for one, by in zip(self.bands, self.buffers, strict=True) if by.id == buffer]
        return _moved(back, found[0]) if found else None

    def near(self, point: LatLon, off_ft: float = 0.0, reach_ft: float = 0.0) -> tuple[Near, ...]:
        """What a point is within the buffer of, or within ``reach_ft``, nearest first."""
        there, _ = _projection(*self.middle)
        return self._near(Point(*there(point[1], point[0])), off_ft, reach_ft)

    def near_ground(self, outline: Outline) -> tuple[Near, ...]:
        """What drawn ground (a pile) reaches into the buffer of."""
        there, _ = _projection(*self.middle)
        return self._near(_moved(there, shape_of(outline)), 0.0, 0.0)

    def _near(self, flat: BaseGeometry, off_ft: float, reach_ft: float) -> tuple[Near, ...]:
        if not self.buffers:
            return ()
        widest = max([reach_ft, *(float(one.setback_ft or 0) for one in self.buffers)]) * M_PER_FT.value
        found = []
        for place in self.tree.query(flat, "dwithin", widest):
            one = self.buffers[place]
            feet = float(self.flat[place].distance(flat)) / M_PER_FT.value
            told = Near(one.id, one.name, one.around, feet, float(one.setback_ft or 0), off_ft)
            if told.inside or feet < reach_ft:
                found.append(told)
        return tuple(sorted(found, key=lambda one: (one.distance_ft, str(one.buffer))))


def kept_off(farm: UUID) -> KeptOff:
    """The farm's buffers, around the first of its fields that is drawn."""
    return KeptOff.of((one.outline for one in land.fields(farm)), land.buffers(farm))


def polygons(shape: BaseGeometry) -> list[Polygon]:
    """The polygons of a shape, whatever else an overlay left in it."""
    if isinstance(shape, Polygon):
        return [shape] if not shape.is_empty else []
    if isinstance(shape, MultiPolygon) or hasattr(shape, "geoms"):
        return [one for each in shape.geoms for one in polygons(each)]
    return []
