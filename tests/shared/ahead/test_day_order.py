"""A day's jobs in the order that a crew drives, and why the rest is left out."""

from __future__ import annotations

import math
from datetime import date, timedelta
from itertools import pairwise, permutations
from uuid import UUID

from hypothesis import given, settings
from hypothesis import strategies as st

from shared.ahead.day_order import Stop, day_order, shortest_way
from shared.words.due import Due

TODAY = date(2026, 7, 2)
FIELDS = [UUID(int=number) for number in range(1, 7)]


def stop(place: int, east: float = 0.0, acres: float = 4.0, **more) -> Stop:
    return Stop(FIELDS[place], f"Field {place}", acres, east, 0.0, **more)


def stops(*those: Stop) -> dict[UUID, Stop]:
    return {one.field: one for one in those}


def due(job, place: int, last_in: int | None = 5, earliest_in: int = -5, key: str = "") -> Due:
    last = None if last_in is None else TODAY + timedelta(days=last_in)
    first = TODAY + timedelta(days=earliest_in)
    return Due(f"{job}:{place}:{key}", job, FIELDS[place], None, first, None, last, "dues.mow.height", {})


def fields_in_order(day) -> list[UUID | None]:
    return [one.due.field for one in day.jobs]


def test_what_is_late_is_driven_before_what_lies_nearer():
    here = stops(stop(0, 10.0), stop(1, 500.0))
    day = day_order([due("mow", 0, last_in=9), due("mow", 1, last_in=-1)], here, TODAY)
    assert fields_in_order(day) == [FIELDS[1], FIELDS[0]]


def test_jobs_alike_in_urgency_are_driven_the_short_way_round():
    here = stops(stop(0, 300.0), stop(1, 100.0), stop(2, 200.0))
    day = day_order([due("cover_round", place, last_in=2) for place in range(3)], here, TODAY)
    assert fields_in_order(day) == [FIELDS[1], FIELDS[2], FIELDS[0]]


def test_the_order_is_the_same_whatever_order_the_dues_come_in():
    here = stops(*(stop(place, 100.0) for place in range(4)))
    these = [due("mow", place, last_in=2, key=str(place)) for place in range(4)]
    told = {tuple(one.due.id for one in day_order(some, here, TODAY).jobs) for some in permutations(these)}
    assert len(told) == 1


def test_an_infested_field_comes_last_of_its_kind():
    here = stops(stop(0, 10.0, infested=True), stop(1, 900.0))
    day = day_order([due("mow", 0), due("mow", 1)], here, TODAY)
    assert fields_in_order(day) == [FIELDS[1], FIELDS[0]]


def test_a_machine_stays_off_ground_that_was_seen_not_to_bear_and_people_on_foot_do_not():
    wet = stop(0, ground="stay_off", ground_on=TODAY - timedelta(days=1))
    day = day_order([due("mow", 0), due("weed_round", 0)], stops(wet), TODAY)
    assert [one.due.job for one in day.jobs] == ["weed_round"]
    assert [(one.due.job, one.why) for one in day.left_out] == [("mow", "ground")]


def test_old_news_of_wet_ground_bars_nothing_but_asks_to_look_first():
    wet = stop(0, ground="stay_off", ground_on=TODAY - timedelta(days=3))
    day = day_order([due("mow", 0)], stops(wet), TODAY)
    assert [one.look_first for one in day.jobs] == [True]
    dry = stop(0, ground="fit", ground_on=TODAY)
    assert [one.look_first for one in day_order([due("mow", 0)], stops(dry), TODAY).jobs] == [False]


def test_what_may_begin_only_later_and_what_was_put_off_are_left_out_with_the_reason():
    later, off = due("mow", 0, earliest_in=3), due("weed_round", 0)
    day = day_order([later, off], stops(stop(0)), TODAY, {off.id: "broken"})
    assert day.jobs == ()
    assert {(one.due.job, one.why, one.until) for one in day.left_out} == {
        ("mow", "not_yet", TODAY + timedelta(days=3)),
        ("weed_round", "put_off", None),
    }


def test_a_machine_takes_no_more_than_its_day_and_the_most_urgent_goes_in():
    """The mower does 4 acres an hour, nine hours a day: 36 acres."""
    here = stops(*(stop(place, acres=18.0) for place in range(3)))
    day = day_order([due("mow", 0, 9), due("mow", 1, -2), due("mow", 2, 1)], here, TODAY)
    assert fields_in_order(day) == [FIELDS[1], FIELDS[2]]
    assert [(one.due.field, one.why) for one in day.left_out] == [(FIELDS[0], "day_full")]


def test_a_field_larger_than_a_machines_day_is_begun_all_the_same():
    day = day_order([due("mow", 0)], stops(stop(0, acres=60.0)), TODAY)
    assert fields_in_order(day) == [FIELDS[0]]


def test_papers_are_for_the_desk():
    paper = Due("paper:farm:x", "paper", None, None, None, None, TODAY, "dues.paper.expires", {})
    day = day_order([paper], {}, TODAY)
    assert (day.jobs, day.desk) == ((), (paper,))


@settings(max_examples=30)
@given(st.lists(st.tuples(st.integers(-500, 500), st.integers(-500, 500)), min_size=1, max_size=5))
def test_the_way_through_a_few_fields_is_the_shortest_there_is(spots):
    def length(way) -> float:
        there = [(0.0, 0.0), *(spots[one] for one in way)]
        return math.fsum(math.dist(a, b) for a, b in pairwise(there))

    found = shortest_way((0.0, 0.0), spots)
    assert sorted(found) == list(range(len(spots)))
    assert math.isclose(length(found), min(length(way) for way in permutations(range(len(spots)))))
