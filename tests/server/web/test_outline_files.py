"""KML and zipped shapefiles written by another library; what is damaged, too large, hostile or wrongly projected."""

from __future__ import annotations

import io
import zipfile
from pathlib import Path
from typing import Any

import numpy
import pyogrio.raw
import pytest
import shapely
import shapely.geometry
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from pyproj import CRS, Transformer

from server.land import models
from server.land import reads as land
from server.web import unpacking
from server.web.outlines import NotUsable, outlines
from shared.languages import LANGUAGES, say
from tests.server.web.farmyard import Farmyard
from tests.server.web.test_field import acres_by_geographiclib

STATE_PLANE_FEET = "EPSG:3424"
"""NAD83 / New Jersey (ftUS)."""
WEST, SOUTH, SIDE = -74.9, 40.2, 0.002
WHOLE = shapely.geometry.box(WEST, SOUTH, WEST + SIDE, SOUTH + SIDE)
HOLE = shapely.geometry.box(WEST + 0.0005, SOUTH + 0.0005, WEST + 0.0015, SOUTH + 0.0015)
APART = shapely.geometry.box(WEST + 0.01, SOUTH, WEST + 0.011, SOUTH + 0.001)
TWO_WITH_A_HOLE = shapely.geometry.MultiPolygon([WHOLE.difference(HOLE), APART])


def written(folder: Path, shapes: dict[str, Any], system: str = STATE_PLANE_FEET) -> dict[str, bytes]:
    """The files of a shapefile as GDAL writes it, by their ending."""
    move = Transformer.from_crs("EPSG:4326", system, always_xy=True).transform
    moved = [shapely.transform(shape, move, interleaved=False) for shape in shapes.values()]
    pyogrio.raw.write(
        folder / "land.shp",
        geometry=shapely.to_wkb(numpy.array(moved, dtype=object)),
        field_data=[numpy.array(list(shapes), dtype=object)],
        fields=["NAME"],
        geometry_type="MultiPolygon",
        crs=system,
        driver="ESRI Shapefile",
    )
    return {one.suffix[1:]: one.read_bytes() for one in folder.iterdir()}


def zipped(files: dict[str, bytes], stem: str = "survey/land.") -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as packed:
        for kind, content in files.items():
            packed.writestr(stem + kind, content)
    return out.getvalue()


