"""Where the parts of a field overlap: the acres that lie in exactly each set of them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import combinations
from uuid import UUID

from shapely import Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from shared.reckoning.plane import Plane, plane_around
from shared.words.field import Part
from shared.words.place import Outline

LEAST_SHARE = 1e-6
"""Less than this share of the smaller part is a border that two hands drew, not an overlap."""


def overlay(parts: Iterable[Part]) -> Mapping[frozenset[UUID], float] | None:
    """None where no two parts overlap: then each lies by itself."""
    drawn = {one.id: one for one in parts if one.outline and one.area_ac and not one.retired}
    if len(drawn) < 2:
        return None
    plane = plane_around(next(iter(drawn.values())).outline or ())
    flat = {one: _flat(part.outline or (), plane) for one, part in drawn.items()}
    if not any(_overlap(flat[a], flat[b]) for a, b in combinations(flat, 2)):
        return None
    acres_a_square = {one: (drawn[one].area_ac or 0.0) / flat[one].area for one in flat}
    return _cut_up(flat, acres_a_square)


def _flat(outline: Outline, plane: Plane) -> BaseGeometry:
    pieces = [Polygon(plane.ring(one.outer), [plane.ring(hole) for hole in one.holes]) for one in outline]
    return unary_union([piece.buffer(0) for piece in pieces])


def _overlap(a: BaseGeometry, b: BaseGeometry) -> bool:
    return bool(a.intersection(b).area > LEAST_SHARE * min(a.area, b.area))


def _cut_up(
    flat: Mapping[UUID, BaseGeometry], acres_a_square: Mapping[UUID, float]
) -> Mapping[frozenset[UUID], float]:
    """Each part cuts what is there already into inside and outside; the acres go by the first part's measure."""
    pieces: dict[frozenset[UUID], BaseGeometry] = {}
    for one, ground in flat.items():
        cut: dict[frozenset[UUID], BaseGeometry] = {}
        left = ground
        for those, piece in pieces.items():
            inside, outside = piece.intersection(ground), piece.difference(ground)
            left = left.difference(piece)
            if inside.area > 0:
                cut[those | {one}] = inside
            if outside.area > 0:
                cut[those] = outside
        if left.area > 0:
            cut[frozenset((one,))] = left
        pieces = cut
    return {those: piece.area * acres_a_square[min(those, key=str)] for those, piece in pieces.items()}
