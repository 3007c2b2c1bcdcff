"""Outlines as somebody types, pastes or draws them: corners, a line each, latitude first.

An empty line begins another piece; a ring under the word *hole* is a hole of the piece before it. A GeoJSON polygon
may be pasted instead. Every check of an outline that comes from outside is here.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Sequence
from decimal import Decimal, InvalidOperation
from itertools import pairwise
from typing import Any, Literal

import shapely
from shapely.geometry import MultiPolygon
from shapely.geometry import Polygon as Shape

from shared.errors import GoodgroundError, InputError
from shared.languages import LANGUAGES, say
from shared.reckoning.land import ground_area_m2
from shared.units import acres
from shared.words.place import Outline, Polygon

MOST_CORNERS = 1_800
"""More would not go into one entry of the book (64 KiB)."""
MOST_LETTERS = 120_000
MOST_ACRES = 10_000.0
AS_FINE_AS = Decimal("0.0000001")
"""A hundredth of a metre on the ground."""
HOLES = frozenset(say(language, "land.draw.hole_word") for language in LANGUAGES)
Drawn = Literal["area", "line", "point"]

Corner = tuple[Decimal, Decimal]
Ring = tuple[Corner, ...]
Piece = tuple[Ring, ...]
_PLAIN = re.compile(r"[+-]?[0-9]{1,4}(\.[0-9]{0,20})?", re.ASCII)
_APART = re.compile(r"[,;\s]+")


class NotUsable(GoodgroundError):
    """``key`` of ``land.outline`` says what is wrong with an outline, ``told`` where."""

    code = "not_usable"

    def __init__(self, key: str, **facts: Any) -> None:
        self.key, self.told = key, facts
        super().__init__(key)


def typed_pieces(text: str, drawn: Drawn = "area") -> tuple[Piece, ...]:
    """The pieces of a text; none for an empty one. Raises ``NotUsable``."""
    if len(text) > MOST_LETTERS:
        raise NotUsable("too_many_corners", most=MOST_CORNERS)
    is_geojson = text.lstrip().startswith("{")
    pieces = tuple(_pasted(text) if is_geojson else _pieces(_rings(text), drawn))
    if drawn == "area":
        checked_acres(pieces)
    elif sum(len(ring) for piece in pieces for ring in piece) > MOST_CORNERS:
        raise NotUsable("too_many_corners", most=MOST_CORNERS)
    return pieces


def _rings(text: str) -> list[tuple[bool, list[Corner]]]:
    """Each ring with whether it is a hole."""
    out: list[tuple[bool, list[Corner]]] = [(False, [])]
    for place, line in enumerate(text.splitlines(), 1):
        said = line.strip()
        if not said:
            out.append((False, []))
        elif said.lower().rstrip(":") in HOLES:
            out.append((True, []))
        else:
            out[-1][1].append(_corner(said, place))
    return [(hole, _open(ring)) for hole, ring in out if ring]


def _open(ring: list[Corner]) -> list[Corner]:
    """A ring without its first corner again at its end."""
    return ring[:-1] if len(ring) > 2 and ring[0] == ring[-1] else ring


def _corner(said: str, place: int) -> Corner:
    found = [each for each in _APART.split(said) if each]
    if len(found) != 2:
        raise NotUsable("no_corner", line=place, text=said[:40])
    if not all(_PLAIN.fullmatch(each) for each in found):
        raise NotUsable("no_corner", line=place, text=said[:40])
    lat, lon = (Decimal(each) for each in found)
    if abs(lat) > 90 or abs(lon) > 180:
        raise NotUsable("off_the_globe", line=place, text=said[:40])
    return lat.quantize(AS_FINE_AS), lon.quantize(AS_FINE_AS)


def _pieces(rings: Iterable[tuple[bool, list[Corner]]], drawn: Drawn) -> Iterable[Piece]:
    out: list[list[Ring]] = []
    for hole, ring in rings:
        if drawn == "point":
            out += [[(corner,)] for corner in ring]
        elif drawn == "line":
            if len(ring) < 2:
                raise NotUsable("line_of_one")
            out += [[pair] for pair in pairwise(ring)]
        elif hole and out:
            out[-1].append(tuple(ring))
        else:
            out.append([tuple(ring)])
    return (tuple(piece) for piece in out)


def _pasted(text: str) -> Iterable[Piece]:
    try:
        tree = json.loads(text, parse_float=Decimal)
    except (ValueError, RecursionError):
        raise NotUsable("no_geojson") from None
    shape = tree.get("geometry", tree) if isinstance(tree, dict) else None
    return geojson_pieces(shape)


def geojson_pieces(shape: Any) -> tuple[Piece, ...]:
    """The pieces of a GeoJSON geometry (RFC 7946): longitude first, its rings closed. Raises ``NotUsable``."""
    kind = shape.get("type") if isinstance(shape, dict) else None
    coordinates = shape.get("coordinates") if isinstance(shape, dict) else None
    polygons = [coordinates] if kind == "Polygon" else coordinates if kind == "MultiPolygon" else None
    if not isinstance(polygons, list) or not polygons:
        raise NotUsable("no_polygon")
    pieces = []
    for rings in polygons:
        if not isinstance(rings, list) or not rings or not all(isinstance(ring, list) for ring in rings):
            raise NotUsable("no_polygon")
        pieces.append(tuple(tuple(_open([_lon_lat(one) for one in ring])) for ring in rings))
    return tuple(pieces)


def _lon_lat(one: Any) -> Corner:
    if not isinstance(one, (list, tuple)) or len(one) < 2 or not all(_is_number(each) for each in one[:2]):
        raise NotUsable("no_polygon")
    return corner_of(one[1], one[0])


def _is_number(value: Any) -> bool:
    return isinstance(value, (int, float, Decimal)) and not isinstance(value, bool)


def corner_of(lat: Any, lon: Any) -> Corner:
    """A corner as fine as it is kept. Raises ``NotUsable`` for one that is not on the globe."""
    try:
        north, east = Decimal(str(lat)), Decimal(str(lon))
        if not (north.is_finite() and east.is_finite() and abs(north) <= 90 and abs(east) <= 180):
            raise NotUsable("off_the_globe", line=0, text=f"{lat}, {lon}"[:40])
        return north.quantize(AS_FINE_AS), east.quantize(AS_FINE_AS)
    except InvalidOperation:
        raise NotUsable("off_the_globe", line=0, text=f"{lat}, {lon}"[:40]) from None


def outline_from(pieces: Sequence[Piece]) -> Outline:
    rings = [[tuple((float(lat), float(lon)) for lat, lon in ring) for ring in piece] for piece in pieces]
    return tuple(Polygon(piece[0], tuple(piece[1:])) for piece in rings)


def checked_acres(pieces: Sequence[Piece]) -> float | None:
    """The acres of an outline that can be taken; None for none at all. Raises ``NotUsable`` for one that crosses or
    touches itself, whose pieces overlap, whose hole lies outside, or that nobody would believe."""
    if not pieces:
        return None
    if sum(len(ring) for piece in pieces for ring in piece) > MOST_CORNERS:
        raise NotUsable("too_many_corners", most=MOST_CORNERS)
    if any(len(set(ring)) < 3 for piece in pieces for ring in piece):
        raise NotUsable("too_few_corners")
    _check_shape(pieces)
    try:
        area = acres(ground_area_m2(outline_from(pieces)))
    except InputError:
        raise NotUsable("touches_itself") from None
    if not 0 < area <= MOST_ACRES:
        raise NotUsable("hard_to_believe", acres=round(area, 1), most=int(MOST_ACRES))
    return area


def _check_shape(pieces: Sequence[Piece]) -> None:
    shapes = [Shape(_xy(piece[0]), [_xy(hole) for hole in piece[1:]]) for piece in pieces]
    for shape in (*shapes, MultiPolygon(shapes)):
        if not shape.is_valid:
            why = shapely.is_valid_reason(shape)
            where = re.search(r"\[(\S+) (\S+)\]", why)
            lon, lat = (float(one) for one in where.groups()) if where else (0.0, 0.0)
            raise NotUsable(_reason(why, shape), lat=f"{lat:.6f}", lon=f"{lon:.6f}")


def _reason(why: str, shape: Any) -> str:
    if "Hole" in why or "hole" in why:
        return "hole_outside"
    if isinstance(shape, MultiPolygon):
        return "pieces_overlap"
    return "crosses_itself"


def _xy(ring: Ring) -> list[tuple[float, float]]:
    return [(float(lon), float(lat)) for lat, lon in ring]


def text_of(outline: Outline | None, language: str) -> str:
    """An outline as the text that it is typed by."""
    if not outline:
        return ""
    drawn = drawn_as(outline)
    if drawn == "line":
        return "\n\n".join(_lines(line) for line in _joined(outline))
    if drawn == "point":
        return "\n".join(_lines(piece.outer) for piece in outline)
    hole = say(language, "land.draw.hole_word")
    told = [
        "\n".join([_lines(one.outer), *(f"{hole}\n{_lines(each)}" for each in one.holes)]) for one in outline
    ]
    return "\n\n".join(told)


def drawn_as(outline: Outline | None) -> Drawn:
    if not outline or len(outline[0].outer) > 2:
        return "area"
    return "line" if len(outline[0].outer) == 2 else "point"


def _joined(outline: Outline) -> list[list[tuple[float, float]]]:
    """Lines of two corners put together where one begins where the last ended."""
    out: list[list[tuple[float, float]]] = []
    for piece in outline:
        a, b = piece.outer[0], piece.outer[-1]
        if out and out[-1][-1] == a:
            out[-1].append(b)
        else:
            out.append([a, b])
    return out


def _lines(ring: Iterable[tuple[float, float]]) -> str:
    return "\n".join(f"{lat:.7f}, {lon:.7f}" for lat, lon in ring)
