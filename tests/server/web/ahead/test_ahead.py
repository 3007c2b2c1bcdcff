"""Ahead on the web: the next jobs in order, the plan asked for, pinned, explained and kept."""

from __future__ import annotations

import re
from datetime import date, timedelta
from decimal import Decimal
from uuid import UUID

import pytest
from django.test import Client

from server.ahead.foreseeing import foreseen
from server.ahead.grounds import grounds_of
from server.ahead.models import Sketch
from server.ahead.sketches import wishes_to_tree
from server.ahead.solving import solve
from server.ahead.trends import rests
from server.web.lie import plan_of
from shared.ahead.crops import usual_crop
from shared.ahead.wishes import Wishes
from shared.words.bodies.told import Weather
from shared.words.bodies.walked import Weeds
from tests.server.web.farmyard import Farmyard, days_before, signed_in

WISHES = {
    "share_pct": "50", "within_pct": "50", "rest_years": "1", "hay_ac": "0", "depth_in": "6", "hay_least": "1",
    "crop_0": "cabbage", "crop_1": "sweet corn", "keep_clubroot": "on",
}  # fmt: skip


@pytest.fixture
def plan_page(yard: Farmyard) -> str:
    return yard.page("ahead_plan")


def asked(owner: Client, plan_page: str, **more: str) -> str:
    """Ask for a plan, and answer with the address of what came out."""
    answer = owner.post(plan_page, WISHES | more)
    assert answer.status_code == 302, answer.content.decode()[-3000:]
    return made(answer.headers["Location"])


def sketch_id(address: str) -> UUID:
    return UUID(address.rstrip("/").rsplit("/", 1)[-1])


def made(address: str) -> str:
    """The address again, once its plans are made, which the server does in a thread of its own."""
    solve(sketch_id(address))
    return address


def test_a_plan_is_asked_for_and_kept_as_the_farms_own_in_the_book(
    yard: Farmyard, owner: Client, plan_page: str
):
    today = yard.at.date()
    field = yard.ground.fields[0]
    yard.leg(field, "cash", date(today.year, 5, 20), "cabbage")
    address = asked(owner, plan_page)
    page = owner.get(address).content.decode()
    assert "Fewest changes" in page
    assert "Evenest acres" in page
    before = yard.ground.fresh().number
    kept = owner.post(address, {"do": "keep", "emphasis": "few_changes"})
    assert kept.headers["Location"] == plan_page
    years = plan_of(yard.farm, field)
    assert [year for year, _, _ in years] == list(range(today.year + 1, today.year + 11))
    assert all(leg != "cash" or crop in ("cabbage", "sweet corn") for _, leg, crop in years)
    cabbages = [year for year, leg, crop in years if (leg, crop) == ("cash", "cabbage")]
    assert all(year > today.year + 7 for year in cabbages)
    assert yard.ground.fresh().number == before + len(grounds_of(yard.farm, today))
    assert "keeps every wish" in owner.get(plan_page).content.decode()


def test_a_pinned_year_holds_in_the_plans_made_again_and_can_be_let_go(
    yard: Farmyard, owner: Client, plan_page: str
):
    field, year = str(yard.ground.fields[0]), str(yard.at.year + 4)
    address = asked(owner, plan_page)
    pinned = owner.post(address, {"do": "pin", "field": field, "year": year, "use": "cash:sweet corn"})
    plans = Sketch.objects.get(id=sketch_id(made(pinned.headers["Location"]))).answer["plans"]
    assert plans
    assert all(one["plan"][field][year] == ["cash", "sweet corn"] for one in plans)
    again = owner.post(pinned.headers["Location"], {"do": "unpin", "field": field, "year": year})
    assert Sketch.objects.get(id=sketch_id(again.headers["Location"])).pinned == {}


def test_the_page_of_a_plan_says_where_it_stands_until_it_is_made(
    yard: Farmyard, owner: Client, plan_page: str
):
    address = owner.post(plan_page, WISHES).headers["Location"]
    page = owner.get(address).content.decode()
    assert "being made" in page
    assert "Look again" in page
    assert page.count("to come") == 3
    Sketch.objects.update(standing="making", step="even_acres")
    page = owner.get(address).content.decode()
    assert "Evenest acres: being made now" in page
    assert "Fewest changes: made" in page
    assert "Cash a year" in owner.get(made(address)).content.decode()


def test_a_plan_whose_server_was_stopped_or_that_failed_says_so_and_can_be_made_again(
    yard: Farmyard, owner: Client, plan_page: str
):
    address = owner.post(plan_page, WISHES).headers["Location"]
    Sketch.objects.update(moved_at=yard.at - timedelta(minutes=6))
    assert "broken off" in owner.get(address).content.decode()
    Sketch.objects.update(wishes={"first": "no year"}, moved_at=yard.at)
    made(address)
    assert Sketch.objects.get().standing == "failed"
    assert "stumbled" in owner.get(address).content.decode()
    Sketch.objects.update(wishes=wishes_to_tree(Wishes(yard.at.year + 1, (usual_crop("garlic"),))))
    again = owner.post(address, {"do": "again"}).headers["Location"]
    assert again != address
    assert Sketch.objects.get(id=sketch_id(made(again))).standing == "made"


