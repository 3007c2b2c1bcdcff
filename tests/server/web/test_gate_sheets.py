"""Gate sheets: a day and a season at the gate, by town and place."""

from __future__ import annotations

import dataclasses
from datetime import UTC, date, datetime
from decimal import Decimal

import pytest
from django.test import Client

from server.book import reads as book
from shared.languages import say
from shared.words.bodies.gate import AgreedCount
from shared.words.bodies.reading import Correction, Strike
from tests.server.web.farmyard import Farmyard

NOVEMBER = datetime(2025, 11, 20, 15, tzinfo=UTC)
OTHER_DAY = datetime(2025, 11, 21, 15, tzinfo=UTC)


@pytest.fixture
def gate(yard: Farmyard) -> Farmyard:
    """Three loads on one day, one of them turned back; one on the next."""
    upper, long_acre = yard.ground.fields
    yard.sheets("new_jersey")
    yard.leg(upper, "leaf", date(2025, 10, 1))
    yard.leg(long_acre, "hay", date(2025, 4, 1))
    yard.load(upper, "20", at=NOVEMBER)
    yard.load(upper, "18", at=NOVEMBER)
    yard.load(None, at=NOVEMBER)
    yard.load(upper, "20", at=OTHER_DAY)
    return yard


def test_a_day_is_told_by_town_in_truck_yards_and_reporting_tons(gate: Farmyard, owner: Client):
    page = owner.get(gate.page("gate_sheets") + "?day=2025-11-20")
    (line,) = page.context["gate"].towns
    assert (line.tally.taken, line.tally.turned_back, line.tally.yards_yd3) == (2, 1, Decimal("38"))
    # New Jersey's conversion table: loose leaves, five cubic yards a ton.
    assert line.tally.tons == pytest.approx(38 / 5)
    assert line.season_yd3 == Decimal("58")
    text = page.content.decode()
    assert say("en", "pages.gate.sum", count=2, yards="38") in text
    assert say("en", "pages.gate.ratio_one", packing="loose", yards="5") in text


def test_a_load_turned_back_stands_with_its_reason_and_without_a_photo(gate: Farmyard, owner: Client):
    page = owner.get(gate.page("gate_sheets") + "?day=2025-11-20")
    (load,) = page.context["turned_back"]
    assert (load.reason, load.photos) == ("plastic bags all through", 0)
    assert say("en", "pages.gate.no_photo") in page.content.decode()


def test_a_season_runs_over_the_years_end_and_lists_its_days(gate: Farmyard, owner: Client):
    gate.load(gate.ground.fields[0], "10", at=datetime(2026, 1, 10, 15, tzinfo=UTC))
    sheet = owner.get(gate.page("gate_sheets") + "?season=2025").context["gate"]
    assert [on for on, _ in sheet.days] == [date(2026, 1, 10), date(2025, 11, 21), date(2025, 11, 20)]
    assert sheet.sheet.yards_yd3 == Decimal("68")


def test_only_fields_in_a_leg_for_leaves_show_their_room(gate: Farmyard, owner: Client):
    rooms = owner.get(gate.page("gate_sheets")).context["gate"].rooms
    assert [one.field.name for one in rooms] == ["Upper Rest"]
    assert rooms[0].left.room_yd3 == pytest.approx(rooms[0].takes.yards_yd3 - 58)


def test_a_town_past_its_season_is_told(gate: Farmyard, owner: Client):
    gate.loads(18, gate.ground.fields[0], at=OTHER_DAY)
    page = owner.get(gate.page("gate_sheets") + "?season=2025")
    assert page.context["gate"].towns[0].over_cap
    assert f'class="wrong">{say("en", "pages.gate.of_cap", cap="400")}' in page.content.decode()


def test_a_count_that_differs_from_the_drivers_is_told(gate: Farmyard, owner: Client):
    gate.write(AgreedCount(gate.town, 3, Decimal("58"), "Rook Hauling"), at=NOVEMBER)
    text = owner.get(gate.page("gate_sheets") + "?day=2025-11-20").content.decode()
    assert say("en", "pages.gate.off_loads", count=-1) in text


def test_a_struck_load_is_in_no_sum_and_a_corrected_one_by_its_correction(gate: Farmyard, owner: Client):

    rows = [row for row in book.of_kinds(gate.farm, ["load"]) if row.day == date(2025, 11, 20)]
    first, second, _ = rows
    gate.write(Strike("load", "written twice"), names=first.entry, by=gate.ground.owner)
    body = book.entry_of(second).body

    fixed = dataclasses.replace(
        body,
        beds=((Decimal("20"), Decimal("50")),),
        to=((gate.ground.fields[0], Decimal("10")),),
    )
    gate.write(Correction("load", fixed, "half full"), names=second.entry, by=gate.ground.owner)
    sheet = owner.get(gate.page("gate_sheets") + "?day=2025-11-20").context["gate"].sheet
    assert (sheet.taken, sheet.yards_yd3) == (1, Decimal("10"))


@pytest.mark.parametrize("asked", ["?day=soon", "?season=x", "?town=1", "?season=99999999"])
def test_what_no_form_asks_is_told(gate: Farmyard, owner: Client, asked):
    assert owner.get(gate.page("gate_sheets") + asked).status_code == 404


def test_a_farm_without_loads_says_so(yard: Farmyard, owner: Client):
    page = owner.get(yard.page("gate_sheets"))
    assert say("en", "pages.gate.none") in page.content.decode()


@pytest.mark.parametrize("loads", [2, 30])
def test_more_loads_ask_the_database_no_more_often(
    loads, yard: Farmyard, owner: Client, django_assert_max_num_queries
):
    yard.loads(loads, yard.ground.fields[0])
    owner.get(yard.page("gate_sheets"))
    with django_assert_max_num_queries(45):
        owner.get(yard.page("gate_sheets"))
