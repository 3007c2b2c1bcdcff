"""The land at the desk: drawn and typed, cut and joined, and what is refused."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from html import unescape
from typing import Any

import pytest
from django.test import Client

from server.intake import desk
from server.intake.desk import Draft
from server.land import models
from server.land import reads as land
from server.web.corners import NotUsable, text_of, typed_pieces
from shared.languages import LANGUAGES, say
from tests.server.ground import fresh_id, land_body, square
from tests.server.web.farmyard import Farmyard

SQUARE = "40.2, -75.1\n40.2, -75.098\n40.202, -75.098\n40.202, -75.1"
HOLE = "40.2005 -75.0995\n40.2005 -75.0985\n40.2015 -75.0985\n40.2015 -75.0995"


def send(yard: Farmyard, owner: Client, what: str = "field", **more: str) -> Any:
    told = {"name": "Quarry Side", "outline": SQUARE, "why": "walked with the neighbour"} | more
    return owner.post(yard.page("new_piece") + f"?what={what}", told)


def change(yard: Farmyard, owner: Client, subject: Any, **more: str) -> Any:
    _, row = land.ground(yard.farm, subject)
    told = {"name": row.name, "outline": SQUARE, "why": "surveyed", "version": str(row.version)} | more
    return owner.post(yard.page("piece", subject), told)


def test_a_field_is_typed_with_its_facts_and_stands_in_the_book(yard: Farmyard, owner: Client):
    facts = {"block_lot": "12 / 4.01", "drainage": "somewhat poor", "slope_pct": "3.5", "cap_in": "5",
             "lease_end": "2028-12-31", "organic_from": "2027-03-01"}  # fmt: skip
    assert send(yard, owner, **facts).status_code == 302
    row = models.Field.objects.get(farm_id=yard.farm, name="Quarry Side")
    told = (row.block_lot, row.drainage, row.slope_pct, row.cap_in, row.lease_end, row.organic_from)
    assert told == ("12 / 4.01", "somewhat poor", "3.5", "5", date(2028, 12, 31), date(2027, 3, 1))
    assert row.area_ac == pytest.approx(land.field(yard.farm, yard.ground.fields[0]).area_ac, rel=1e-2)
    text = owner.get(yard.page("ground")).content.decode()
    assert "12 / 4.01" in text
    assert say("en", "land.drainage.somewhat_poor") in text


@pytest.mark.parametrize("language", LANGUAGES)
def test_what_is_shown_to_be_changed_reads_back_as_it_was(yard: Farmyard, language):
    told = f"{SQUARE}\n{say(language, 'land.draw.hole_word')}\n{HOLE}\n\n40.3, -75.1\n40.3, -75.099\n40.301, -75.099"
    pieces = typed_pieces(told)
    assert [len(piece) for piece in pieces] == [2, 1]
    desk.write(yard.farm, yard.ground.owner.id, [_field("Two Stones", pieces)], yard.at)
    (made,) = [one for one in land.fields(yard.farm) if one.name == "Two Stones"]
    assert typed_pieces(text_of(made.outline, language)) == pieces


def _field(name: str, pieces: Any) -> Draft:
    subject = fresh_id()
    body = land_body(subject, name, None)
    return Draft(type(body)("field", subject, 1, name, "drawn", pieces), field=subject)


def test_a_buffer_is_a_point_a_line_or_an_area(yard: Farmyard, owner: Client):
    line = "40.1, -75.1\n40.101, -75.099\n40.102, -75.099"
    for name, drawn, outline in (
        ("Well", "point", "40.101, -75.099"),
        ("Lane", "line", line),
        ("Pond", "area", SQUARE),
    ):
        more = {"name": name, "drawn": drawn, "outline": outline, "around": "water", "setback_ft": "25"}
        assert send(yard, owner, "buffer", **more).status_code == 302
    shapes = {one.name: [len(piece.outer) for piece in one.outline or ()] for one in land.buffers(yard.farm)}
    assert shapes == {"Well": [1], "Lane": [2, 2], "Pond": [4]}
    (lane,) = [one for one in land.buffers(yard.farm) if one.name == "Lane"]
    page = owner.get(yard.page("piece", lane.id))
    assert page.context["stands"]["outline"].count("\n") == 2
    assert page.context["drawn"] == "line"


def test_a_part_and_a_pile_are_drawn_in_their_field(yard: Farmyard, owner: Client):
    field = str(yard.ground.fields[0])
    send(yard, owner, "part", name="East end", in_field=field)
    send(yard, owner, "pile", name="Lane End", in_field="", outline="")
    assert [(one.name, str(one.field)) for one in land.parts(yard.farm)] == [("East end", field)]
    assert [(one.name, one.in_field) for one in land.piles(yard.farm)] == [("Lane End", None)]
    assert send(yard, owner, "part", name="Nowhere", in_field=str(fresh_id())).status_code == 400


@pytest.mark.parametrize(("outline", "key"), [
    ("40.2, -75.1\n40.202, -75.098\n40.202, -75.1\n40.2, -75.098", "crosses_itself"),
    ("40.2, -75.1\n40.2, -75.098\n40.2, -75.1\n40.2, -75.098", "too_few_corners"),
    ("40.2, -75.1\nnorth, west\n1, 2", "no_corner"), ("140, -75\n1, 2\n3, 4", "off_the_globe"),
    (f"{SQUARE}\nhole\n40.3, -75.1\n40.3, -75.099\n40.301, -75.099", "hole_outside"),
    (f"{SQUARE}\n\n{SQUARE}", "pieces_overlap"), ("0, 0\n0, 20\n20, 20\n20, 0", "hard_to_believe"),
    ("\n".join(f"40.{n:05d}, -75" for n in range(2_000)), "too_many_corners"),
    ('{"type": "Polygon", "coordinates": [[', "no_geojson"), ('{"type": "Point", "coordinates": [1, 2]}', "no_polygon"),
    ("NaN, 1\n1, 2\n3, 4", "no_corner"), ("1e999999999, 1\n1, 2\n3, 4", "no_corner"),
])  # fmt: skip
def test_an_outline_that_cannot_be_taken_is_told_where_and_kept_on_the_page(
    yard: Farmyard, owner: Client, outline, key
):
    with pytest.raises(NotUsable) as refused:
        typed_pieces(outline)
    assert refused.value.key == key
    page = send(yard, owner, outline=outline)
    assert page.status_code == 400
    assert page.context["given"].wrong["outline"][0] == f"outline.{key}"
    assert outline[:30].splitlines()[0].replace('"', "&quot;") in page.content.decode()
    assert "Quarry Side" not in [one.name for one in land.fields(yard.farm)]


def test_a_pasted_polygon_reads_longitude_first(yard: Farmyard):
    ring = [[-75.1, 40.2], [-75.098, 40.2], [-75.098, 40.202], [-75.1, 40.2]]
    ((corners,),) = typed_pieces(str({"type": "Feature", "geometry": {"type": "Polygon", "coordinates": [ring]}})
                                 .replace("'", '"'))  # fmt: skip
    assert corners[0] == (Decimal("40.2"), Decimal("-75.1"))
    assert len(corners) == 3


def test_a_stale_form_draws_over_nobodys_work(yard: Farmyard, owner: Client):
    field = yard.ground.fields[0]
    assert change(yard, owner, field, name="Upper Rest East").status_code == 302
    before = yard.ground.fresh().number
    page = owner.post(
        yard.page("piece", field), {"name": "x", "outline": "", "why": "y", "version": "1"}, follow=True
    )
    assert say("en", "refusals.changed_since.detail") in page.content.decode()
    assert yard.ground.fresh().number == before
    assert land.field(yard.farm, field).name == "Upper Rest East"


def test_a_field_cut_in_two_keeps_its_history_and_inherits_its_facts(yard: Farmyard, owner: Client):
    field = yard.ground.fields[0]
    yard.leg(field, "hay", date(2025, 4, 1), "timothy")
    outline = text_of(land.field(yard.farm, field).outline, "en")
    change(yard, owner, field, outline=outline, organic_from="2026-03-01", cap_in="4")
    whole = land.field(yard.farm, field)
    told = {"line": "40.099, -75.0995\n40.103, -75.0995", "left": "West", "right": "East", "why": "a fence",
            "version": str(whole.version)}  # fmt: skip
    assert owner.post(yard.page("cut_field", field), told).status_code == 302
    halves = {one.name: one for one in land.fields(yard.farm)}
    assert set(halves) == {"West", "East", "Long Acre"}
    # Walking north, the west is on the left: a quarter of the width.
    assert halves["West"].area_ac == pytest.approx(whole.area_ac / 4, rel=1e-4)
    assert halves["West"].area_ac + halves["East"].area_ac == pytest.approx(whole.area_ac, rel=1e-6)
    assert halves["East"].organic_from == date(2026, 3, 1)
    assert halves["East"].cap_in == Decimal(4)
    assert [leg.leg for leg in land.legs(yard.farm)[halves["East"].id]] == ["hay"]
    assert land.field(yard.farm, field).retired
    page = owner.get(yard.page("field", halves["West"].id))
    assert [one.id for one in page.context["came_of"]] == [field]
    assert {one.name for one in owner.get(yard.page("field", field)).context["became"]} == {"West", "East"}


def test_leaves_that_lie_on_a_field_go_over_with_its_ground(yard: Farmyard, owner: Client):
    field = yard.ground.fields[0]
    yard.sheets("new_jersey")
    yard.leg(field, "leaf", date(2026, 4, 1))
    yard.loads(10, field)
    before = owner.get(yard.page("field", field)).context["room"]
    told = {"line": "40.099, -75.0995\n40.103, -75.0995", "left": "West", "right": "East", "why": "a fence",
            "version": "1"}  # fmt: skip
    owner.post(yard.page("cut_field", field), told)
    west, east = (one for name in ("West", "East") for one in land.fields(yard.farm) if one.name == name)
    rooms = [owner.get(yard.page("field", one.id)).context["room"] for one in (west, east)]
    assert [one.left.deepest_in for one in rooms] == pytest.approx([before.left.deepest_in] * 2, rel=1e-3)
    assert rooms[0].left.placed_yd3 == pytest.approx(200 / 4, rel=1e-3)
    yard.load(field, "40")  # a phone that had not heard of the cut hands in late
    assert owner.get(yard.page("field", east.id)).context["room"].left.placed_yd3 == pytest.approx(
        180, rel=1e-3
    )
    told = {"others": [str(east.id)], "name": "Again", "why": "the fence is gone", "version": "1"}
    owner.post(yard.page("join_fields", west.id), told)
    (whole,) = [one for one in land.fields(yard.farm) if one.name == "Again"]
    assert owner.get(yard.page("field", whole.id)).context["room"].left.placed_yd3 == pytest.approx(
        240, rel=1e-3
    )


def test_a_line_that_does_not_cut_is_told_and_changes_nothing(yard: Farmyard, owner: Client):
    field = yard.ground.fields[0]
    told = {"line": "41, -75\n41, -74", "left": "A", "right": "B", "why": "c", "version": "1"}
    before = yard.ground.fresh().number
    page = owner.post(yard.page("cut_field", field), told, follow=True)
    assert say("en", "pages.wrong.outline.no_cut") in unescape(page.content.decode())
    same = owner.post(yard.page("cut_field", field), told | {"right": "A"}, follow=True)
    assert say("en", "pages.wrong.same_name") in same.content.decode()
    assert yard.ground.fresh().number == before


def test_joined_fields_take_the_latest_organic_day_and_the_smallest_cap(yard: Farmyard, owner: Client):
    upper, long_acre = yard.ground.fields
    for field, organic, cap in ((upper, "2025-03-01", "5"), (long_acre, "2027-03-01", "4")):
        outline = text_of(land.field(yard.farm, field).outline, "en")
        change(yard, owner, field, outline=outline, organic_from=organic, cap_in=cap)
        yard.leg(field, "hay", date(2025, 4, 1), "timothy")
    areas = [one.area_ac for one in land.fields(yard.farm)]
    told = {"others": [str(long_acre)], "name": "The Whole Rest", "why": "one fence", "version": "2"}
    assert owner.post(yard.page("join_fields", upper), told).status_code == 302
    (made,) = land.fields(yard.farm)
    assert (made.name, made.organic_from, made.cap_in) == ("The Whole Rest", date(2027, 3, 1), Decimal(4))
    assert made.area_ac == pytest.approx(sum(areas), rel=1e-6)
    assert land.came_of(yard.farm)[made.id] == tuple(sorted((upper, long_acre), key=str))
    assert [leg.crop for leg in land.legs(yard.farm)[made.id]] == ["timothy"]


def test_a_background_is_asked_for_only_where_the_farm_sets_one(yard: Farmyard, owner: Client):
    assert owner.get(yard.page("ground")).context["map"]["tiles"] is None
    for address in ("javascript:alert(1)//{z}{x}{y}", "https://tiles.example/{z}/{x}.png", "//{z}{x}{y}"):
        owner.post(yard.page("tiles"), {"address": address})
        assert land.tiles(yard.farm) is None
    owner.post(
        yard.page("tiles"), {"address": "https://tiles.example/{z}/{x}/{y}.png", "credit": "<b>us</b>"}
    )
    assert owner.get(yard.page("ground")).context["map"]["tiles"]["credit"] == "<b>us</b>"
    owner.post(yard.page("tiles"), {"address": ""})
    assert land.tiles(yard.farm) is None


def test_the_same_facts_stand_on_the_map(yard: Farmyard, owner: Client):
    yard.leg(yard.ground.fields[0], "hay", date(2025, 4, 1), "timothy")
    name = "</script><script>alert(1)</script>"
    drawn = land_body(yard.ground.fields[1], name, square("40.11", "-75.1"), version=2)
    desk.write(yard.farm, yard.ground.owner.id, [Draft(drawn, field=drawn.subject)], yard.at)
    page = owner.get(yard.page("lie_of_the_land") + "?as=map")
    told = {one["properties"]["name"]: one["properties"] for one in page.context["map"]["features"]}
    assert set(told) == {"Upper Rest", name}
    assert told["Upper Rest"]["leg"] == "hay"
    assert told["Upper Rest"]["href"] == yard.page("field", yard.ground.fields[0])
    assert "<script>alert" not in page.content.decode()
