"""Fertilizer and lime at the desk: the tables typed, pasted, corrected and ended; the need of a field's next crop."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

import pytest
from django.test import Client

from server.ahead import fertilizer_rows as kept
from server.ahead.fertilizer import bought_for, farm_fertilizer
from server.ahead.models import FertilizerRow
from server.people.ids import new_id
from server.registers.laboratory import Answer, keep
from server.status import reads as status
from shared.ahead.fertilizer_amount import NONE, Amount, exactly
from shared.words.bodies.desk import Plan
from shared.words.bodies.work import Work
from tests.server.web.farmyard import Farmyard, signed_in

RATE = {"crop": "cabbage", "nutrient": "N", "amount": "130", "source": "sheet 3", "dated": "2026-01-15"}
LAB, METHOD = "Thornfield Laboratory", "Mehlich 3"
PASTED = f"""crop,nutrient,lab,method,level,amount,source,dated
cabbage,N,,,,130,sheet 3,2026-01-15
cabbage,P2O5,{LAB},{METHOD},medium,90,sheet 3,2026-01-15
cabbage,K2O,{LAB},{METHOD},medium,110,sheet 3,2026-01-15
cabbage,pH,,,,6.5,sheet 3,2026-01-15
"""
LEVELS = f"""lab,method,nutrient,unit,word,starts_at,enough,source,dated
{LAB},{METHOD},P,ppm,medium,20,,its report,2026-01-15
{LAB},{METHOD},P,ppm,excessive,100,yes,its report,2026-01-15
{LAB},{METHOD},K,ppm,medium,50,,its report,2026-01-15
"""
MATERIALS = """name,n_pct,p2o5_pct,k2o_pct,bag_lb,price,source,dated
urea,46,0,0,50,27.50,list,2026-03-01
phosphate,0,46,0,50,34,list,2026-03-01
potash,0,0,60,50,26,list,2026-03-01
"""
LIMES = "name,cce_pct,fineness_pct,price,source,dated\nquarry lime,90,80,46,list,2026-03-01\n"


def page(yard: Farmyard, table: str) -> str:
    return f"{yard.page('fertilizer')}{table}/"


def paste(yard: Farmyard, owner: Client, table: str, text: str) -> int:
    return owner.post(page(yard, table), {"do": "paste", "text": text}).status_code


def standing(yard: Farmyard, table: str = "rates") -> list[dict[str, str]]:
    return [one.values for one in kept.listed(yard.farm, table) if one.ended_at is None]


@pytest.fixture
def typed(yard: Farmyard, owner: Client) -> Farmyard:
    tables = (("rates", PASTED), ("levels", LEVELS), ("materials", MATERIALS), ("limes", LIMES))
    assert [paste(yard, owner, *one) for one in tables] == [302] * 4
    return yard


def lab_test(yard: Farmyard, p: str = "40", lime: str = "1.5") -> None:
    """A soil test of the first field two weeks ago."""
    values = (("P", Decimal(p), "ppm"), ("K", Decimal(60), "ppm"), ("lime", Decimal(lime), "tons/ac"))
    on = yard.at.date() - timedelta(days=14)
    told = Answer(yard.ground.fields[0], on, "soil", LAB, METHOD, values, None, Decimal(0), Decimal(6))
    keep(yard.ground.fresh(), yard.ground.owner.id, [told], yard.at)


def planned(yard: Farmyard, crop: str = "cabbage") -> None:
    years = ((yard.at.year + 1, "cash", crop),)
    yard.write(Plan(new_id(yard.at), "plan", years), field=yard.ground.fields[0])


def need(yard: Farmyard):
    (one,) = farm_fertilizer(yard.farm, yard.at.date()).coming
    return one


def test_a_row_is_typed_corrected_and_ended_and_none_of_it_is_lost(yard: Farmyard, owner: Client):
    assert owner.post(page(yard, "rates"), RATE).status_code == 302
    (first,) = kept.listed(yard.farm, "rates")
    owner.post(page(yard, "rates"), RATE)
    assert len(standing(yard)) == 1
    owner.post(page(yard, "rates"), RATE | {"row": first.id, "amount": "140", "why": "misread"})
    assert [one["amount"] for one in standing(yard)] == ["140"]
    again = owner.post(page(yard, "rates"), RATE | {"row": first.id, "amount": "150"}, follow=True)
    assert "already" in again.content.decode()
    second = kept.listed(yard.farm, "rates")[0]
    assert second.corrects == first.id
    owner.post(page(yard, "rates"), {"do": "end", "row": second.id, "why": "a new sheet"})
    assert standing(yard) == []
    shown = owner.get(page(yard, "rates")).content.decode()
    assert all(word in shown for word in ("misread", "a new sheet"))
    assert FertilizerRow.objects.filter(farm_id=yard.farm).count() == 2


def test_what_is_wrong_is_told_at_its_field_and_line_and_nothing_is_written(yard: Farmyard, owner: Client):
    wrong = owner.post(page(yard, "rates"), RATE | {"amount": "lots"})
    assert wrong.status_code == 400
    assert 'aria-describedby="w-amount"' in wrong.content.decode()
    assert 'value="lots"' in wrong.content.decode()
    answer = owner.post(page(yard, "rates"), {"do": "paste", "text": PASTED + "kale,N,,,,lots,,soon\n"})
    told = answer.content.decode()
    assert answer.status_code == 400
    assert told.count("Line 6") == 3
    assert "kale,N" in told
    assert standing(yard) == []


def test_many_are_pasted_once(typed: Farmyard, owner: Client):
    assert len(standing(typed)) == 4
    assert paste(typed, owner, "rates", PASTED) == 302
    assert len(standing(typed)) == 4


def test_a_reader_reads_and_writes_no_row_and_another_farm_sees_none(typed: Farmyard):
    reader = signed_in(typed.hand("Cato Vale", "reader"))
    assert "sheet 3" in reader.get(page(typed, "rates")).content.decode()
    assert (
        "<form" not in reader.get(page(typed, "rates")).content.decode().split("<main")[1].split("</main")[0]
    )
    assert reader.post(page(typed, "rates"), RATE | {"amount": "1"}).status_code == 403
    assert len(standing(typed)) == 4
    assert reader.get(page(typed, "no-such")).status_code == 404


def test_a_field_with_a_test_a_plan_and_the_tables_has_its_need_bags_and_money(
    typed: Farmyard, owner: Client
):
    planned(typed)
    lab_test(typed)
    one = need(typed)
    assert [each.need for each in one.nutrients.values()] == [exactly(130.0), exactly(90.0), exactly(110.0)]
    bags = bought_for(one, farm_fertilizer(typed.farm, typed.at.date()).tables)
    assert all(bags.most.brings[n] >= one.of_field(n).high - 1e-5 for n in one.nutrients)
    assert bags.saved == Amount(0.0, 0.0)
    shown = owner.get(typed.page("fertilizer")).content.decode()
    for word in (
        "Follow a soil test",
        "bags of urea",
        "P 40 ppm is medium there",
        "1.5 tons an acre",
        "quarry lime",
    ):
        assert word in shown
    spanish = signed_in(typed.hand("Luz Prado", "manager", language="es"))
    assert "Siga un análisis de suelo" in spanish.get(typed.page("fertilizer")).content.decode()


def test_hay_since_the_test_adds_potash_and_what_was_spread_lessens_it(typed: Farmyard):
    planned(typed)
    lab_test(typed)
    field, on = typed.ground.fields[0], typed.at.date()
    acres = need(typed).acres
    bales = Work("bale", bales=int(acres * 100), bale_lb=Decimal(20))
    potash = Work("fertilize", material_lb_per_ac=Decimal(50), k2o_pct=Decimal(60))
    typed.write_all([typed.draft(one, field=field, done_at=on) for one in (bales, potash)])
    tons = int(acres * 100) * 20 / 2000 / acres
    found = need(typed).nutrients["K2O"].need
    assert (found.low, found.high) == pytest.approx((110 + 49 * tons - 30, 110 + 50 * tons - 30))


def test_excessive_phosphorus_calls_for_none_and_says_why(typed: Farmyard, owner: Client):
    planned(typed)
    lab_test(typed, p="140")
    assert need(typed).nutrients["P2O5"].need == NONE
    assert "None is called for" in owner.get(typed.page("fertilizer")).content.decode()


def test_gaps_are_said_and_no_figure_is_made_up(yard: Farmyard, owner: Client):
    planned(yard, "kale")
    yard.write(Work("cut_hay"), field=yard.ground.fields[0], done_at=yard.at.date())
    assert {one.key for one in need(yard).gaps} == {"no_crop"}
    paste(yard, owner, "rates", PASTED.replace("cabbage", "kale"))
    assert {one.key for one in need(yard).gaps} == {"no_test"}
    lab_test(yard)
    assert {one.key for one in need(yard).gaps} == {"no_level", "no_bales"}
    shown = owner.get(yard.page("fertilizer"))
    assert shown.status_code == 200
    assert "type its levels" in shown.content.decode()


def test_any_crop_of_the_table_can_be_wondered_about(typed: Farmyard, owner: Client):
    lab_test(typed)
    field = typed.ground.fields[0]
    asked = owner.get(typed.page("fertilizer"), {"field": field, "crop": "cabbage"})
    assert "Still called for" in asked.content.decode()
    for wrong in (
        {"field": field, "crop": "okra"},
        {"field": "x", "crop": "cabbage"},
        {"field": field, "crop": "a\0"},
    ):
        assert owner.get(typed.page("fertilizer"), wrong).status_code == 400


def test_lime_is_due_by_the_test_until_it_is_spread(typed: Farmyard, owner: Client):
    lab_test(typed)
    field = typed.ground.fields[0]
    (one,) = [due for due in status.dues(typed.farm, field) if due.job == "lime"]
    assert one.facts["pounds"] == "3000"
    typed.write(Work("lime", material_lb_per_ac=Decimal(3000)), field=field, done_at=typed.at.date())
    assert [due for due in status.dues(typed.farm, field) if due.job == "lime"] == []
    (need_of,) = farm_fertilizer(typed.farm, typed.at.date()).lime
    assert need_of.spread_on == typed.at.date()
    assert "since the sample" in owner.get(typed.page("fertilizer")).content.decode()


def test_over_the_rotation_what_is_measured_stands_apart_from_what_is_modelled(typed: Farmyard):
    lab_test(typed)
    field, year = typed.ground.fields[0], typed.at.year
    legs = ((year + 1, "hay", "timothy"), (year + 2, "hay", "timothy"), (year + 3, "cash", "cabbage"))
    typed.write(Plan(new_id(typed.at), "plan", legs), field=field)
    acres = farm_fertilizer(typed.farm, typed.at.date()).needs[0].acres
    typed.write(
        Work("bale", bales=int(acres * 100), bale_lb=Decimal(20)), field=field, done_at=typed.at.date()
    )
    found = farm_fertilizer(typed.farm, typed.at.date())
    whole = found.whole
    assert (whole.first, whole.last, whole.whole) == (year + 3, year + 3, True)
    assert whole.modelled["K2O"].high == pytest.approx(2 * whole.measured["K2O"].high)
    assert whole.measured["K2O"].high < 0
    ((line, bought),) = found.bought_by_year
    assert bought.saved.high < 0
    assert line.spared["K2O"].low == pytest.approx(whole.measured["K2O"].low + whole.modelled["K2O"].low)


def test_a_field_without_a_day_in_the_plan_is_named(typed: Farmyard):
    found = farm_fertilizer(typed.farm, date(2026, 7, 1))
    assert found.needs == ()
    assert found.whole is None
    assert "Upper Rest" in found.fields_without
