"""Dues that hang on a forecast: they follow the weather and the rounds, and come down to the phone."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest

from server.ahead.foreseeing import foreseen
from server.status import dues as made
from server.status import reads as status
from server.status.holdings import ground_of
from shared.words.bodies.reading import Strike
from shared.words.bodies.told import Weather
from shared.words.bodies.walked import Ground
from shared.words.bodies.work import Work
from shared.words.due import Due
from tests.server.web.farmyard import Farmyard


def before(yard: Farmyard, days: int) -> date:
    return yard.at.date() - timedelta(days=days)


def due(yard: Farmyard, job: str, place: int = 0) -> Due | None:
    found = status.dues(yard.farm, yard.ground.fields[place])
    return next((one for one in found if one.job == job), None)


def weather(yard: Farmyard, days: int, high: int = 84, low: int = 62) -> list[Any]:
    told = [Weather(before(yard, back), Decimal(low), Decimal(high), None) for back in range(days)]
    return yard.write_all([yard.draft(one) for one in told])


def smother(yard: Farmyard, days: int) -> None:
    yard.leg(yard.ground.fields[0], "smother", before(yard, days), "sorghum-sudan")


def test_a_smother_crop_has_its_mow_days_by_the_height_forecast_and_says_why(yard: Farmyard):
    smother(yard, 25)
    wide = due(yard, "mow")
    weather(yard, 60)
    warm = due(yard, "mow")
    (ahead,) = foreseen(yard.farm, yard.at.date())
    assert wide is not None
    assert warm is not None
    assert warm.why == "dues.mow.forecast_height"
    assert (warm.earliest, warm.best, warm.last) == (ahead.early, ahead.middle, ahead.late)
    assert (warm.facts["low"], warm.facts["high"]) == ("6", "8")
    assert warm.id == wide.id
    assert warm.last - warm.earliest < wide.last - wide.earliest


def test_a_day_of_cover_that_is_past_grows_late_and_is_not_told_anew_each_day(yard: Farmyard):
    smother(yard, 70)
    weather(yard, 75)
    first = due(yard, "mow")
    tomorrow = yard.at + timedelta(days=1)
    made.make(yard.ground.farm, tomorrow, None, ground_of(yard.farm))
    second = due(yard, "mow")
    assert first is not None
    assert first.best < yard.at.date()
    assert second is not None
    assert abs((second.best - first.best).days) <= 1


def test_boot_by_heat_units_is_the_last_day_where_the_crop_grows_slowly(yard: Farmyard):
    smother(yard, 55)
    weather(yard, 60)
    for back in (12, 5):
        height = "4" if back == 12 else "5"
        yard.cover_round(yard.ground.fields[0], [height] * 4, at=yard.at - timedelta(days=back))
    slow = due(yard, "mow")
    assert slow is not None
    assert slow.why == "dues.mow.forecast_boot"
    assert slow.last == date.fromisoformat(slow.facts["boot_on"])


def test_a_crop_that_is_no_sorghum_and_one_that_frost_killed_have_no_forecast(yard: Farmyard):
    yard.leg(yard.ground.fields[0], "smother", before(yard, 25), "buckwheat")
    weather(yard, 40)
    assert due(yard, "mow") is None
    yard.leg(yard.ground.fields[0], "smother", before(yard, 24), "sorghum-sudan")
    assert due(yard, "mow") is not None
    yard.write(Weather(before(yard, 1), Decimal(23), Decimal(40), None))
    assert due(yard, "mow") is None


def test_weather_that_was_struck_does_not_count(yard: Farmyard):
    smother(yard, 25)
    weather(yard, 40)
    frost = yard.write(Weather(before(yard, 1), Decimal(23), Decimal(40), None))
    assert foreseen(yard.farm, yard.at.date()) == []
    yard.write(Strike("weather", "the sensor lay in the shed"), names=frost.entry, by=yard.ground.owner)
    assert len(foreseen(yard.farm, yard.at.date())) == 1


@pytest.mark.parametrize(
    ("crop", "why", "days"),
    [
        ("orchardgrass", "dues.cut_hay.forecast_orchardgrass", (date(2026, 5, 3), date(2026, 5, 18))),
        ("timothy", "dues.cut_hay.forecast_timothy", (date(2026, 5, 26), date(2026, 6, 10))),
    ],
)
def test_hay_is_first_cut_by_its_grass_and_the_fields_own_years_move_the_day(yard: Farmyard, crop, why, days):
    field = yard.ground.fields[0]
    yard.leg(field, "hay", date(2022, 9, 1), crop)
    made.make(yard.ground.farm, yard.at.replace(month=4, day=20), None, ground_of(yard.farm))
    published = due(yard, "cut_hay")
    assert published is not None
    assert (published.why, published.earliest, published.best) == (why, *days)
    for year in (2023, 2024, 2025):
        yard.write(Work("cut_hay"), field=field, done_at=days[1].replace(year=year) + timedelta(days=9))
    made.make(yard.ground.farm, yard.at.replace(month=4, day=20), None, ground_of(yard.farm))
    own = due(yard, "cut_hay")
    assert own is not None
    assert timedelta(days=5) <= own.best - published.best < timedelta(days=9)
    assert own.last - own.earliest < published.last - published.earliest


def test_seed_waits_for_warm_soil_measured_before_reckoned_by_the_air(yard: Farmyard):
    field = yard.ground.fields[0]
    spring = yard.at.replace(month=6, day=1)
    yard.leg(field, "leaf", date(2025, 11, 20))
    yard.write(Work("work_in"), field=field, done_at=date(2026, 5, 4))

    def told() -> Due:
        made.make(yard.ground.farm, spring, None, ground_of(yard.farm))
        found = due(yard, "seed")
        assert found is not None
        return found

    assert told().why == "dues.seed.smother"
    days = [spring.date() - timedelta(days=back) for back in range(1, 9)]
    yard.write_all([yard.draft(Weather(on, Decimal(52), Decimal(72), None)) for on in days])
    assert (told().why, told().facts["low"], told().facts["high"]) == ("dues.seed.smother_air", "62", "62")
    cold = yard.draft(Ground("moist", soil_f=Decimal(61)), field=field, at=spring - timedelta(days=1))
    yard.write_all([cold])
    assert (told().why, told().earliest) == ("dues.seed.smother_cold", spring.date())
    yard.write_all([yard.draft(Ground("moist", soil_f=Decimal(66)), field=field, at=spring)])
    assert (told().why, told().earliest) == ("dues.seed.smother_warm", date(2026, 5, 25))


def test_seed_ends_sixty_days_before_the_earliest_frost_that_is_written_down(yard: Farmyard):
    field = yard.ground.fields[0]
    yard.leg(field, "leaf", date(2025, 11, 20))
    yard.write(Work("work_in"), field=field, done_at=date(2026, 5, 4))
    yard.write(Weather(date(2025, 9, 3), Decimal(31), Decimal(60), None))
    made.make(yard.ground.farm, yard.at.replace(month=6, day=1), None, ground_of(yard.farm))
    found = due(yard, "seed")
    assert found is not None
    assert found.last == date(2026, 7, 5)
