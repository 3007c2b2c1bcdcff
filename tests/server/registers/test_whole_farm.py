"""All that a farm owns in one file: its book proves, its land is GeoJSON, its photos are there, nobody's digits are."""

from __future__ import annotations

import csv
import io
import json
import zipfile

from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from shapely.geometry import shape

from server.book import reads as book
from server.people import writes
from shared.proof.check import check
from shared.words.bodies.reading import Strike
from shared.words.person import digits_hash
from tests.server.web.farmyard import Farmyard, signed_in

PICTURE = b"\xff\xd8\xff" + b"a field"


def test_an_owner_takes_everything_away_in_open_formats(yard: Farmyard, owner: Client):
    crew = yard.ground.crew
    writes.change_person(crew, name="=Beto", digits=digits_hash(crew.id, "4711"))
    rows = yard.loads(2, yard.ground.fields[0])
    yard.write(Strike("load", "written twice"), names=rows[0].entry, by=yard.ground.owner)
    own = owner.get(yard.page("write_kind", "note")).context["own"]
    photo = SimpleUploadedFile("n.jpg", PICTURE)
    form = {"id": own, "text": "a note", "from_paper": "on", "on": "2026-05-30", "photo": photo}
    owner.post(yard.page("write_kind", "note"), form)

    answer = owner.post(yard.page("farm_file"))
    folder = zipfile.ZipFile(io.BytesIO(b"".join(answer.streaming_content)))
    assert folder.testzip() is None
    report = check(folder.read("book.ndjson").splitlines())
    assert (report.fault, report.last) == (None, yard.ground.fresh().number)
    loads = [json.loads(line) for line in folder.read("entries/load.ndjson").splitlines()]
    assert [(one["number"], one["struck"]) for one in loads] == [
        (rows[0].number, True),
        (rows[1].number, False),
    ]
    (named,) = book.entry_of(
        book.of_entry(yard.farm, json.loads(folder.read("entries/note.ndjson"))["id"])
    ).photos
    assert folder.read(f"photos/{named.sha256}.jpg") == PICTURE
    land = json.loads(folder.read("land.geojson"))
    assert {one["properties"]["name"] for one in land["features"]} == {"Upper Rest", "Long Acre"}
    assert all(
        shape(one["geometry"]).is_valid and shape(one["geometry"]).centroid.x < -75
        for one in land["features"]
    )
    people = list(csv.DictReader(io.StringIO(folder.read("people.csv").decode("utf-8-sig"))))
    assert {one["name"] for one in people} == {"Ana Reyes", "'=Beto"}
    assert "digits" not in people[0]
    assert crew.digits not in folder.read("people.csv").decode()


def test_nobody_but_an_owner_takes_it(yard: Farmyard):
    for role in ("manager", "reader"):
        client = signed_in(yard.hand(f"Dora Finch {role}", role))
        assert {
            client.get(yard.page("farm_file")).status_code,
            client.post(yard.page("farm_file")).status_code,
        } == {403}