def test_where_no_plan_fits_the_page_says_which_wishes_conflict(
    yard: Farmyard, owner: Client, plan_page: str
):
    address = asked(owner, plan_page, share_pct="100", within_pct="5", rest_years="4")
    page = owner.get(address).content.decode()
    assert "Why not" in page
    assert "acres in cash crops near the share" in page
    assert "the rest years" in page


def test_figures_that_can_not_be_used_come_back_with_what_is_wrong(
    yard: Farmyard, owner: Client, plan_page: str
):
    answer = owner.post(plan_page, WISHES | {"share_pct": "120", "crop_0": "", "crop_1": ""})
    page = answer.content.decode()
    assert answer.status_code == 400
    assert page.count('class="wrong"') == 2
    assert Sketch.objects.count() == 0


def test_a_reader_sees_the_plan_and_may_not_ask(yard: Farmyard, plan_page: str):
    reader = signed_in(yard.hand("Ilex Marl", "reader"))
    assert reader.get(plan_page).status_code == 200
    assert reader.post(plan_page, WISHES).status_code == 403


def test_a_pin_on_a_field_of_another_farm_is_refused(yard: Farmyard, owner: Client, plan_page: str):
    address = asked(owner, plan_page)
    answer = owner.post(
        address, {"do": "pin", "field": "0" * 30, "year": str(yard.at.year + 2), "use": "hay"}
    )
    assert answer.status_code == 400


def test_tomorrows_jobs_stand_in_their_order_with_why_not_what_was_left_out(yard: Farmyard, owner: Client):
    first, second = yard.ground.fields[:2]
    for field in (first, second):
        yard.leg(field, "smother", days_before(yard.at, 50).date(), "sorghum-sudan")
    yard.cover_round(first, ["31", "34", "33"], at=days_before(yard.at, 12))
    yard.cover_round(second, ["31", "32", "36"], heads="few", at=days_before(yard.at, 2))
    page = owner.get(yard.page("ahead")).content.decode()
    places = re.findall(r'class="at"><strong>(\d+)</strong>', page)
    assert places == [str(one) for one in range(1, len(places) + 1)]
    assert len(places) >= 2
    assert "mower" in page
    assert "Why not tomorrow" in page


def test_the_forecast_says_the_days_and_what_is_lacking_and_narrows_with_rounds_and_weather(
    yard: Farmyard, owner: Client
):
    field, today = yard.ground.fields[0], yard.at.date()
    yard.leg(field, "smother", days_before(yard.at, 25).date(), "sorghum-sudan")
    page = owner.get(yard.page("forecasts")).content.decode()
    assert "No cover round since" in page
    assert "No temperatures are written down" in page
    (wide,) = foreseen(yard.farm, today)
    days = [days_before(yard.at, back).date() for back in range(400)]
    yard.write_all([yard.draft(Weather(on, Decimal(62), Decimal(84), None)) for on in days])
    yard.cover_round(field, ["14", "15", "13", "16"], at=days_before(yard.at, 2))
    (found,) = foreseen(yard.farm, today)
    assert found.lacks == ()
    assert found.crossing.high - found.crossing.low < wide.crossing.high - wide.crossing.low
    assert 0 < found.crossing.early <= found.crossing.middle <= found.crossing.late
    assert found.boot is not None
    page = owner.get(yard.page("forecasts")).content.decode()
    assert "No cover round" not in page
    assert "14.5 in" in page
    yard.write(Weather(days_before(yard.at, 1).date(), Decimal(23), Decimal(41), None))
    assert foreseen(yard.farm, today) == []


def test_the_rest_is_said_to_work_only_where_enough_rounds_say_so(yard: Farmyard, owner: Client):
    first, second = yard.ground.fields[:2]
    for field in (first, second):
        yard.leg(field, "cash", date(2023, 5, 20), "cabbage")
        yard.leg(field, "hay", date(2023, 11, 1), "timothy")
    classes = {60: "50-75", 50: "25-50", 40: "25-50", 30: "5-25", 20: "5-25", 10: "1-5", 5: "trace"}
    for months, seen in classes.items():
        bodies = [Weeds("none", "cover8", (seen,)) for _ in range(4)]
        yard._round(first, bodies, at=days_before(yard.at, 14 * months))
    yard._round(second, [Weeds("none", "cover8", ("5-25",)) for _ in range(4)], at=days_before(yard.at, 10))
    told = {one.field: one for one in rests(yard.farm, yard.at.date())}
    assert told[first].weeds.word == "falls"
    assert told[first].weeds.line.high < 0
    assert told[second].weeds.word == told[first].hard.word == "too_few"
    page = owner.get(yard.page("forecasts")).content.decode()
    assert "falls" in page
    assert "1 round; 4 are needed" in page


def test_in_spanish_the_pages_say_the_same(yard: Farmyard, plan_page: str):
    client = signed_in(yard.hand("Ilex Marl", "owner", "es"))
    assert "Plan de diez años" in client.get(plan_page).content.decode()
    assert "Mañana" in client.get(yard.page("ahead")).content.decode()
