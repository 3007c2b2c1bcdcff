"""The page of forecasts with gaps in the book: each forecast says what it lacks, widens, and never invents; and what a
field's legs follow from, on its page."""

from __future__ import annotations

import re
from datetime import date, timedelta
from decimal import Decimal

from django.test import Client

from server.ahead.coming import season_ahead
from server.ahead.leaf_ahead import leaves_ahead
from server.land.writes import put_town
from shared.words.bodies.laboratory import Result, Sample
from shared.words.bodies.reading import Strike
from shared.words.bodies.work import Work
from tests.server.ground import fresh_id
from tests.server.web.farmyard import Farmyard, signed_in


def read(client: Client, address: str) -> str:
    answer = client.get(address)
    assert answer.status_code == 200
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", answer.content.decode()))


def season(yard: Farmyard, year: int, loads: int = 3) -> None:
    """Loads each third day of October and November."""
    drafts = []
    for back in range(0, 60, 3):
        on = date(year, 10, 1) + timedelta(days=back)
        drafts += [yard.draft(yard.load_body(yard.ground.fields[1]), done_at=on) for _ in range(loads)]
    yard.write_all(drafts)


def test_an_empty_book_is_told_so_in_every_section_and_nothing_is_guessed(yard: Farmyard, owner: Client):
    page = read(owner, yard.page("forecasts"))
    for words in (
        "No field is under sorghum-sudan",
        "No leaf season is on",
        "No leaves were spread in the last five years",
        "No field rests after a cash crop",
        "No laboratory&#x27;s answer on soil",
    ):
        assert words in page
    assert "Pronósticos" in read(signed_in(yard.hand("Ilex Marl", "reader", "es")), yard.page("forecasts"))


def test_a_town_without_a_whole_season_before_says_so_and_one_without_any_load_is_not_guessed_at(
    yard: Farmyard,
):
    farm = yard.ground.farm
    put_town(farm.id, yard.at, yard.town, season_cap_yd3=None)
    assert season_ahead(farm, date(2025, 10, 1), 5000.0).towns == ()
    season(yard, 2025)
    # By the first load alone, with no season before: wide. With that season behind: the town's own shape.
    first = season_ahead(farm, date(2025, 11, 1), 5000.0)
    (town,) = first.towns
    assert town.lacks == ("past",)
    later = season_ahead(farm, date(2026, 11, 1), 5000.0)
    (again,) = later.towns
    assert (again.seasons, again.lacks) == (1, ("one_season",))
    assert (again.yards[-1] - again.yards[0]) < (town.yards[-1] - town.yards[0])
    # The agreement is the most that is looked for.
    put_town(farm.id, yard.at, yard.town, season_cap_yd3=Decimal(500))
    (capped,) = season_ahead(farm, date(2026, 11, 1), 5000.0).towns
    assert again.yards[-1] > 500.0
    assert capped.yards[-1] <= 500.0


def test_a_season_that_the_book_begins_in_the_middle_of_says_nothing_of_the_next(yard: Farmyard):
    drafts = [
        yard.draft(yard.load_body(yard.ground.fields[1]), done_at=date(2025, 12, day)) for day in range(1, 20)
    ]
    yard.write_all(drafts)
    (town,) = season_ahead(yard.ground.farm, date(2026, 11, 1), 5000.0).towns or (None,)
    assert town is None or town.yards is None


def test_a_struck_load_is_no_longer_counted(yard: Farmyard):
    row = yard.load(yard.ground.fields[1], done_at=date(2025, 10, 20))
    yard.load(yard.ground.fields[1], done_at=date(2025, 10, 21))
    on = date(2025, 10, 25)
    assert season_ahead(yard.ground.farm, on, 0.0).came_yd3 == 40.0
    yard.write(Strike("load", "written twice"), names=row.entry, by=yard.ground.owner)
    assert season_ahead(yard.ground.farm, on, 0.0).came_yd3 == 20.0


def test_the_leaves_of_a_field_ask_for_a_nitrate_test_and_say_what_they_lack(yard: Farmyard, owner: Client):
    field, spread_on = yard.ground.fields[0], date(yard.at.year - 1, 11, 20)
    yard.write(Work("spread", yards_yd3=Decimal(900)), field=field, done_at=spread_on)
    (lying,) = leaves_ahead(yard.farm, yard.at.date(), None)
    assert set(lying.lacks) >= {"factor", "worked_in"}
    page = read(owner, yard.page("forecasts"))
    assert "take a soil nitrate test" in page
    assert "has not been measured" in page
    yard.write(Work("work_in"), field=field, done_at=spread_on + timedelta(days=150))
    (worked,) = leaves_ahead(yard.farm, yard.at.date(), 0.8)
    assert worked.lacks == ()
    if lying.years:
        assert worked.years[0].left_lb[2] < lying.years[0].left_lb[2]


def answered(yard: Farmyard, year: int, lab: str, value: str) -> None:
    sample, on = fresh_id(), date(year, 10, 12)
    field = yard.ground.fields[0]
    method = "Mehlich 3, Delaware levels"
    yard.write_all(
        [
            yard.draft(Sample("soil", lab=lab), id=sample, field=field, done_at=on),
            yard.draft(Result(sample, lab, method, (("p", Decimal(value), "ppm"),)), field=field, done_at=on),
        ]
    )


def test_soil_tests_of_two_laboratories_are_two_lines_and_one_field_without_a_test_has_none(
    yard: Farmyard, owner: Client
):
    for place, value in enumerate(("40", "43", "47", "49")):
        answered(yard, 2021 + place, "Corbel", value)
    answered(yard, 2025, "Fennel Ridge", "96")
    page = read(owner, yard.page("forecasts"))
    assert "49.0 ppm (medium) rises" in page
    assert "1 test; 4 are needed for a line" in page
    assert page.count("Corbel, Mehlich 3") == 1


def test_a_fields_page_names_the_entries_its_legs_follow_from_and_the_managers_reason(
    yard: Farmyard, owner: Client
):
    field = yard.ground.fields[0]
    seeded = yard.write(Work("seed", crop="timothy"), field=field, done_at=date(2024, 8, 20))
    yard.write(Work("harvest"), field=field, done_at=date(2025, 9, 1))
    page = owner.get(yard.page("field", field)).content.decode()
    assert "What its legs follow from" in page
    assert yard.page("entry", seeded.entry) in page
    assert "no planting in the book" in page
    yard.leg(field, "idle", date(2025, 9, 10), None)
    told = owner.get(yard.page("field", field)).content.decode()
    assert "Said at the desk: as it stands" in told
