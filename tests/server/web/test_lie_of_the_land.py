"""Lie of the land: what stands where, and what it costs to show."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from django.test import Client

from server.intake import desk
from server.intake.desk import Draft
from server.people.writes import change_person
from server.status.dues import first_of_day
from server.web.ribbons import ribbon, scale
from shared.languages import say
from shared.words.bodies.desk import LegChange, Plan
from shared.words.leg import Leg
from tests.server.ground import fresh_id, land_body, square
from tests.server.web.farmyard import Farmyard, days_before, signed_in

TODAY = date(2026, 6, 1)


def test_an_empty_farm_says_how_to_begin(yard: Farmyard, owner: Client):
    drawn = [
        Draft(land_body(one, "gone", None, version=2, retired=True), field=one) for one in yard.ground.fields
    ]
    desk.write(yard.farm, yard.ground.owner.id, drawn, yard.at)
    assert say("en", "pages.no_fields") in owner.get(yard.page("lie_of_the_land")).content.decode()


def test_acres_and_share_are_told_in_round_figures(yard: Farmyard, owner: Client):
    yard.leg(yard.ground.fields[0], "cash", date(2026, 4, 1), "garlic")
    text = owner.get(yard.page("lie_of_the_land")).content.decode()
    # Two squares of 0.002 degrees at 40.1 and 40.11 north: 9.36 acres each, see test_field.
    assert say("en", "pages.land_sum", count=2, acres="18.7", cash="9.4", share="50") in text


def test_a_late_job_comes_first_in_red_with_its_day(yard: Farmyard, owner: Client, now):
    upper, long_acre = yard.ground.fields
    yard.leg(upper, "smother", date(2026, 4, 1), "sorghum-sudan")
    yard.leg(long_acre, "hay", date(2025, 4, 1), "timothy")
    for field in (long_acre, upper):
        yard.cover_round(field, ["44"] * 10, "few", at=days_before(yard.at, 10))
    page = owner.get(yard.page("lie_of_the_land"))
    lines = page.context["lie"].lines
    assert lines[0].field.name == "Upper Rest"
    assert lines[0].due.job == "mow"
    assert lines[0].late_days > 0
    text = page.content.decode()
    assert '<span class="last wrong">' in text
    assert say("en", "pages.late_job", job="Mow", count=lines[0].late_days) in text


def test_what_may_begin_only_later_comes_last(yard: Farmyard, owner: Client):
    lines = owner.get(yard.page("lie_of_the_land")).context["lie"].lines
    later = [one.later for one in lines]
    assert later == sorted(later)


def test_a_ribbon_holds_each_leg_where_it_was():
    on = scale(TODAY)
    legs = [
        Leg("leaf", date(2021, 10, 1), None, (), ""),
        Leg("hay", date(2023, 1, 1), "timothy", (), ""),
    ]
    leaf, hay, plan = ribbon(legs, [(2027, "cash", "garlic")], on)
    assert (leaf.left, leaf.cut) == (0.0, True)
    assert leaf.left + leaf.width == pytest.approx(hay.left)
    assert hay.left == pytest.approx(10.0, abs=0.05)
    assert hay.left + hay.width == pytest.approx(50.0, abs=0.05)
    assert (plan.leg, plan.planned) == ("cash", True)
    assert plan.left == pytest.approx(50.0, abs=0.05)


def test_a_plan_stands_on_the_ribbon_with_its_word(yard: Farmyard, owner: Client):
    plan = Plan(fresh_id(), "ten years", ((2027, "cash", "garlic"), (2028, "leaf", ""), (2029, "leaf", "")))
    yard.write(plan, field=yard.ground.fields[0], by=yard.ground.owner)
    spans = next(
        one.spans
        for one in owner.get(yard.page("lie_of_the_land")).context["lie"].lines
        if one.field.id == yard.ground.fields[0]
    )
    assert [(one.leg, one.word, one.planned) for one in spans] == [
        ("cash", "garlic", True),
        ("leaf", "", True),
    ]
    assert spans[1].width == pytest.approx(20.0, abs=0.1)


def test_crops_are_told_in_the_persons_language(yard: Farmyard):
    yard.leg(yard.ground.fields[0], "cash", date(2026, 4, 1), "winter squash")
    yard.leg(yard.ground.fields[1], "hay", date(2026, 4, 1), "somebody's own mix")
    change_person(yard.ground.owner, language="es")
    text = signed_in(yard.ground.owner).get(yard.page("lie_of_the_land")).content.decode()
    assert "calabaza de invierno" in text
    assert "somebody&#x27;s own mix" in text
    assert "lunes 1 de junio de 2026" in text
    assert 'lang="es"' in text


def test_a_name_that_is_a_script_is_told_and_not_run(yard: Farmyard, owner: Client):
    body = land_body(yard.ground.fields[0], "<script>alert(1)</script>", square("40.1", "-75.1"), version=2)
    desk.write(yard.farm, yard.ground.owner.id, [Draft(body, field=yard.ground.fields[0])], yard.at)
    text = owner.get(yard.page("lie_of_the_land")).content.decode()
    assert "<script>" not in text
    assert "&lt;script&gt;alert(1)" in text


def test_a_page_takes_nothing_from_outside_the_server(yard: Farmyard, owner: Client):
    text = owner.get(yard.page("lie_of_the_land")).content.decode()
    assert "http://" not in text
    assert "https://" not in text


@pytest.mark.parametrize("fields", [2, 40])
def test_more_fields_ask_the_database_no_more_often(
    fields, yard: Farmyard, owner: Client, django_assert_max_num_queries
):
    new = [fresh_id() for _ in range(fields - 2)]
    drawn = [Draft(land_body(one, f"Field {n}", None), field=one) for n, one in enumerate(new)]
    if drawn:
        desk.write(yard.farm, yard.ground.owner.id, drawn, yard.at)
    hay = LegChange("hay", date(2025, 4, 1), "as it stands", "timothy")
    yard.write_all([yard.draft(hay, field=one) for one in (*new, *yard.ground.fields)])
    owner.get(yard.page("lie_of_the_land"))
    with django_assert_max_num_queries(30):
        assert owner.get(yard.page("lie_of_the_land")).status_code == 200


def test_the_days_dues_are_made_when_the_page_is_the_first_to_ask(yard: Farmyard, owner: Client, now):
    first_of_day(yard.ground.fresh(), now())
    now.forward(days=1)
    owner.get(yard.page("lie_of_the_land"))
    assert yard.ground.fresh().dues_on == TODAY + timedelta(days=1)
