"""Ground that waits to be sown, and the nitrate test after leaves: each with its pair that is not due."""

from __future__ import annotations

from datetime import date

from shared.rules import sheets_in_force
from shared.status.due import FieldToday, due_words
from shared.status.field_status import fold
from shared.status.needs import sowing
from shared.status.standing import standing
from shared.words.bodies.laboratory import Sample
from shared.words.bodies.work import Work

SHEETS = sheets_in_force(["new_jersey"])


def today(pen, written, on) -> FieldToday:
    land = pen.land()
    return FieldToday(fold(standing(written).facts, land, pen.zone), land, SHEETS, date.fromisoformat(on))


def worked_in(pen):
    return [
        pen.load("100", "2025-11-20"),
        pen.write(Work("spread"), "2025-11-22"),
        pen.write(Work("work_in"), "2026-05-04"),
    ]


def days(one):
    return tuple(day.isoformat() for day in (one.earliest, one.best, one.last))


def test_leafed_ground_that_was_worked_in_is_to_be_sown_by_mid_july(pen):
    (one,) = sowing.seed(today(pen, worked_in(pen), "2026-06-01"))
    assert days(one) == ("2026-05-25", "2026-06-30", "2026-07-15")
    assert "4 May" in due_words(one, "en").why
    assert "4 de mayo" in due_words(one, "es").why


def test_what_was_not_sown_by_mid_july_waits_for_hay_grass(pen):
    (last,) = sowing.seed(today(pen, worked_in(pen), "2026-07-15"))
    (one,) = sowing.seed(today(pen, worked_in(pen), "2026-07-16"))
    assert (last.why, one.why) == ("dues.seed.smother", "dues.seed.grass")
    assert one.last == date(2026, 9, 20)
    assert list(sowing.seed(today(pen, worked_in(pen), "2026-09-21"))) == []


def test_leaves_that_lie_and_ground_that_is_sown_ask_for_no_seed(pen):
    lying, sown = (
        worked_in(pen)[:2],
        [*worked_in(pen), pen.write(Work("seed", crop="sorghum_sudan"), "2026-05-28")],
    )
    assert list(sowing.seed(today(pen, lying, "2026-06-01"))) == []
    assert list(sowing.seed(today(pen, sown, "2026-06-01"))) == []


def planted(pen, on="2027-05-10", crop="sweet corn"):
    return [*worked_in(pen), pen.write(Work("plant", crop=crop), on)]


def test_a_summer_crop_within_two_years_of_leaves_asks_for_a_nitrate_test(pen):
    (one,) = sowing.nitrate_test(today(pen, planted(pen), "2027-06-01"))
    assert days(one) == ("2027-05-31", "2027-06-07", "2027-06-21")
    assert due_words(one, "en").change


def test_a_sample_of_nitrate_since_planting_meets_it(pen):
    taken = [*planted(pen), pen.write(Sample("nitrate"), "2027-06-05")]
    assert list(sowing.nitrate_test(today(pen, taken, "2027-06-06"))) == []


def test_long_after_leaves_on_garlic_and_past_its_days_no_nitrate_test_is_asked_for(pen):
    assert list(sowing.nitrate_test(today(pen, planted(pen, "2028-05-10"), "2028-06-01"))) == []
    assert list(sowing.nitrate_test(today(pen, planted(pen, "2026-10-12", "garlic"), "2026-11-05"))) == []
    assert list(sowing.nitrate_test(today(pen, planted(pen), "2027-06-22"))) == []
