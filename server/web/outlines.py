"""Outlines out of a file: GeoJSON (RFC 7946), KML or KMZ, or a zipped shapefile. Each polygon is a field, by its name.
What can't be used is told with its place in the file, and then nothing of it is taken."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from server.web import corners
from server.web.corners import Piece, checked_acres, geojson_pieces
from server.web.kml import features as kml_features
from server.web.shapefile_zip import features as shapefile_features
from server.web.unpacking import MOST_BYTES, NotUsable, is_zip, unpacked
from shared.reckoning.land import way
from shared.words.place import Outline

MOST_FIELDS = 500
MOST_NAME = 200
NAMES = ("name", "field", "field_name", "fieldname", "label")
FARTHEST_M = 100_000.0
"""From the farm's other land: feet taken for metres put a file farther off than that."""
M_PER_MILE = 1_609.344
__all__ = ["MOST_BYTES", "NotUsable", "Outlined", "outlines"]


@dataclass(frozen=True, slots=True)
class Outlined:
    """A field as the file draws it: latitude first, rings open, the first of each piece the outer."""

    name: str
    pieces: tuple[Piece, ...]
    area_ac: float


def outlines(raw: bytes, named_by: str = "", near: Iterable[Outline] = ()) -> list[Outlined]:
    """Every field of the file. ``named_by`` is the property or column with the names, where it is another than the
    usual; ``near`` is ground that they should lie near, to find a wrong projection by. Raises ``NotUsable`` for the
    first that can't be used."""
    if len(raw) > MOST_BYTES:
        raise NotUsable("too_large", most=MOST_BYTES // 1024 // 1024)
    features = list(_features(raw))
    if not features:
        raise NotUsable("no_outlines")
    if len(features) > MOST_FIELDS:
        raise NotUsable("too_many", most=MOST_FIELDS)
    found = [_outlined(feature, place, named_by) for place, feature in enumerate(features, 1)]
    for place, one in enumerate(found, 1):
        if any(one.name == other.name for other in found[: place - 1]):
            raise NotUsable("name_twice", place=place, name=one.name)
    _check_distance(found, list(near))
    return found


def _features(raw: bytes) -> Iterable[Mapping[str, Any]]:
    """The file's features in GeoJSON's form, by what the file really is."""
    if is_zip(raw):
        files = unpacked(raw)
        kml = [content for name, content in files.items() if name.lower().endswith(".kml")]
        return kml_features(kml[0]) if kml else shapefile_features(files)
    start = raw.lstrip(b"\xef\xbb\xbf \t\r\n")[:1]
    return kml_features(raw) if start == b"<" else _geojson(raw)


def _geojson(raw: bytes) -> Iterator[Mapping[str, Any]]:
    try:
        tree = json.loads(raw.decode("utf-8-sig"), parse_float=Decimal)
    except (UnicodeDecodeError, ValueError, RecursionError):
        raise NotUsable("no_json") from None
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


def _outlined(feature: Mapping[str, Any], place: int, named_by: str) -> Outlined:
    name = _name(feature.get("properties"), named_by)
    if not name or len(name) > MOST_NAME or "\x00" in name:
        raise NotUsable("no_name", place=place)
    try:
        pieces = geojson_pieces(feature.get("geometry"))
        if any(len(ring) < 3 for piece in pieces for ring in piece):
            raise NotUsable("no_polygon", place=place, name=name)
        return Outlined(name, pieces, checked_acres(pieces) or 0.0)
    except corners.NotUsable as wrong:
        raise NotUsable(
            SAID_AS.get(wrong.key, wrong.key), **wrong.told | {"place": place, "name": name}
        ) from None


SAID_AS = {"touches_itself": "crosses_itself", "too_few_corners": "no_polygon"}
"""What is told in the same words of an outline in a file."""


def _name(properties: Any, named_by: str) -> str:
    known = properties if isinstance(properties, dict) else {}
    by_key = {str(key).lower(): value for key, value in known.items()}
    for key in (named_by.lower(),) if named_by else NAMES:
        if by_key.get(key) not in (None, ""):
            return str(by_key[key]).strip()
    return ""


def _check_distance(found: Sequence[Outlined], near: Sequence[Outline]) -> None:
    """What lies far from all the farm's land most likely lies elsewhere in truth."""
    home = [ground[0].outer[0] for ground in near if ground]
    if not home:
        return
    for place, one in enumerate(found, 1):
        lat, lon = one.pieces[0][0][0]
        away = min(way((float(lat), float(lon)), there).distance_m for there in home)
        if away > FARTHEST_M:
            raise NotUsable("far_off", place=place, name=one.name, miles=round(away / M_PER_MILE))
