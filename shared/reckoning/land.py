"""Land on the globe: its area, and the field that a person stands in.

A field is named only where that is sure. Within the 95 % accuracy radius of an edge the answer is *not sure*
with the fields it may be: never a guess across a boundary.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Generic, TypeVar

from geographiclib.geodesic import Geodesic

from shared.errors import OutOfRange
from shared.reckoning.computation import Computation, Input, checked, cite
from shared.reckoning.crossing import first_crossing
from shared.reckoning.figures import RAYLEIGH, WGS84
from shared.reckoning.plane import Ground, LatLon, Plane, edge_distance_m, is_inside, pieces, rings
from shared.units import NIST_811, Figure, acres, hectares

SHARE_68 = Figure(0.68, "share", RAYLEIGH)
"""What Android's accuracy means: 68 of 100 fixes fall within it."""
SHARE_95 = Figure(0.95, "share", RAYLEIGH)
"""What a browser's accuracy means, and what a field's edge is judged by."""

LAND_AREA = (
    Input(
        "ring",
        "ring",
        unit="degrees lat:lon",
        key_low=-90.0,
        key_high=90.0,
        low=-180.0,
        high=180.0,
        least=3,
        most=2_000,
        example="39.70:-75.10,39.70:-75.099,39.701:-75.099,39.701:-75.10",
    ),
)
RADIUS95 = (Input("r68_m", unit="m", low=0.0, above_low=True, high=1_000_000.0, example="5"),)

Key = TypeVar("Key")


@dataclass(frozen=True, slots=True)
class LandArea:
    area_m2: float
    perimeter_m: float
    area_ac: float
    area_ha: float


@dataclass(frozen=True, slots=True)
class Radius95:
    r95_m: float


@dataclass(frozen=True, slots=True)
class FieldHere(Generic[Key]):
    """The field that a person stands in. ``field`` is None unless ``sure``; ``candidates`` are the fields it
    may be, those around the point first, then by distance; none of them off the farm."""

    field: Key | None
    sure: bool
    candidates: tuple[Key, ...]


@dataclass(frozen=True, slots=True)
class Way:
    """How far in metres, and on which compass bearing (0 to under 360 degrees, 0 is north)."""

    distance_m: float
    bearing_deg: float


def land_area(ring: tuple[LatLon, ...]) -> LandArea:
    """Geodesic area and perimeter on the WGS84 ellipsoid (Karney 2013) of a ring of corners (latitude,
    longitude; 3 to 2,000; the first may be repeated at the end). Acres are international ones.

    Raises InputError, also where sides cross, touch or double back, or too few corners differ."""
    (given,) = checked(LAND_AREA, locals()).values()
    corners = _corners(given)
    crossed = first_crossing(corners)
    if crossed:
        raise OutOfRange(
            "ring", f"sides {crossed[0]} and {crossed[1]} meet", "a ring whose sides do not cross or touch"
        )
    around = Geodesic.WGS84.Polygon()
    for lat, lon in corners:
        around.AddPoint(lat, lon)
    _, perimeter, signed = around.Compute()
    area = abs(signed)
    return LandArea(area, perimeter, acres(area), hectares(area))


def _corners(given: tuple[LatLon, ...]) -> tuple[LatLon, ...]:
    kept = [corner for corner, before in zip(given, (None, *given), strict=False) if corner != before]
    if len(kept) > 1 and kept[0] == kept[-1]:
        kept.pop()
    if len(set(kept)) < len(kept) or len(kept) <= 2:
        again = f"{len(set(kept))} different corners of {len(kept)}"
        raise OutOfRange("ring", again, "3 corners or more, none of them twice")
    return tuple(kept)


def ground_area_m2(ground: Ground) -> float:
    """Geodesic square metres of a ground: its pieces less their holes. Raises InputError for a bad ring."""
    return math.fsum(
        land_area(piece.outer).area_m2 - math.fsum(land_area(hole).area_m2 for hole in piece.holes)
        for piece in pieces(ground)
    )


def radius95(r68_m: float) -> Radius95:
    """The radius in metres that holds 95 of 100 fixes, from the one that holds 68 (above 0), with errors
    alike in all directions: 1.6215 times as wide. Raises InputError."""
    (r68,) = checked(RADIUS95, locals()).values()
    return Radius95(r68 * math.sqrt(math.log1p(-SHARE_95.value) / math.log1p(-SHARE_68.value)))


def contains(point: LatLon, ground: Ground) -> bool:
    """Whether a point lies in a ground and in none of its holes."""
    here = Plane(*point)
    return is_inside((0.0, 0.0), [here.ring(ring) for ring in rings(ground)])


def distance_to_edge_m(point: LatLon, ground: Ground) -> float:
    """Metres from a point, inside or outside, to the nearest edge of a ground, its holes' too."""
    here = Plane(*point)
    return edge_distance_m((0.0, 0.0), [here.ring(ring) for ring in rings(ground)])


def which_field(point: LatLon, r95_m: float | None, fields: Mapping[Key, Ground]) -> FieldHere[Key]:
    """The field a person stands in at ``point``, known to ``r95_m`` metres (None, nought and less: not known).

    Sure only where the point lies in exactly one field, farther from all its edges than ``r95_m``, and no other
    field comes that near. Without a radius it is never sure. Raises OutOfRange for a point not on the globe."""
    LAND_AREA[0].check((point,) * LAND_AREA[0].least)
    r95 = r95_m if r95_m is not None and r95_m > 0.0 else None
    found: list[tuple[bool, float, str, Key]] = []
    here = Plane(*point)
    for key, ground in fields.items():
        flat = [here.ring(ring) for ring in rings(ground)]
        if not flat:
            continue
        inside = is_inside((0.0, 0.0), flat)
        edge = edge_distance_m((0.0, 0.0), flat)
        if inside or (r95 is not None and edge <= r95):
            found.append((not inside, edge, str(key), key))
    found.sort(key=lambda one: one[:-1])
    keys = tuple(one[-1] for one in found)
    sure = len(found) == 1 and not found[0][0] and r95 is not None and found[0][1] > r95
    return FieldHere(keys[0] if sure else None, sure, keys)


def nearest_fields(point: LatLon, fields: Mapping[Key, Ground]) -> tuple[tuple[Key, float], ...]:
    """Every field with its distance from a point in metres (0 inside), nearest first."""
    far = []
    for key, ground in fields.items():
        if pieces(ground):
            away = 0.0 if contains(point, ground) else distance_to_edge_m(point, ground)
            far.append((away, str(key), key))
    far.sort(key=lambda one: one[:-1])
    return tuple((key, away) for away, _, key in far)


def way(start: LatLon, end: LatLon) -> Way:
    """How to walk from one point to another, along the geodesic on WGS84."""
    line = Geodesic.WGS84.Inverse(*start, *end)
    return Way(line["s12"], line["azi1"] % math.degrees(math.tau))


COMPUTATIONS: tuple[Computation, ...] = (
    Computation(
        "land_area",
        land_area,
        LAND_AREA,
        {"area_m2": "m2", "perimeter_m": "m", "area_ac": "ac", "area_ha": "ha"},
        "geodesic polygon on WGS84; area_ac = area_m2 / 4,046.8564224",
        cite(WGS84, NIST_811),
    ),
    Computation(
        "radius95",
        radius95,
        RADIUS95,
        {"r95_m": "m"},
        "r95_m = r68_m x sqrt(ln 0.05 / ln 0.32)",
        cite(RAYLEIGH),
    ),
)
