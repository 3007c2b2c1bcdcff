"""The page of one field: its room, its rounds, its entries page by page."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest
from django.test import Client
from geographiclib.geodesic import Geodesic

from server.web.plots import Frame, plot
from shared.languages import say
from shared.words.bodies.reading import Strike
from tests.server.ground import fresh_id
from tests.server.web.farmyard import Farmyard, days_before

ACRE_M2 = 4046.8564224
YD3_AN_ACRE_AT_6_IN = 806.67
"""43,560 ft2 by 0.5 ft over 27 ft3: the published *about 800 yards an acre at six inches* (as in NJ's leaf rule)."""


def acres_by_geographiclib(south: float, west: float, side: float) -> float:
    ring = Geodesic.WGS84.Polygon()
    for lat, lon in ((south, west), (south, west + side), (south + side, west + side), (south + side, west)):
        ring.AddPoint(lat, lon)
    return abs(ring.Compute()[2]) / ACRE_M2


def test_area_and_room_agree_with_geographiclib_and_the_published_figure(yard: Farmyard, owner: Client):
    field = yard.ground.fields[0]
    yard.sheets("new_jersey")
    yard.leg(field, "leaf", date(2026, 4, 1))
    yard.loads(3, field)
    page = owner.get(yard.page("field", field))
    room = page.context["room"]
    acres = acres_by_geographiclib(40.1, -75.1, 0.002)
    assert room.spreadable_ac == pytest.approx(acres, rel=1e-6)
    assert room.takes.yards_yd3 == pytest.approx(YD3_AN_ACRE_AT_6_IN * acres, rel=1e-5)
    assert room.left.placed_yd3 == pytest.approx(60)
    assert room.left.room_yd3 == pytest.approx(room.takes.yards_yd3 - 60)
    assert room.left.deepest_in == pytest.approx(60 * 27 * 12 / (acres * 43560))
    text = page.content.decode()
    assert f"<strong>{room.left.room_yd3:,.0f} yd³</strong>" in text
    assert say("en", "pages.room.truck_yards") in text


def test_a_field_in_hay_has_no_room_and_says_why(yard: Farmyard, owner: Client):
    field = yard.ground.fields[0]
    yard.sheets("new_jersey")
    yard.leg(field, "hay", date(2025, 4, 1), "timothy")
    page = owner.get(yard.page("field", field))
    assert page.context["room"].left.room_yd3 == 0
    assert say("en", "pages.room.closed.leg") in page.content.decode()


def test_the_leg_stands_at_the_head_with_its_acres(yard: Farmyard, owner: Client):
    yard.leg(yard.ground.fields[0], "hay", date(2025, 4, 1), "timothy")
    text = owner.get(yard.page("field", yard.ground.fields[0])).content.decode()
    since = say("en", "pages.leg_crop_since", leg="hay", crop="timothy", on="1 April 2025")
    assert f"9.4 ac · {since}" in " ".join(text.split())


def test_a_round_is_one_line_with_its_stops_folded(yard: Farmyard, owner: Client):
    field = yard.ground.fields[0]
    walked = yard.cover_round(field, ["48", "52", "56"], "few")
    page = owner.get(yard.page("field", field))
    (story,) = [one for one in page.context["stories"] if one.round == walked]
    assert story.sums == (say("en", "reading.round.cover_heads", count=3, mean=52, heads=3),)
    assert len(story.told) == 3
    assert "<details><summary>3 stops</summary>" in page.content.decode()


def test_a_struck_stop_is_in_no_mean_and_stays_readable(yard: Farmyard, owner: Client):

    field = yard.ground.fields[0]
    walked = yard.cover_round(field, ["20", "30", "90"])
    page = owner.get(yard.page("field", field))
    (story,) = [one for one in page.context["stories"] if one.round == walked]
    last = story.told[0].read
    yard.write(Strike("cover", "wrong field"), field=field, names=last.id, by=yard.ground.owner)
    page = owner.get(yard.page("field", field))
    (story,) = [one for one in page.context["stories"] if one.round == walked]
    assert story.sums == (say("en", "reading.round.cover", count=2, mean=25),)
    assert '<span class="struck">' in page.content.decode()


def test_the_loads_of_a_day_are_one_line(yard: Farmyard, owner: Client):
    field = yard.ground.fields[0]
    yard.loads(3, field, "18")
    page = owner.get(yard.page("field", field))
    sums = [one.sums for one in page.context["stories"]]
    assert (say("en", "reading.loads", count=3, yards=Decimal("54.0")),) in sums


def test_a_cover_plot_has_each_round_with_its_interval(yard: Farmyard, owner: Client):
    field = yard.ground.fields[0]
    for days, heights in ((40, ["10", "12", "14"]), (20, ["30", "32", "34"])):
        yard.cover_round(field, heights, at=days_before(yard.at, days))
    drawing = owner.get(yard.page("field", field)).context["plots"][0]
    assert [round(one.value) for one in drawing.plot.points] == [12, 32]
    low, high = drawing.plot.points[0], drawing.plot.points[1]
    assert low.y > high.y
    assert low.low > low.y > low.high
    assert drawing.plot.level is not None


def test_a_plot_spaces_its_ticks_and_its_steps():
    days = [(date(2015, 5, 1), 10.0, None, None), (date(2026, 9, 1), 55.0, 50.0, 60.0)]
    drawn = plot(days, Frame(level=30.0))
    assert drawn is not None
    assert [tick.on.year for tick in drawn.across] == list(range(2016, 2027))
    assert sum(not tick.minor for tick in drawn.across) <= 5
    assert [value for _, value in drawn.up] == [0, 20, 40, 60]
    one = plot([(date(2026, 5, 1), 10.0, None, None)])
    assert one is not None
    assert [tick.on.month for tick in one.across] == list(range(1, 13))
    assert plot([]) is None


def test_older_entries_are_on_pages_of_their_own(yard: Farmyard, owner: Client):
    field = yard.ground.fields[0]
    yard.notes(70, field=field)
    first = owner.get(yard.page("field", field))
    assert len(first.context["stories"]) == 60
    older = first.context["older"]
    second = owner.get(yard.page("field", field) + f"?before={older}")
    told = {one.one.read.id for page in (first, second) for one in page.context["stories"]}
    notes = [one for page in (first, second) for one in page.context["stories"]]
    assert len(told) == len(notes) >= 70
    assert second.context["older"] is None


def test_a_field_that_is_not_there_is_told(yard: Farmyard, owner: Client):
    assert owner.get(yard.page("field", fresh_id())).status_code == 404
    assert owner.get(yard.page("field", yard.ground.fields[0]) + "?before=x").status_code == 404


@pytest.mark.parametrize("rounds", [1, 8])
def test_more_entries_ask_the_database_no_more_often(
    rounds, yard: Farmyard, owner: Client, django_assert_max_num_queries
):
    field = yard.ground.fields[0]
    for n in range(rounds):
        yard.cover_round(field, ["20", "22"], at=days_before(yard.at, n))
        yard.load(field)
    owner.get(yard.page("field", field))
    with django_assert_max_num_queries(50):
        owner.get(yard.page("field", field))