@pytest.fixture(scope="module")
def feet(tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    return written(tmp_path_factory.mktemp("feet"), {"Quarry Side": TWO_WITH_A_HOLE, "Saddle": APART})


def refused(raw: bytes, **more: Any) -> NotUsable:
    with pytest.raises(NotUsable) as caught:
        outlines(raw, **more)
    for language in LANGUAGES:
        assert say(language, f"pages.import.{caught.value.key}", **caught.value.told)
    return caught.value


def test_a_shapefile_in_state_plane_feet_of_two_pieces_with_a_hole_comes_in(feet):
    assert b"US survey foot" in feet["prj"]
    first, second = outlines(zipped(feet))
    assert (first.name, second.name) == ("Quarry Side", "Saddle")
    assert sorted(len(piece) for piece in first.pieces) == [1, 2]
    hole = acres_by_geographiclib(SOUTH + 0.0005, WEST + 0.0005, 0.001)
    apart = acres_by_geographiclib(SOUTH, WEST + 0.01, 0.001)
    whole = acres_by_geographiclib(SOUTH, WEST, SIDE)
    assert second.area_ac == pytest.approx(apart, rel=1e-4)
    assert first.area_ac == pytest.approx(whole - hole + apart, rel=1e-4)
    corner = min(corner for piece in first.pieces for ring in piece for corner in ring)
    assert (float(corner[0]), float(corner[1])) == pytest.approx((SOUTH, WEST), abs=0.001)


def test_it_stands_on_the_farm_and_a_known_field_keeps_what_is_known_of_it(
    feet, yard: Farmyard, owner: Client
):
    field = yard.ground.fields[0]
    known = {
        "name": "Saddle",
        "outline": "",
        "why": "x",
        "version": "1",
        "block_lot": "7 / 2",
        "drainage": "poor",
    }
    owner.post(yard.page("piece", field), known)
    file = SimpleUploadedFile("land.zip", zipped(feet))
    assert owner.post(yard.page("bring_in"), {"file": file, "why": "surveyed"}).status_code == 302
    row = models.Field.objects.get(id=field)
    assert (row.name, row.version, row.block_lot, row.drainage) == ("Saddle", 3, "7 / 2", "poor")
    assert len(land.field(yard.farm, field).outline) == 1


def test_a_prj_of_another_file_is_told(feet, yard: Farmyard):
    degrees, elsewhere = (
        CRS.from_user_input(one).to_wkt("WKT1_ESRI").encode() for one in ("EPSG:4326", "EPSG:32618")
    )
    assert refused(zipped(feet | {"prj": degrees})).key == "wrong_prj"
    # Its feet as metres of that zone lie in another country, which only the farm's other land can tell.
    near = [one.outline for one in land.fields(yard.farm)]
    assert refused(zipped(feet | {"prj": elsewhere}), near=near).key == "far_off"


def test_feet_taken_for_metres_and_land_far_from_the_farm_are_told(feet, yard: Farmyard, owner: Client):
    metres = CRS.from_epsg(32111).to_wkt("WKT1_ESRI").encode()
    near = [one.outline for one in land.fields(yard.farm)]
    found = refused(zipped(feet | {"prj": metres}), near=near)
    assert found.key == "wrong_prj"
    assert outlines(zipped(feet), near=near)
    there = written_far()
    assert refused(there, near=near).key == "far_off"
    file = SimpleUploadedFile("land.kml", there)
    assert (
        owner.post(yard.page("bring_in"), {"file": file, "why": "a second farm", "far": "on"}).status_code
        == 302
    )


def written_far() -> bytes:
    return kml([("Far Field", "-80.1,40.2 -80.098,40.2 -80.098,40.202 -80.1,40.2")])


def test_what_is_missing_or_damaged_is_told(feet):
    assert refused(zipped({kind: feet[kind] for kind in ("shp", "shx", "dbf")})).key == "no_prj"
    assert refused(zipped(feet | {"prj": b"metres, I think"})).key == "prj_unreadable"
    assert refused(zipped({"dbf": feet["dbf"], "prj": feet["prj"]})).key == "no_shp"
    assert refused(zipped(feet | {"shp": feet["shp"][:130]})).key == "no_shapefile"
    assert refused(zipped(feet | {"shp": b"\xff" * 4_000})).key == "no_shapefile"
    assert refused(zipped({kind: feet[kind] for kind in ("shp", "shx", "prj")})).key == "no_shapefile"
    assert refused(zipped(feet | {"shp2.shp": feet["shp"]})).key == "several_shp"
    assert refused(zipped(feet)[:-40]).key == "zip_broken"
    assert refused(zipped(feet), named_by="owner").key == "no_name"


def test_an_outline_that_crosses_itself_is_told_with_its_name(tmp_path: Path):
    bow = shapely.geometry.Polygon(
        [(WEST, SOUTH), (WEST + SIDE, SOUTH + SIDE), (WEST, SOUTH + SIDE), (WEST + SIDE, SOUTH)]
    )
    found = refused(zipped(written(tmp_path, {"Bow": bow})))
    assert (found.key, found.told["name"]) == ("crosses_itself", "Bow")


def test_a_zip_that_unpacks_without_end_is_stopped(monkeypatch: pytest.MonkeyPatch):
    assert refused(zipped({"shp": b"\x00" * (unpacking.MOST_UNPACKED + 1)})).key == "zip_bomb"
    assert refused(zipped({f"{n}.txt": b"x" for n in range(unpacking.MOST_FILES + 1)})).key == "zip_files"
    locked = bytearray(zipped({"shp": b"x"}))
    for mark in (b"PK\x03\x04", b"PK\x01\x02"):
        locked[locked.index(mark) + (6 if mark[2] == 3 else 8)] |= 1
    assert refused(bytes(locked)).key == "zip_locked"


def kml(places: list[tuple[str, str]], more: str = "", head: str = "") -> bytes:
    inner = "".join(
        f"<Placemark><name>{name}</name><MultiGeometry><Polygon><outerBoundaryIs><LinearRing><coordinates>{ring}"
        f"</coordinates></LinearRing></outerBoundaryIs>{more}</Polygon></MultiGeometry></Placemark>"
        for name, ring in places
    )
    point = "<Placemark><name>Gate</name><Point><coordinates>-75,40</coordinates></Point></Placemark>"
    body = f'<kml xmlns="http://www.opengis.net/kml/2.2"><Document><Folder>{point}{inner}</Folder></Document></kml>'
    return f'<?xml version="1.0" encoding="UTF-8"?>{head}{body}'.encode()


RING = "-74.9,40.2,0 -74.898,40.2,0 -74.898,40.202,0 -74.9,40.202,0 -74.9,40.2,0"
INNER = (
    "<innerBoundaryIs><LinearRing><coordinates>-74.8995,40.2005 -74.8985,40.2005 -74.8985,40.2015 -74.8995,40.2015"
    "</coordinates></LinearRing></innerBoundaryIs>"
)


def test_a_kml_with_a_hole_comes_in_and_its_points_are_passed_over():
    for raw in (
        kml([("Long Twelve", RING)], INNER),
        zipped({"kml": kml([("Long Twelve", RING)], INNER)}, "doc."),
    ):
        (one,) = outlines(raw)
        whole = acres_by_geographiclib(SOUTH, WEST, SIDE) - acres_by_geographiclib(
            SOUTH + 0.0005, WEST + 0.0005, 0.001
        )
        assert (one.name, [len(piece) for piece in one.pieces]) == ("Long Twelve", [2])
        assert one.area_ac == pytest.approx(whole, rel=1e-5)


LAUGHS = "<!DOCTYPE kml [" + "".join(
    f'<!ENTITY a{n} "{f"&a{n - 1};" * 10 if n else "ha"}">' for n in range(9)
) + "]>"  # fmt: skip


@pytest.mark.parametrize("raw", [
    kml([("&a8;", RING)], head=LAUGHS),
    kml([("&x;", RING)], head='<!DOCTYPE kml [<!ENTITY x SYSTEM "file:///etc/hostname">]>'),
    kml([("Long Twelve", "here,there")]), b"<kml", b"<" * 10_000, kml([("x", RING)], "<a>" * 20_000),
])  # fmt: skip
def test_xml_that_would_blow_up_or_read_other_files_is_refused(raw):
    assert refused(raw).key == "no_kml"


def test_a_name_that_is_a_script_is_told_and_not_run(yard: Farmyard, owner: Client):
    raw = kml([("&lt;script&gt;alert(1)&lt;/script&gt;", "-74.9,40.2 -74.8,40.3 -74.9,40.3 -74.8,40.2")])
    answer = owner.post(yard.page("bring_in"), {"file": SimpleUploadedFile("land.kml", raw), "why": "x"})
    assert answer.status_code == 400
    assert "<script>alert" not in answer.content.decode()
    assert "&lt;script&gt;alert" in answer.content.decode()
