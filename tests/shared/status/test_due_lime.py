"""Lime that a soil test asks for: due from the sample on, met by lime, and never by a figure that nobody stated."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from shared.status.due import FieldToday, due_words, field_dues
from shared.status.field_status import FieldStatus, fold
from shared.status.gathering import gathered, merged_years
from shared.status.needs import lime
from shared.status.standing import standing
from shared.words.bodies.laboratory import Result, Sample
from shared.words.bodies.work import Work

STATED = (("pH", Decimal("5.8"), "pH"), ("lime requirement", Decimal("1.5"), "tons/ac"))


def today(pen, written, on) -> FieldToday:
    land = pen.land()
    return FieldToday(fold(standing(written).facts, land, pen.zone), land, (), date.fromisoformat(on))


def lab_test(pen, values, bagged="2026-09-30", method="Mehlich 3", came="2026-10-17", of="soil"):
    sample = pen.write(Sample(of), bagged)
    return [sample, pen.write(Result(sample.entry.id, "Bracken Laboratory", method, values), came)]


def test_lime_that_the_laboratory_states_is_due_from_the_day_of_the_sample(pen):
    (one,) = lime.lime(today(pen, lab_test(pen, STATED), "2026-11-25"))
    assert (one.earliest, one.best, one.last) == (date(2026, 9, 30), date(2026, 12, 29), date(2027, 9, 30))
    for language in ("en", "es"):
        words = due_words(one, language)
        assert "3000 lb" in words.why
        assert "Bracken Laboratory" in words.why
        assert words.change


def test_it_stands_among_all_that_the_field_needs(pen):
    assert "lime" in {one.job for one in field_dues(today(pen, lab_test(pen, STATED), "2026-11-25"))}


def test_pounds_of_lime_are_read_as_pounds(pen):
    stated = (("Lime", Decimal("2000"), "lb/ac"),)
    (one,) = lime.lime(today(pen, lab_test(pen, stated), "2026-11-25"))
    assert one.facts["pounds"] == "2000"


def test_lime_spread_since_the_sample_meets_it_even_before_the_answer_came(pen):
    spread = pen.write(Work("lime", material_lb_per_ac=Decimal(3000)), "2026-10-05")
    assert list(lime.lime(today(pen, [*lab_test(pen, STATED), spread], "2026-11-25"))) == []
    before = pen.write(Work("lime", material_lb_per_ac=Decimal(3000)), "2026-09-29")
    assert len(list(lime.lime(today(pen, [*lab_test(pen, STATED), before], "2026-11-25")))) == 1


def test_a_newer_test_that_asks_for_none_ends_it(pen):
    newer = lab_test(pen, (("lime", Decimal(0), "lb/ac"),), "2027-09-28", came="2027-10-12")
    assert list(lime.lime(today(pen, [*lab_test(pen, STATED), *newer], "2027-11-01"))) == []


def test_a_test_of_three_years_ago_asks_for_nothing_any_more(pen):
    assert len(list(lime.lime(today(pen, lab_test(pen, STATED), "2029-09-29")))) == 1
    assert list(lime.lime(today(pen, lab_test(pen, STATED), "2029-09-30"))) == []


def test_an_acidity_is_reckoned_by_the_method_that_is_named_and_by_no_other(pen):
    acid = (("pH", Decimal("5.6"), "pH"), ("acidity", Decimal("5.2"), "meq/100 g"))
    (one,) = lime.lime(today(pen, lab_test(pen, acid, method="Penn State, Mehlich buffer"), "2026-11-25"))
    assert one.why == "dues.lime.reckoned"
    assert one.facts["pounds"] == "4368"  # Penn State Agronomy Guide, target 6.5: 5.2 x 840
    assert list(lime.lime(today(pen, lab_test(pen, acid, method="unknown buffer"), "2026-11-25"))) == []


def test_lime_that_is_a_slip_of_the_pen_is_asked_for_by_nobody(pen):
    slip = (("lime", Decimal(1500), "tons/ac"),)
    assert list(lime.lime(today(pen, lab_test(pen, slip), "2026-11-25"))) == []


def test_an_answer_on_hay_or_on_a_sample_that_is_not_here_asks_for_no_lime(pen):
    assert list(lime.lime(today(pen, lab_test(pen, STATED, of="hay"), "2026-11-25"))) == []
    assert list(lime.lime(today(pen, lab_test(pen, STATED)[1:], "2026-11-25"))) == []


def test_sample_and_answer_are_found_together_in_whatever_order_they_are_folded_in(pen):
    sample, answer = lab_test(pen, STATED, "2025-12-20", came="2026-01-09")
    land = pen.land()
    halves = [gathered(standing([one]).facts, land, pen.zone) for one in (sample, answer)]
    whole = gathered(standing([sample, answer]).facts, land, pen.zone)
    assert merged_years(*halves) == merged_years(*reversed(halves)) == whole


def test_the_status_is_read_back_from_what_phones_are_sent(pen):
    status = today(pen, lab_test(pen, STATED), "2026-11-25").status
    assert FieldStatus.from_tree(status.to_tree()) == status
    assert status.lime.tons_per_ac == 1.5
