"""Outlines out of a GeoJSON file (RFC 7946): each polygon a field, by its name. What can't be used is told with its
place in the file, and then nothing of it is taken."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from shared.errors import GoodgroundError, InputError
from shared.reckoning.land import ground_area_m2
from shared.units import acres
from shared.words.place import Polygon

MOST_BYTES = 4 * 1024 * 1024
MOST_FIELDS = 500
MOST_CORNERS = 5_000
MOST_NAME = 200
DEEPEST = 12
AS_FINE_AS = Decimal("0.0000001")
"""A hundredth of a metre on the ground."""
MOST_ACRES = 10_000.0
NAMES = ("name", "Name", "NAME", "field", "Field")

Ring = tuple[tuple[Decimal, Decimal], ...]
Piece = tuple[Ring, ...]


class NotUsable(GoodgroundError):
    """``key`` of ``pages.import`` says what is wrong; ``facts`` where."""

    code = "not_usable"

    def __init__(self, key: str, **facts: Any) -> None:
        self.key, self.told = key, facts
        super().__init__(key)


@dataclass(frozen=True, slots=True)
class Outlined:
    """A field as the file draws it: latitude first, rings open, the first of each piece the outer."""

    name: str
    pieces: tuple[Piece, ...]
    area_ac: float


def outlines(raw: bytes) -> list[Outlined]:
    """Every field of the file. Raises ``NotUsable`` for the first that can't be used."""
    if len(raw) > MOST_BYTES:
        raise NotUsable("too_large", most=MOST_BYTES // 1024 // 1024)
    try:
        tree = json.loads(raw.decode("utf-8-sig"), parse_float=Decimal)
    except (UnicodeDecodeError, ValueError, RecursionError):
        raise NotUsable("no_json") from None
    features = list(_features(tree))
    if not features:
        raise NotUsable("no_outlines")
    if len(features) > MOST_FIELDS:
        raise NotUsable("too_many", most=MOST_FIELDS)
    found = [_outlined(feature, place) for place, feature in enumerate(features, 1)]
    for place, one in enumerate(found, 1):
        if any(one.name == other.name for other in found[: place - 1]):
            raise NotUsable("name_twice", place=place, name=one.name)
    return found


def _features(tree: Any) -> Iterator[Mapping[str, Any]]:
    if not isinstance(tree, dict):
        raise NotUsable("no_geojson")
    if "crs" in tree and "CRS84" not in json.dumps(tree["crs"], default=str):
        raise NotUsable("other_system")
    if tree.get("type") == "FeatureCollection" and isinstance(tree.get("features"), list):
        yield from (one for one in tree["features"] if isinstance(one, dict))
    elif tree.get("type") == "Feature":
        yield tree
    else:
        raise NotUsable("no_geojson")


def _outlined(feature: Mapping[str, Any], place: int) -> Outlined:
    properties = feature.get("properties")
    named = properties if isinstance(properties, dict) else {}
    name = next((str(named[key]).strip() for key in NAMES if named.get(key)), "")
    if not name or len(name) > MOST_NAME or "\x00" in name:
        raise NotUsable("no_name", place=place)
    geometry = feature.get("geometry")
    shape = geometry if isinstance(geometry, dict) else {}
    kind, coordinates = shape.get("type"), shape.get("coordinates")
    polygons = [coordinates] if kind == "Polygon" else coordinates if kind == "MultiPolygon" else None
    if not isinstance(polygons, list) or not polygons:
        raise NotUsable("no_polygon", place=place, name=name)
    pieces = tuple(_piece(one, place, name) for one in polygons)
    return Outlined(name, pieces, _acres(pieces, place, name))


def _piece(rings: Any, place: int, name: str) -> Piece:
    if not isinstance(rings, list) or not rings:
        raise NotUsable("no_polygon", place=place, name=name)
    return tuple(_ring(ring, place, name) for ring in rings)


def _ring(ring: Any, place: int, name: str) -> Ring:
    """GeoJSON says longitude first and closes its rings; here latitude comes first and a ring is open."""
    if not isinstance(ring, list) or len(ring) > MOST_CORNERS:
        raise NotUsable("too_many_corners", place=place, name=name, most=MOST_CORNERS)
    corners = [_corner(one, place, name) for one in ring]
    if len(corners) > 1 and corners[0] == corners[-1]:
        corners.pop()
    if len(corners) < 3:
        raise NotUsable("no_polygon", place=place, name=name)
    return tuple(corners)


def _corner(one: Any, place: int, name: str) -> tuple[Decimal, Decimal]:
    if not isinstance(one, list) or len(one) < 2 or not all(_is_number(each) for each in one[:2]):
        raise NotUsable("no_polygon", place=place, name=name)
    lon, lat = Decimal(one[0]), Decimal(one[1])
    if not (lat.is_finite() and lon.is_finite() and abs(lat) <= 90 and abs(lon) <= 180):
        raise NotUsable("off_the_globe", place=place, name=name)
    return lat.quantize(AS_FINE_AS), lon.quantize(AS_FINE_AS)


def _is_number(value: Any) -> bool:
    return isinstance(value, (int, Decimal)) and not isinstance(value, bool)


def _acres(pieces: Sequence[Piece], place: int, name: str) -> float:
    drawn = [[[(float(lat), float(lon)) for lat, lon in ring] for ring in piece] for piece in pieces]
    try:
        area = acres(ground_area_m2(tuple(Polygon(tuple(p[0]), tuple(map(tuple, p[1:]))) for p in drawn)))
    except InputError:
        raise NotUsable("crosses_itself", place=place, name=name) from None
    if not 0 < area <= MOST_ACRES:
        raise NotUsable("hard_to_believe", place=place, name=name, acres=round(area, 1), most=int(MOST_ACRES))
    return area
