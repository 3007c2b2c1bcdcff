"""The polygons of a KML file (OGC 12-007r2), read without what makes XML dangerous: no document type, no entities."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any
from xml.etree.ElementTree import Element, ParseError

from defusedxml.common import DefusedXmlException
from defusedxml.ElementTree import fromstring

from server.web.unpacking import NotUsable


def features(raw: bytes) -> Iterator[dict[str, Any]]:
    """Each placemark with polygons, in GeoJSON's form; points and lines are passed over. Raises ``NotUsable``."""
    try:
        root = fromstring(raw, forbid_dtd=True)
    except (ParseError, DefusedXmlException, ValueError, LookupError, RecursionError):
        raise NotUsable("no_kml") from None
    for place in _all(root, "Placemark"):
        polygons = [_polygon(one) for one in _all(place, "Polygon")]
        if polygons:
            name = next((one.text or "" for one in place if _tag(one) == "name"), "")
            shape = {"type": "MultiPolygon", "coordinates": polygons}
            yield {"type": "Feature", "properties": {"name": name, **_data(place)}, "geometry": shape}


def _tag(one: Element) -> str:
    return str(one.tag).rpartition("}")[2]


def _all(root: Element, tag: str) -> Iterator[Element]:
    return (one for one in root.iter() if _tag(one) == tag)


def _data(place: Element) -> dict[str, str]:
    """Further named values of a placemark, so that one of them may be its name."""
    found = {one.get("name", ""): one.text or "" for one in _all(place, "SimpleData")}
    for one in _all(place, "Data"):
        found[one.get("name", "")] = next((each.text or "" for each in _all(one, "value")), "")
    return {name: value for name, value in found.items() if name and name != "name"}


def _polygon(polygon: Element) -> list[list[list[float]]]:
    outer = [
        _ring(one) for edge in polygon if _tag(edge) == "outerBoundaryIs" for one in _all(edge, "coordinates")
    ]
    inner = [
        _ring(one) for edge in polygon if _tag(edge) == "innerBoundaryIs" for one in _all(edge, "coordinates")
    ]
    return [*outer[:1], *inner]


def _ring(said: Element) -> list[list[float]]:
    try:
        return [[float(each) for each in one.split(",")[:2]] for one in (said.text or "").split()]
    except ValueError:
        raise NotUsable("no_kml") from None
