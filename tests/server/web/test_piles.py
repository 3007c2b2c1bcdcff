"""Piles with their balance, the farm's own factor, a town's agreement and season, and the letter to it."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from html import unescape
from typing import Any
from uuid import UUID

import pytest
from django.test import Client

from server.intake import desk
from server.intake.desk import Draft
from server.land.writes import put_town
from server.status.models import Standing
from shared.languages import say
from shared.reckoning.leaf import truck_factor
from shared.words.bodies.gate import AgreedCount, PileCheck
from shared.words.bodies.told import Occurrence
from shared.words.bodies.work import Work
from tests.server.ground import fresh_id, land_body, square
from tests.server.web.farmyard import Farmyard, signed_in

NOVEMBER = datetime(2025, 11, 20, 15, tzinfo=UTC)
AGREED = {"title": "Leaves 2025", "issued_on": "2025-10-01", "expires_on": "2026-07-31", "season_cap_yd3": "50",
          "price_per_yd3": "-1.25", "text": "no bags"}  # fmt: skip


@pytest.fixture
def pile(yard: Farmyard) -> UUID:
    made = fresh_id()
    drawn = land_body(made, "Lane End", square("40.12", "-75.1", "0.0004"), what="pile")
    desk.write(yard.farm, yard.ground.owner.id, [Draft(drawn)], yard.at)
    return made


def draw(
    yard: Farmyard, job: Any, pile: UUID, yards: str, to: UUID | None = None, day: str = "2026-02-01"
) -> None:
    work = Work(job, from_=(pile,), to=to, yards_yd3=Decimal(yards))
    yard.write(work, field=to, done_at=date.fromisoformat(day))


def test_a_pile_is_told_with_what_was_taken_spread_removed_moved_off_and_is_on_hand(
    yard: Farmyard, owner: Client, pile: UUID
):
    yard.loads(5, pile, at=NOVEMBER)
    yard.load(pile, "10", at=NOVEMBER + timedelta(days=30))
    field = yard.ground.fields[0]
    draw(yard, "spread", pile, "40", field)
    draw(yard, "pick_trash", pile, "3")
    draw(yard, "move", pile, "7")
    draw(yard, "move", pile, "5", yard.ground.fields[1])
    yard.write(PileCheck(pile, Decimal(151), Decimal(6), None, Decimal(40)))
    page = owner.get(yard.page("piles"))
    (line,) = page.context["lines"]
    told = line.status
    assert (told.taken_yd3, told.spread_yd3, told.removed_yd3, told.moved_off_yd3, told.moved_on_yd3) == (
        110,
        40,
        3,
        7,
        5,
    )
    assert told.on_hand_yd3 == 110 - 40 - 3 - 7 - 5
    assert line.untold_yd3 == 0
    assert (line.age_days, line.heat, line.towns) == (193, "warm", [("Fallowdale", Decimal(110))])
    # Half a round pile twice as wide as high: pi x 6^2 x 40 / 2 / 27 cubic yards.
    assert line.sized_yd3 == pytest.approx(3.14159265 * 36 * 40 / 2 / 27)
    text = page.content.decode()
    assert f'class="wrong">{say("en", "piles.moved_off")}' in text
    assert say("en", "piles.warm", temp="151") in text


def test_a_farm_without_piles_says_how_to_draw_one(yard: Farmyard, owner: Client):
    text = owner.get(yard.page("piles")).content.decode()
    assert say("en", "piles.none") in text
    assert yard.page("new_piece") + "?what=pile" in text


def test_room_stands_by_the_farms_own_factor_with_its_interval(yard: Farmyard, owner: Client):
    field = yard.ground.fields[0]
    yard.sheets("new_jersey")
    yard.leg(field, "leaf", date(2025, 10, 1))
    yard.leg(yard.ground.fields[1], "hay", date(2025, 4, 1))
    yard.loads(30, field)
    before = owner.get(yard.page("gate_sheets")).context["gate"]
    assert before.factor is None
    depths = ["0.4", "0.5", "0.6", "0.5", "0.7", "0.5", "0.6", "0.6", "0.5", "0.7", "0.5"]
    yard.depth_round(field, depths)
    page = owner.get(yard.page("gate_sheets"))
    gate = page.context["gate"]
    (room,) = gate.rooms
    acres = room.spreadable_ac
    covered = [float(one) for one in depths if float(one) >= 0.5]
    own = truck_factor(600.0, covered, acres * 43_560 * 10 / 11)
    assert (gate.factor.factor, gate.factor.low, gate.factor.high) == pytest.approx(
        (own.factor, own.low_factor, own.high_factor)
    )
    takes = acres * 43_560 * 6 / 324
    assert room.by_factor.room_yd3 == pytest.approx(takes / own.factor - 600)
    assert room.by_factor.least_yd3 == pytest.approx(takes / own.high_factor - 600)
    assert room.by_factor.most_yd3 == pytest.approx(takes / own.low_factor - 600)
    assert room.left.room_yd3 == pytest.approx(takes - 600)
    assert say("en", "piles.factor.how") in page.content.decode()
    ((town, by_sort),) = page.context["factors"]
    assert (town, by_sort.packing, by_sort.truck_yd3) == ("Fallowdale", "loose", 600)
    assert by_sort.factor == pytest.approx(own.factor)
    assert say("en", "factors.title") in page.content.decode()


def test_settled_leaves_and_leaves_worked_in_measure_no_factor(yard: Farmyard, owner: Client):
    field = yard.ground.fields[0]
    yard.leg(field, "leaf", date(2025, 10, 1))
    yard.loads(30, field)
    yard.write(Work("work_in"), field=field)
    yard.depth_round(field, ["0.6"] * 12)
    assert owner.get(yard.page("gate_sheets")).context["gate"].factor is None


def test_a_season_stands_against_the_agreement_and_the_drivers_counts(yard: Farmyard, owner: Client):
    yard.loads(3, yard.ground.fields[0], at=NOVEMBER)
    yard.load(None, at=NOVEMBER)
    yard.write(AgreedCount(yard.town, 4, Decimal(80), "Rook Hauling"), at=NOVEMBER)
    address = yard.page("town", yard.town)
    assert owner.post(address, AGREED).status_code == 302
    page = owner.get(address + "?season=2025")
    told = page.context["told"]
    assert (told.yards_yd3, told.cap_yd3, told.over_yd3) == (60, 50, 10)
    assert (page.context["money"].amount, page.context["money"].owed_by) == (Decimal("75.00"), "farm")
    (day,) = told.counted
    assert (day.tally.off_loads, day.tally.off_yd3) == (-1, -20)
    text = unescape(page.content.decode())
    assert say("en", "piles.town.over", over="10") in text
    assert "no bags" in text
    (row,) = owner.get(yard.page("towns")).context["towns"]
    assert row.season_cap_yd3 == 50


def test_an_agreement_that_is_over_is_told(yard: Farmyard, owner: Client):
    owner.post(yard.page("town", yard.town), AGREED | {"expires_on": "2026-05-01"})
    page = owner.get(yard.page("town", yard.town))
    assert page.context["is_over"]
    assert f'class="wrong">{say("en", "piles.town.was_over", day="1 May 2026")}' in page.content.decode()


@pytest.mark.parametrize("more", [
    {"issued_on": "soon"}, {"expires_on": "2024-01-01"}, {"price_per_yd3": "1e9"}, {"season_cap_yd3": "NaN"},
    {"title": ""}, {"text": "x" * 2_001}, {"title": "\x00"},
])  # fmt: skip
def test_what_no_agreement_can_say_is_told_and_not_written(yard: Farmyard, owner: Client, more):
    before = yard.ground.fresh().number
    assert owner.post(yard.page("town", yard.town), AGREED | more).status_code == 400
    assert yard.ground.fresh().number == before


def test_a_reader_looks_at_a_season_and_writes_no_agreement(yard: Farmyard):
    reader = signed_in(yard.hand("Cato Vale", "reader"))
    before = yard.ground.fresh().number
    assert reader.get(yard.page("town", yard.town)).status_code == 200
    assert reader.post(yard.page("town", yard.town), AGREED).status_code == 403
    assert yard.ground.fresh().number == before


def test_trash_found_later_is_told_with_where_it_went(yard: Farmyard, owner: Client):
    field = yard.ground.fields[0]
    more = {
        "trash": "picked",
        "trash_items": ("glass",),
        "trash_lb": Decimal(12),
        "residue_to": "county transfer station",
    }
    yard.load(field, at=NOVEMBER, outcome="taken_after_picking", **more)
    found = Occurrence("trash_found", "picked up by hand", trash_lb=Decimal(3))
    yard.write(found, at=NOVEMBER, field=field)
    page = owner.get(yard.page("gate_sheets") + "?day=2025-11-20")
    told = {one.kind: (one.pounds, one.residue_to, one.where) for one in page.context["found"]}
    assert told == {
        "load": (12, "county transfer station", "Upper Rest"),
        "trash_found": (3, "", "Upper Rest"),
    }
    assert f'class="wrong">{say("en", "piles.found.not_said")}' in page.content.decode()


def test_leaves_of_an_unapproved_town_on_organic_ground_are_told(yard: Farmyard, owner: Client):
    field = yard.ground.fields[0]
    drawn = land_body(field, "Upper Rest", square("40.1", "-75.1"), version=2, organic_from=date(2024, 3, 1))
    desk.write(yard.farm, yard.ground.owner.id, [Draft(drawn, field=field)], yard.at)
    yard.sheets("nop")
    yard.load(field, at=NOVEMBER)
    assert len(owner.get(yard.page("gate_sheets") + "?day=2025-11-20").context["gate"].barred) == 1
    put_town(yard.farm, yard.at, yard.town, organic_approved_on=date(2025, 9, 1))
    assert owner.get(yard.page("gate_sheets") + "?day=2025-11-20").context["gate"].barred == []


def test_the_letter_tells_the_season_in_either_language_and_runs_nothing(yard: Farmyard, owner: Client):
    put_town(yard.farm, yard.at, yard.town, name="<script>alert(1)</script>")
    yard.loads(3, yard.ground.fields[0], at=NOVEMBER)
    yard.load(None, at=NOVEMBER)
    owner.post(yard.page("town", yard.town), AGREED)
    address = yard.page("town_letter", yard.town) + "?season=2025"
    text = unescape(owner.get(address).content.decode())
    for said in (
        say(
            "en", "piles.letter.sum", count=3, first="1 July 2025", last="30 June 2026", yards="60", tons="12"
        ),
        say("en", "pages.gate.ratio_one", packing="loose", yards="5"),
        say("en", "piles.letter.over", cap="50", over="10"),
        say("en", "piles.letter.farm_owes", amount="75.00", price="1.25"),
        "plastic bags all through",
    ):
        assert said.replace(".0 ", " ") in text.replace(".0 ", " "), said
    spanish = unescape(owner.get(address + "&language=es").content.decode())
    assert say("es", "piles.letter.over", cap="50", over="10") in spanish.replace(".0", "")
    assert "<script>" not in owner.get(address).content.decode()
    assert owner.get(yard.page("town_letter", yard.town) + "?season=soon").status_code == 404
    assert owner.get(yard.page("town_letter", fresh_id())).status_code == 404


def test_the_letter_is_a_pdf(yard: Farmyard, owner: Client):
    answer = owner.get(yard.page("town_letter_pdf", yard.town) + "?season=2025")
    assert answer["Content-Type"] == "application/pdf"
    assert answer.content.startswith(b"%PDF")
    assert 'filename="leaves-fallowdale-2025.pdf"' in answer["Content-Disposition"]


def test_a_pile_that_was_folded_before_its_balance_was_told_apart_is_folded_again(
    yard: Farmyard, owner: Client, pile: UUID
):
    yard.load(pile, at=NOVEMBER)
    owner.get(yard.page("piles"))
    row = Standing.objects.get(farm_id=yard.farm, field=pile)
    row.standing = {key: value for key, value in row.standing.items() if key != "taken_yd3"}
    row.save()
    (line,) = owner.get(yard.page("piles")).context["lines"]
    assert line.status.taken_yd3 == 20
