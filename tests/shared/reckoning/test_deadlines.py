"""Last and first days."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from dateutil.relativedelta import relativedelta
from hypothesis import given
from hypothesis import strategies as st

from shared.errors import InputError, MissingInput, OutOfRange
from shared.reckoning.computation import as_answer
from shared.reckoning.deadlines import (
    COMPUTATIONS,
    SHEETS,
    applications,
    joined_prohibited,
    keep_until,
    manure_wait,
    months_before,
    organic_from,
    worked_in_by,
    years_after,
)

DAY = st.dates(date(1950, 1, 1), date(2150, 12, 31))


def test_r9_day_nought_is_the_event_and_the_last_day_is_in_time():
    # Will County, Illinois: arrive 4 Nov 2024, spread within 5 days, tilled within 5 days of spreading.
    assert worked_in_by(date(2024, 11, 4), 5).last_day == date(2024, 11, 9)
    tilled_by = worked_in_by(date(2024, 11, 9), 5).last_day
    assert tilled_by == date(2024, 11, 14)
    assert date(2024, 11, 15) > tilled_by


def test_r9_next_season_is_a_date_that_the_farm_sets():
    assert worked_in_by(date(2024, 11, 9), next_season_date=date(2025, 5, 1)).last_day == date(2025, 5, 1)


def test_a_working_in_without_a_rule_or_with_two_is_refused():
    with pytest.raises(MissingInput):
        worked_in_by(date(2024, 11, 9))
    with pytest.raises(OutOfRange):
        worked_in_by(date(2024, 11, 9), 5, date(2025, 5, 1))
    with pytest.raises(OutOfRange) as caught:
        worked_in_by(date(2024, 11, 9), next_season_date=date(2024, 11, 8))
    assert "2024-11-09" in caught.value.allowed


FOUR = [date(2024, 11, 1), date(2025, 1, 5), date(2025, 3, 2), date(2025, 10, 20)]


def test_r4_the_fourth_application_in_twelve_months_is_counted():
    # 14 CCR 17852(a)(24.5): not over three in twelve months on ground zoned for farming alone.
    assert applications(FOUR, date(2025, 10, 20)).count == 4


def test_r4_the_window_leaves_out_the_same_day_a_year_ago_and_takes_in_today():
    assert applications([date(2024, 10, 20)], date(2025, 10, 20)).count == 0
    assert applications([date(2024, 10, 21)], date(2025, 10, 20)).count == 1
    assert applications([date(2025, 10, 21)], date(2025, 10, 20)).count == 0
    assert applications([], date(2025, 10, 20)).count == 0


@given(st.permutations(FOUR), DAY, st.integers(1, 240))
def test_the_order_of_the_applications_does_not_matter(dates, on, months):
    count = applications(dates, on, months).count
    assert count == applications(FOUR, on, months).count
    assert count == sum(on - relativedelta(months=months) < one <= on for one in FOUR)


@given(DAY, st.integers(0, 240))
def test_months_back_agree_with_dateutil(day, months):
    assert months_before(day, months) == day - relativedelta(months=months)


@given(DAY, st.integers(0, 40))
def test_full_years_later_are_never_a_day_short(day, years):
    later = years_after(day, years)
    assert later - (day + relativedelta(years=years)) in (timedelta(0), timedelta(days=1))
    assert later.year == day.year + years


def test_r13_organic_harvest_starts_a_full_three_years_later():
    # 7 CFR 205.202(b).
    assert organic_from(date(2023, 6, 15)).harvest_from == date(2026, 6, 15)
    assert date(2026, 6, 14) < organic_from(date(2023, 6, 15)).harvest_from


def test_r13_29_february_gives_1_march():
    assert organic_from(date(2024, 2, 29)).harvest_from == date(2027, 3, 1)


def test_r13_joined_fields_take_the_latest_prohibited_date():
    days = [date(2021, 5, 1), None, date(2023, 4, 1)]
    assert joined_prohibited(days) == joined_prohibited(days[::-1]) == date(2023, 4, 1)
    assert joined_prohibited([None, None]) is None


def test_r13_manure_waits_from_its_incorporation_and_without_one_has_no_date():
    # 7 CFR 205.203(c)(1): 120 days where the edible part touches the soil, else 90.
    touching = manure_wait(date(2025, 4, 1), touches_soil=True)
    assert as_answer(touching) == {"harvest_from": date(2025, 7, 30), "days": 120}
    assert manure_wait(date(2025, 4, 1), touches_soil=False).harvest_from == date(2025, 6, 30)
    assert as_answer(manure_wait(None, touches_soil=True)) == {"harvest_from": None, "days": 120}


def test_the_sheet_that_keeps_longest_wins():
    # 7 CFR 205.103: five years; OAC 3745-560: three; N.J.A.C. 7:26A-3.17(b): three after the reporting year.
    made = date(2025, 11, 3)
    assert as_answer(keep_until(made, SHEETS)) == {"until": date(2030, 11, 3), "by_sheet": "nop"}
    assert keep_until(made, ["new_jersey", "ohio_intake"]).until == date(2028, 12, 31)
    assert keep_until(made, ["ohio_intake"]).until == date(2028, 11, 3)
    assert keep_until(made, ["produce_safety"]).until == date(2027, 11, 3)
    assert keep_until(made, ["nop", "farm"], farm_years=7).by_sheet == "farm"


def test_a_farm_that_set_no_years_adds_none():
    assert as_answer(keep_until(date(2025, 1, 1), ["farm"])) == {"until": None, "by_sheet": None}


def test_the_years_of_the_produce_safety_rule_are_said_to_be_from_memory():
    source = next(each.source for each in COMPUTATIONS if each.name == "keep_until")
    assert "21 CFR 112.164, records kept two years (from memory, unconfirmed)" in source


@given(DAY, st.lists(st.sampled_from(SHEETS), min_size=1, max_size=5), st.sampled_from(SHEETS))
def test_another_sheet_never_shortens_the_keeping(made, sheets, more):
    one = keep_until(made, sheets, farm_years=4)
    assert keep_until(made, [*sheets, more], farm_years=4).until >= one.until
    assert keep_until(made, sheets[::-1], farm_years=4) == one


@pytest.mark.parametrize("day", [date(1, 1, 1), date(9999, 12, 31), date(1899, 12, 31), date(2200, 1, 1)])
@pytest.mark.parametrize(
    "call",
    [
        lambda day: worked_in_by(day, 3660),
        lambda day: applications([day], day, 240),
        lambda day: keep_until(day, ["nop"]),
        lambda day: organic_from(day),
        lambda day: manure_wait(day, True),
    ],
)
def test_a_day_that_no_farm_means_is_refused_by_name(day, call):
    with pytest.raises(InputError) as caught:
        call(day)
    assert "1900" in caught.value.allowed
