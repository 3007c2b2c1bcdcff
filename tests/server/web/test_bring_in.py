"""Outlines from a file: what is taken, what is told, and that nothing is taken by halves."""

from __future__ import annotations

import json
from typing import Any

import pytest
import shapely.geometry
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from server.land import reads as land
from server.web.outlines import MOST_BYTES, NotUsable, outlines
from shared.languages import LANGUAGES, say
from tests.server.web.farmyard import Farmyard
from tests.server.web.test_field import acres_by_geographiclib

SQUARE = shapely.geometry.box(-75.1, 40.2, -75.098, 40.202)


def feature(name: Any = "Quarry Side", shape: Any = SQUARE) -> dict[str, Any]:
    """As another library writes it."""
    drawn = shapely.geometry.mapping(shape) if hasattr(shape, "geom_type") else shape
    return {"type": "Feature", "properties": {"name": name}, "geometry": drawn}


def collection(*features: Any, **more: Any) -> bytes:
    return json.dumps({"type": "FeatureCollection", "features": features} | more).encode()


def send(yard: Farmyard, owner: Client, raw: bytes, why: str = "drawn by the county") -> Any:
    file = SimpleUploadedFile("land.geojson", raw)
    return owner.post(yard.page("bring_in"), {"file": file, "why": why})


def test_each_polygon_is_a_field_with_its_acres(yard: Farmyard, owner: Client):
    assert send(yard, owner, collection(feature(), feature("Saddle"))).status_code == 302
    (made,) = [one for one in land.fields(yard.farm) if one.name == "Quarry Side"]
    assert made.area_ac == pytest.approx(acres_by_geographiclib(40.2, -75.1, 0.002), rel=1e-6)
    assert "Saddle" in [one.name for one in land.fields(yard.farm)]


def test_several_pieces_and_a_hole_are_kept():
    hole = shapely.geometry.box(-75.0995, 40.2005, -75.0985, 40.2015)
    two = shapely.geometry.MultiPolygon(
        [SQUARE.difference(hole), shapely.geometry.box(-75.2, 40.2, -75.199, 40.201)]
    )
    (one,) = outlines(collection(feature(shape=two)))
    whole = acres_by_geographiclib(40.2, -75.1, 0.002) + acres_by_geographiclib(40.2, -75.2, 0.001)
    assert [len(piece) for piece in one.pieces] == [2, 1]
    assert one.area_ac == pytest.approx(whole - acres_by_geographiclib(40.2005, -75.0995, 0.001), rel=1e-5)


def test_a_known_name_takes_the_outline_as_its_next_version(yard: Farmyard, owner: Client):
    before = land.field(yard.farm, yard.ground.fields[0])
    send(yard, owner, collection(feature(before.name)))
    after = land.field(yard.farm, before.id)
    assert (after.name, after.version) == (before.name, before.version + 1)
    assert len(land.versions(yard.farm, before.id)) == 2


BOWTIE = {
    "type": "Polygon",
    "coordinates": [[[-75.1, 40.2], [-75.09, 40.21], [-75.1, 40.21], [-75.09, 40.2], [-75.1, 40.2]]],
}
WRONG = [
    (b"", "no_json"),
    (b"\xff\xfe", "no_json"),
    (b"[" * 100_000, "no_json"),
    (b"[1]", "no_geojson"),
    (b'{"type": "Topology"}', "no_geojson"),
    (collection(), "no_outlines"),
    (collection(feature(""), feature("x")), "no_name"),
    (collection(feature("x" * 201)), "no_name"),
    (collection(feature(), feature()), "name_twice"),
    (collection(feature(shape={"type": "Point", "coordinates": [1, 2]})), "no_polygon"),
    (collection(feature(shape={"type": "Polygon", "coordinates": [[[1, 2], [3, 4]]]})), "no_polygon"),
    (
        collection(feature(shape={"type": "Polygon", "coordinates": [[["a", 2], [3, 4], [5, 6]]]})),
        "no_polygon",
    ),
    (collection(feature(shape={"type": "Polygon", "coordinates": "x"})), "no_polygon"),
    (
        collection(feature(shape={"type": "Polygon", "coordinates": [[[1.0, 2.0]] * 5_001]})),
        "too_many_corners",
    ),
    (collection(feature(shape=shapely.geometry.box(500_000, 150_000, 500_900, 150_900))), "off_the_globe"),
    (collection(feature(shape=BOWTIE)), "crosses_itself"),
    (collection(feature(shape=shapely.geometry.box(-80, 40, -75, 45))), "hard_to_believe"),
    (collection(feature(), crs={"type": "name", "properties": {"name": "EPSG:3424"}}), "other_system"),
    (collection(*(feature(f"f{n}") for n in range(501))), "too_many"),
    (b" " * (MOST_BYTES + 1), "too_large"),
]


@pytest.mark.parametrize(
    ("raw", "key"), WRONG, ids=[f"{key}-{place}" for place, (_, key) in enumerate(WRONG)]
)
def test_what_can_not_be_used_is_told_with_its_place(raw, key):
    with pytest.raises(NotUsable) as refused:
        outlines(raw)
    assert refused.value.key == key
    for language in LANGUAGES:
        assert say(language, f"pages.import.{key}", **refused.value.told)


def test_one_bad_outline_keeps_the_whole_file_out(yard: Farmyard, owner: Client):
    number = yard.ground.fresh().number
    answer = send(yard, owner, collection(feature(), feature("Saddle", BOWTIE)))
    assert answer.status_code == 400
    assert "Saddle, outline 2" in answer.content.decode()
    assert yard.ground.fresh().number == number


def test_a_file_without_a_reason_or_no_file_is_told(yard: Farmyard, owner: Client):
    number = yard.ground.fresh().number
    assert send(yard, owner, collection(feature()), why="").status_code == 400
    assert owner.post(yard.page("bring_in"), {"why": "x"}).status_code == 400
    assert yard.ground.fresh().number == number
