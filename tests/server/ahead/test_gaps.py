"""What the plan and the reports do with entries that contradict each other, and with what was never written."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from uuid import UUID

import pytest

from server.ahead.many import planned
from shared.ahead.day_order import day_order
from shared.ahead.day_stops import stops_of
from shared.ahead.plan_check import breaches
from shared.ahead.wishes import Ground, Weights, Wishes
from shared.ahead.worth import SoilRead, last_rest, worth_of
from shared.ahead.year_report import FieldBook, cash_crops, year_report
from shared.status.field_year import FieldYear
from shared.status.job_done import JobDone
from shared.status.laid import Laid, Worked
from shared.status.legs import OddStep
from shared.words.due import Due
from shared.words.field import Field
from shared.words.leg import Leg

TODAY = date(2026, 11, 25)
FIELD = UUID(int=1)


def job(name: str, on: date, **more: object) -> JobDone:
    return JobDone(UUID(int=on.toordinal()), name, on, (False, on.toordinal()), on.isoformat(), **more)  # type: ignore[arg-type]


def test_leaves_worked_in_before_they_were_laid_are_not_told_as_worked_in():
    laid = Laid(None, date(2026, 10, 20), date(2026, 10, 22), Decimal(800), 40, "load")
    book = FieldBook(
        FIELD, "Upper Rest", 4.0, laid=(laid,), worked=(Worked(date(2026, 4, 1), None, None, UUID(int=9)),)
    )
    (one,) = year_report([book], 2026, TODAY).leaves
    assert one.worked_on is None
    assert one.spread_yd3 == 800


def test_a_harvest_without_a_planting_is_a_finding_and_makes_no_cash_acre():
    book = FieldBook(
        FIELD,
        "Upper Rest",
        4.0,
        (Leg("hay", date(2024, 5, 1), "timothy"),),
        {2026: FieldYear(2026, 1, jobs=(job("harvest", date(2026, 8, 1), crop="cabbage"),))},
        odd=(OddStep("harvest_without_crop", date(2026, 8, 1), "hay"),),
    )
    told = year_report([book], 2026, TODAY)
    assert told.cash_ac == 0.0
    assert [(name, step.code) for name, step in told.odd] == [("Upper Rest", "harvest_without_crop")]


def test_two_crops_in_one_year_count_their_acres_once_and_garlic_in_the_year_it_is_lifted():
    legs = (Leg("cash", date(2026, 4, 10), "lettuce"), Leg("cash", date(2026, 7, 1), "cabbage"))
    told = year_report([FieldBook(FIELD, "Upper Rest", 4.0, legs)], 2026, TODAY)
    assert [one.crop for one in told.crops] == ["cabbage", "lettuce"]
    assert told.cash_ac == 4.0
    garlic = (Leg("cash", date(2025, 10, 20), "garlic"), Leg("leaf", date(2026, 10, 1)))
    assert cash_crops(garlic, 2025, date(2025, 12, 31)) == ()
    assert cash_crops(garlic, 2026, TODAY) == ("garlic",)


def test_a_field_known_by_name_only_is_in_no_sum_of_acres_and_is_counted_as_lacking():
    told = year_report(
        [FieldBook(FIELD, "Upper Rest", None), FieldBook(UUID(int=2), "Long Acre", 3.0)], 2026, TODAY
    )
    assert (told.fields, told.acres, told.unmeasured) == (2, 3.0, 1)
    assert worth_of(FieldBook(FIELD, "Upper Rest", None), (), TODAY).lacks == ("no_rest",)


LEGS = (Leg("cash", date(2022, 5, 20), "cabbage"), Leg("hay", date(2022, 10, 1), "timothy"))


def test_tests_of_two_laboratories_depths_or_seasons_are_never_compared():
    book = FieldBook(FIELD, "Upper Rest", 4.0, LEGS)
    first = SoilRead(date(2022, 10, 14), "om", "%", 2.5, "Fennel Ridge", "0-7")
    for other in (
        replace(first, on=date(2026, 10, 14), value=3.5, lab="Another"),
        replace(first, on=date(2026, 10, 14), value=3.5, depth="0-12"),
        replace(first, on=date(2026, 4, 14), value=3.5),
        replace(first, on=date(2026, 10, 14), value=3.5, unit="g/kg"),
    ):
        found = worth_of(book, (first, other), TODAY)
        assert found.soil == ()
        assert "one_soil_test" in found.lacks
    (move,) = worth_of(book, (first, replace(first, on=date(2026, 10, 14), value=3.5)), TODAY).soil
    assert (move.change, move.within_error, move.word) == (pytest.approx(1.0), False, "too_few")


def test_a_season_without_a_round_or_a_test_makes_no_figure_and_names_what_is_lacking():
    found = worth_of(FieldBook(FIELD, "Upper Rest", 4.0, LEGS), (), TODAY)
    assert set(found.lacks) == {"no_soil_test", "no_weeds", "no_firmness", "no_leaves"}
    assert found.modelled is None
    assert all(one.ends is None and one.line is None for one in found.rounds)


def test_a_rest_younger_than_a_year_gives_way_to_the_one_before_it():
    legs = (*LEGS, Leg("cash", date(2026, 4, 1), "cabbage"), Leg("leaf", date(2026, 10, 1)))
    assert last_rest(legs, TODAY) == (date(2022, 10, 1), date(2026, 4, 1))
    assert last_rest(legs, TODAY + timedelta(days=400)) == (date(2026, 10, 1), None)
    assert last_rest(legs[:1], TODAY) is None


def test_a_plan_for_fields_of_which_nothing_is_known_keeps_every_wish():
    crops = Wishes(2027, (), count=3, rest_years=1, within_pct=100.0)
    found = planned((Ground("a", "A", 4.0),), crops, Weights())
    assert found is not None
    assert breaches((Ground("a", "A", 4.0),), crops, found.plan) == ()
    assert all(use[0] != "cash" for use in found.plan["a"].values()), "no crop was named, so none is planned"


def test_a_day_with_fields_that_are_not_drawn_and_ground_that_nobody_saw_is_ordered_all_the_same():
    bare = Field(FIELD, "Upper Rest", 1, None, None)
    due = Due("mow-1", "mow", FIELD, None, None, None, TODAY, "dues.mow.heads", {})
    lost = replace(due, id="mow-2", field=UUID(int=404))
    day = day_order([lost, due], stops_of([bare], {}), TODAY)
    assert [one.due.id for one in day.jobs] == ["mow-1", "mow-2"]
    assert day == day_order([due, lost], stops_of([bare], {}), TODAY)
