"""What is still to be worked in, what is one application, and what a cap counts."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared.reckoning.working_in import (
    PERIODS,
    Spread,
    Unworked,
    Working,
    applications_made,
    counted_yd3,
    unworked,
)

FIRST = date(2024, 11, 1)


def day(number: int) -> date:
    return FIRST + timedelta(days=number)


def test_r9_the_clock_of_a_part_runs_from_its_earliest_unworked_spread():
    spreads = [Spread(day(0), "east", 1.0), Spread(day(3), "east", 1.0), Spread(day(1), "west", 2.0)]
    found = unworked(spreads, [])
    assert found == (Unworked("east", day(0), 2.0), Unworked("west", day(1), 2.0))
    assert found[0].last_day(5) == day(5)


def test_r9_a_part_is_done_when_the_worked_area_reaches_the_covered_area():
    spreads = [Spread(day(0), "east", 2.0)]
    assert unworked(spreads, [Working(day(2), "east", 1.5)]) == (Unworked("east", day(0), 0.5),)
    both = [Working(day(2), "east", 1.5), Working(day(3), "east", 0.5)]
    assert unworked(spreads, both) == ()


def test_r9_unlocated_work_clears_the_oldest_first():
    spreads = [Spread(day(1), "west", 1.0), Spread(day(0), "east", 1.0)]
    found = unworked(spreads, [Working(day(4), None, 1.5)])
    assert found == (Unworked("west", day(1), 0.5),)


def test_r9_work_before_the_spreading_clears_nothing():
    assert unworked([Spread(day(3), "east", 1.0)], [Working(day(2), "east", 1.0)]) != ()
    # On one and the same day the spreading came first.
    assert unworked([Spread(day(3), "east", 1.0)], [Working(day(3), "east", 1.0)]) == ()


def test_r3_a_second_pass_over_the_same_part_does_not_cover_more_ground():
    passes = [Spread(day(0), "east", 2.0, part_ac=2.0), Spread(day(1), "east", 2.0, part_ac=2.0)]
    assert unworked(passes, []) == (Unworked("east", day(0), 2.0),)
    assert unworked(passes, [Working(day(2), "east", 2.0)]) == ()


def test_leaves_on_ground_that_was_worked_in_must_be_worked_in_again():
    spreads = [Spread(day(0), "east", 2.0, part_ac=2.0), Spread(day(4), "east", 2.0, part_ac=2.0)]
    worked = [Working(day(2), "east", 2.0), Working(day(5), "east", 1.0)]
    assert unworked(spreads, worked) == (Unworked("east", day(4), 1.0),)


def test_r5_one_application_lasts_until_worked_in_or_30_idle_days():
    spreads = [
        Spread(day(0), "east", 1.0, 100.0),
        Spread(day(30), "east", 1.0, 50.0),
        Spread(day(61), "east", 1.0, 25.0),
    ]
    made = applications_made(spreads, [])
    assert [(one.first, one.last, one.yards_yd3) for one in made] == [
        (day(0), day(30), 150.0),
        (day(61), day(61), 25.0),
    ]
    made = applications_made(spreads, [Working(day(10), "east", 1.0)])
    assert [(one.yards_yd3, one.on_top) for one in made] == [(100.0, False), (50.0, True), (25.0, True)]


HISTORY = [
    Spread(date(2023, 12, 1), "east", 1.0, 10.0),
    Spread(date(2024, 1, 20), "east", 1.0, 20.0),
    Spread(date(2024, 2, 1), "east", 1.0, 40.0),
    Spread(date(2024, 11, 30), "east", 1.0, 80.0),
    Spread(date(2024, 11, 30), "west", 1.0, 500.0),
]
WORKED = [Working(date(2024, 4, 1), "east", 3.0)]


@pytest.mark.parametrize(
    ("period", "yards"),
    [
        ("one_application", 80.0),
        ("calendar_year", 140.0),
        ("rolling_12_months", 140.0),
        ("until_worked_in", 80.0),
    ],
)
def test_r4_the_period_of_the_cap_decides_what_counts(period, yards):
    assert counted_yd3(HISTORY, WORKED, "east", date(2024, 12, 1), period) == yards


def test_r4_the_rolling_year_leaves_out_its_first_day():
    on = date(2024, 11, 30)
    assert counted_yd3(HISTORY, WORKED, "east", on, "rolling_12_months") == 150.0
    assert counted_yd3(HISTORY, WORKED, "east", date(2024, 12, 1), "rolling_12_months") == 140.0


def test_r4_a_text_that_nobody_read_takes_the_strictest():
    on = date(2024, 11, 30)
    each = [counted_yd3(HISTORY, WORKED, "east", on, period) for period in PERIODS]
    assert counted_yd3(HISTORY, WORKED, "east", on, None) == max(each) == 150.0
    # With nothing worked in, all that lies there counts.
    assert counted_yd3(HISTORY, [], "east", date(2024, 12, 1), None) == 150.0


SPREADS = st.lists(
    st.builds(
        Spread,
        st.integers(0, 200).map(day),
        st.sampled_from(["east", "west", "north"]),
        st.sampled_from([0.25, 0.5, 1.0, 2.0]),
        st.sampled_from([20.0, 40.0, 100.0]),
        st.sampled_from([None, 2.0]),
    ),
    max_size=8,
)
WORKINGS = st.lists(
    st.builds(
        Working,
        st.integers(0, 200).map(day),
        st.sampled_from(["east", "west", "north", None]),
        st.sampled_from([0.25, 0.5, 1.0, 2.0]),
    ),
    max_size=8,
)


@given(SPREADS, WORKINGS, st.randoms(use_true_random=False))
def test_the_order_of_the_entries_does_not_matter(spreads, workings, chance):
    mixed, worked = list(spreads), list(workings)
    chance.shuffle(mixed)
    chance.shuffle(worked)
    assert unworked(mixed, worked) == unworked(spreads, workings)
    assert applications_made(mixed, worked) == applications_made(spreads, workings)


@given(SPREADS, WORKINGS)
def test_no_yard_is_counted_twice_and_no_acre_is_left_that_was_not_spread(spreads, workings):
    made = applications_made(spreads, workings)
    assert sum(one.yards_yd3 for one in made) == sum(one.yards_yd3 for one in spreads)
    for left in unworked(spreads, workings):
        assert 0.0 < left.left_ac <= sum(one.area_ac for one in spreads if one.part == left.part)
        assert left.since in {one.on for one in spreads if one.part == left.part}


@given(SPREADS, WORKINGS, st.sampled_from(["east", "west"]), st.integers(0, 200))
def test_the_strictest_counts_no_less_than_any_period(spreads, workings, part, number):
    strictest = counted_yd3(spreads, workings, part, day(number), None)
    assert strictest >= max(counted_yd3(spreads, workings, part, day(number), each) for each in PERIODS)
    assert strictest <= sum(one.yards_yd3 for one in spreads if one.part == part and one.on <= day(number))
