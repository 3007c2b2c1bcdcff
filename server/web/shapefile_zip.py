"""The polygons of a zipped shapefile, put from the projection that its .prj names into latitude and longitude."""

from __future__ import annotations

import io
import math
import struct
from collections.abc import Iterator, Mapping
from typing import Any

import shapefile
from pyproj import CRS, Transformer
from pyproj.exceptions import CRSError, ProjError

from server.web.unpacking import NotUsable

MOST_SHAPES = 500
MOST_PRJ = 8_000
BEYOND_DEG = 1.0
"""How far outside the area that a projection is for its file may lie."""
BROKEN = (
    shapefile.ShapefileException,
    struct.error,
    ValueError,
    LookupError,
    TypeError,
    EOFError,
    OverflowError,
    AttributeError,
    AssertionError,
)
"""What a damaged shapefile may make its reader stumble over."""


def features(files: Mapping[str, bytes]) -> Iterator[dict[str, Any]]:
    """Each shape in GeoJSON's form. Raises ``NotUsable`` for a file that is none, one without a projection or with a
    wrong one."""
    parts = _parts(files)
    move = _Moved(parts.get("prj"))
    # The header's own word for the length, in 16-bit words: where it differs the file was cut short.
    if "dbf" not in parts or int.from_bytes(parts["shp"][24:28], "big") * 2 != len(parts["shp"]):
        raise NotUsable("no_shapefile")
    try:
        streams = {kind: io.BytesIO(content) for kind, content in parts.items() if kind != "prj"}
        with shapefile.Reader(**streams, encodingErrors="replace") as reader:
            if len(reader) > MOST_SHAPES:
                raise NotUsable("too_many", most=MOST_SHAPES)
            names = [one[0] for one in reader.fields if one[0] != "DeletionFlag"]
            shapes = [one.__geo_interface__ for one in reader.iterShapes()]
            records = list(reader.iterRecords())
    except BROKEN:
        raise NotUsable("no_shapefile") from None
    for place, (shape, record) in enumerate(zip(shapes, records, strict=False), 1):
        known = dict(zip(names, record, strict=False))
        yield {"type": "Feature", "properties": known, "geometry": move.shape(shape, place)}


def _parts(files: Mapping[str, bytes]) -> dict[str, bytes]:
    """The files of the one shapefile in the zip, by their ending."""
    shapes = [name for name in files if name.lower().endswith(".shp")]
    if not shapes:
        raise NotUsable("no_shp")
    if len(shapes) > 1:
        raise NotUsable("several_shp", count=len(shapes))
    stem = shapes[0][:-4].lower()
    wanted = {f"{stem}.{kind}": kind for kind in ("shp", "shx", "dbf", "prj")}
    return {wanted[name.lower()]: content for name, content in files.items() if name.lower() in wanted}


class _Moved:
    """From the file's own coordinates to longitude and latitude."""

    def __init__(self, prj: bytes | None) -> None:
        if prj is None:
            raise NotUsable("no_prj")
        try:
            system = CRS.from_wkt(prj[:MOST_PRJ].decode("utf-8", "replace").strip("\ufeff\x00 \r\n"))
            self.move = Transformer.from_crs(system, "EPSG:4326", always_xy=True)
        except (CRSError, ProjError):
            raise NotUsable("prj_unreadable") from None
        self.name = system.name
        self.area = _area_of(system)

    def shape(self, shape: Mapping[str, Any], place: int) -> dict[str, Any]:
        if shape.get("type") not in ("Polygon", "MultiPolygon"):
            return dict(shape)
        polygons = [shape["coordinates"]] if shape["type"] == "Polygon" else shape["coordinates"]
        moved = [[self._ring(ring, place) for ring in rings] for rings in polygons]
        return {"type": "MultiPolygon", "coordinates": moved}

    def _ring(self, ring: Any, place: int) -> list[list[float]]:
        try:
            lons, lats = self.move.transform([one[0] for one in ring], [one[1] for one in ring])
        except ProjError:
            raise NotUsable("wrong_prj", place=place, system=self.name) from None
        for lon, lat in zip(lons, lats, strict=True):
            if not (math.isfinite(lon) and math.isfinite(lat)) or not self._within(lon, lat):
                raise NotUsable("wrong_prj", place=place, system=self.name)
        return [[lon, lat] for lon, lat in zip(lons, lats, strict=True)]

    def _within(self, lon: float, lat: float) -> bool:
        west, south, east, north = self.area
        by = BEYOND_DEG
        return west - by <= lon <= east + by and south - by <= lat <= north + by


def _area_of(system: CRS) -> tuple[float, float, float, float]:
    """West, south, east and north of what the projection is for, as its authority says; else the whole globe."""
    area = system.area_of_use
    if area is None:
        known = system.to_authority(min_confidence=70)
        area = CRS.from_authority(*known).area_of_use if known else None
    return (area.west, area.south, area.east, area.north) if area else (-180.0, -90.0, 180.0, 90.0)
