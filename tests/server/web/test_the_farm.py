"""The farm's own pages: people, links, phones, towns, sheets, days."""

from __future__ import annotations

import re
from datetime import date
from decimal import Decimal

import pytest
import segno
from django.test import Client
from django.urls import reverse

from mobile.actions.join import read_square
from server.land import reads as land
from server.people import slips, writes
from server.people.models import Person, Phone, SignIn
from server.status import reads as status
from shared.languages import say
from shared.words.person import digits_hash
from tests.server.ground import HandPhone, enrol
from tests.server.web.farmyard import Farmyard, signed_in

HAND = {"name": "Cato Vale", "initials": "", "role": "crew", "language": "es", "digits": "0417"}


def text_of(answer) -> str:
    return answer.content.decode().replace("&#x27;", "'")


def add(owner: Client, yard: Farmyard, **more: str) -> Person:
    owner.post(yard.page("people"), HAND | more)
    return Person.objects.get(farm_id=yard.farm, name=more.get("name", HAND["name"]))


def test_somebody_new_is_on_the_farm_with_digits_and_language(yard: Farmyard, owner: Client):
    person = add(owner, yard)
    assert (person.initials, person.role, person.language) == ("CV", "crew", "es")
    assert person.digits == digits_hash(person.id, "0417")


@pytest.mark.parametrize(
    ("field", "value", "wrong"),
    [
        ("name", "", "missing"),
        ("name", "x" * 151, "too_long"),
        ("role", "king", "choice"),
        ("language", "fr", "choice"),
        ("digits", "12", "digits"),
        ("digits", "12a4", "digits"),
        ("digits", "١٢٣٤", "digits"),
    ],
)
def test_what_can_not_be_used_is_told_at_its_field_and_stays(
    yard: Farmyard, owner: Client, field, value, wrong
):
    answer = owner.post(yard.page("people"), HAND | {field: value})
    assert answer.status_code == 400
    assert say("en", f"pages.wrong.{wrong}", most=150) in text_of(answer)
    assert field == "name" or 'value="Cato Vale"' in text_of(answer)
    assert not Person.objects.filter(name="Cato Vale").exists()


def test_two_hands_do_not_go_by_the_same_digits(yard: Farmyard, owner: Client):
    add(owner, yard)
    answer = owner.post(yard.page("people"), HAND | {"name": "Dora Finch"})
    assert say("en", "pages.wrong.digits_taken") in text_of(answer)


def test_a_person_keeps_their_own_digits_and_can_be_changed(yard: Farmyard, owner: Client):
    person = add(owner, yard)
    form = HAND | {"role": "tallier", "turn": str(person.turn), "digits": ""}
    owner.post(yard.page("person", person.id), form)
    changed = Person.objects.get(id=person.id)
    assert (changed.role, changed.digits) == ("tallier", person.digits)


def test_a_stale_form_changes_nobody(yard: Farmyard, owner: Client):
    person = add(owner, yard)
    stale = person.turn
    owner.post(yard.page("person", person.id), HAND | {"role": "tallier", "turn": str(stale)})
    answer = owner.post(
        yard.page("person", person.id), HAND | {"role": "reader", "turn": str(stale)}, follow=True
    )
    assert say("en", "refusals.changed_since.detail") in text_of(answer)
    assert Person.objects.get(id=person.id).role == "tallier"


def test_the_last_owner_stays_owner(yard: Farmyard, owner: Client):
    me = yard.ground.owner
    me.refresh_from_db()
    form = HAND | {"name": me.name, "role": "reader", "turn": str(me.turn), "digits": ""}
    answer = owner.post(yard.page("person", me.id), form, follow=True)
    assert say("en", "refusals.last_owner.detail") in text_of(answer)
    owner.post(yard.page("retire", me.id), {"turn": str(me.turn)})
    me.refresh_from_db()
    assert (me.role, me.retired) == ("owner", False)


def test_somebody_leaves_and_comes_back(yard: Farmyard, owner: Client):
    person = add(owner, yard)
    owner.post(yard.page("retire", person.id), {"turn": str(person.turn)})
    person.refresh_from_db()
    assert person.retired
    owner.post(yard.page("retire", person.id), {"turn": str(person.turn), "back": "yes"})
    person.refresh_from_db()
    assert not person.retired


def test_a_link_is_shown_once_and_lets_a_new_manager_in(yard: Farmyard, owner: Client):
    person = add(owner, yard, role="manager")
    answer = owner.post(yard.page("sign_in_link", person.id))
    assert answer["Cache-Control"] == "no-store"
    secret = re.search(r"/sign-in/([\w-]+)/", text_of(answer)).group(1)
    assert secret not in text_of(owner.get(yard.page("person", person.id)))
    assert not SignIn.objects.filter(token_sha=secret).exists()
    client = Client()
    client.post(reverse("sign_in_by_link", args=[secret]))
    assert client.get(yard.page("lie_of_the_land")).status_code == 200
    assert client.get(yard.page("people")).status_code == 403


def test_crew_get_no_link(yard: Farmyard, owner: Client):
    person = add(owner, yard)
    assert owner.post(yard.page("sign_in_link", person.id)).status_code == 404
    assert not SignIn.objects.filter(account__people=person).exists()


def test_a_manager_can_not_make_owners(yard: Farmyard):
    manager = signed_in(yard.hand("Dora Finch", "manager"))
    assert manager.post(yard.page("people"), HAND | {"role": "owner"}).status_code == 403
    assert manager.post(yard.page("sign_in_link", yard.ground.owner.id)).status_code == 403
    assert not Person.objects.filter(name="Cato Vale").exists()


def test_a_name_taken_on_the_server_gets_the_farms_name_beside_it(yard: Farmyard, owner: Client):
    writes.add_account("Cato Vale", yard.at)
    person = add(owner, yard, role="reader")
    owner.post(yard.page("sign_in_link", person.id))
    person.refresh_from_db()
    assert person.account.name == "Cato Vale, Fallow Rise"


def test_ones_own_password_is_set_and_one_stays_signed_in(yard: Farmyard, owner: Client):
    owner.post(yard.page("password"), {"new": "barrow and spade", "again": "barrow and spade"})
    assert owner.get(yard.page("lie_of_the_land")).status_code == 200
    told = {"name": yard.ground.owner.account.name, "password": "barrow and spade"}
    assert Client().post(reverse("sign_in"), told).status_code == 302


@pytest.mark.parametrize(
    ("new", "again", "wrong"),
    [
        ("short", "short", "short"),
        ("barrow and spade", "barrow", "differs"),
        ("Ana Reyes of Fallow Rise",) * 2 + ("is_the_name",),
    ],
)
def test_a_weak_password_is_not_taken(yard: Farmyard, owner: Client, new, again, wrong):
    answer = owner.post(yard.page("password"), {"new": new, "again": again})
    assert answer.status_code == 400
    assert say("en", f"pages.wrong.{wrong}", least=10) in text_of(answer)


def test_a_joining_slip_joins_one_phone(yard: Farmyard, owner: Client, now):
    answer = owner.post(yard.page("joining_slip"))
    code = re.search(r'class="code">([A-Z0-9 ]+)<', text_of(answer)).group(1)
    assert "<svg" in text_of(answer)
    assert enrol(code).status_code == 201
    assert enrol(code, nonce="somebody-else").status_code != 201
    assert answer["Cache-Control"] == "no-store"


def test_the_slips_square_says_address_and_code(yard: Farmyard, owner: Client, monkeypatch):
    made: list[str] = []
    draw = segno.make
    monkeypatch.setattr(segno, "make", lambda text, **how: made.append(text) or draw(text, **how))
    owner.post(yard.page("joining_slip"), headers={"host": "localhost"})
    slip = read_square(made[0])
    assert slips.Slip.objects.filter(code_sha=writes.sha_of(slip.code)).exists()


def test_a_stopped_phone_is_refused_until_it_may_go_on(yard: Farmyard, owner: Client, phone: HandPhone):
    phone.write(field=yard.ground.fields[0])
    owner.post(yard.page("stop_phone", phone.id))
    assert phone.push().status_code == 401
    assert say("en", "pages.phones.go_on") in text_of(owner.get(yard.page("phones")))
    owner.post(yard.page("stop_phone", phone.id), {"go_on": "yes"})
    assert phone.push().status_code == 200


def test_the_desk_is_no_phone_to_stop(yard: Farmyard, owner: Client):
    desk = Phone.objects.get(farm_id=yard.farm, desk=True)
    assert owner.post(yard.page("stop_phone", desk.id)).status_code == 404


def test_a_town_and_a_truck_are_added_and_changed(yard: Farmyard, owner: Client):
    owner.post(yard.page("towns"), {"kind": "town", "name": "Quillham", "season_cap_yd3": "2,500"})
    (town,) = [one for one in land.towns(yard.farm) if one.name == "Quillham"]
    assert town.season_cap_yd3 == Decimal("2500")
    truck = {
        "kind": "truck",
        "name": "Quillham 1",
        "town": str(town.id),
        "bed_yd3": "32.6",
        "packing": "loose",
    }
    owner.post(yard.page("towns"), truck)
    (made,) = [one for one in land.vehicles(yard.farm) if one.label == "Quillham 1"]
    turn = next(one.turn for one in owner.get(yard.page("towns")).context["trucks"] if one.id == made.id)
    again = truck | {"id": str(made.id), "turn": str(turn), "bed_yd3": "30", "retired": "on"}
    owner.post(yard.page("towns"), again)
    (gone,) = [one for one in land.vehicles(yard.farm, retired=True) if one.label == "Quillham 1"]
    assert (gone.bed_yd3, gone.retired) == (Decimal("30"), True)
    stale = owner.post(yard.page("towns"), again | {"bed_yd3": "10"}, follow=True)
    assert say("en", "refusals.changed_since.detail") in text_of(stale)


@pytest.mark.parametrize(
    ("field", "value", "wrong"),
    [
        ("bed_yd3", "two", "number"),
        ("bed_yd3", "0", "range"),
        ("bed_yd3", "NaN", "number"),
        ("town", "x", "choice"),
    ],
)
def test_a_truck_that_can_not_be_is_told(yard: Farmyard, owner: Client, field, value, wrong):
    form = {"kind": "truck", "name": "T", "town": str(yard.town), "bed_yd3": "20", "packing": "loose"}
    answer = owner.post(yard.page("towns"), form | {field: value})
    assert answer.status_code == 400
    assert say("en", f"pages.wrong.{wrong}", low=1, high=150) in text_of(answer)


def test_a_sheet_is_put_in_force_by_an_entry_with_its_reason(yard: Farmyard, owner: Client):
    form = {"sheet": "new_jersey", "in_force": "yes", "starts_on": "2026-06-01", "why": "the county asks"}
    owner.post(yard.page("sheets"), form)
    assert [one.name for one in land.sheets_in_force(yard.farm)] == ["new_jersey"]
    answer = owner.post(yard.page("sheets"), form | {"in_force": "no", "why": ""})
    assert answer.status_code == 400
    assert [one.name for one in land.sheets_in_force(yard.farm)] == ["new_jersey"]


def test_the_date_of_the_next_season_gives_leaves_a_last_day(yard: Farmyard, owner: Client):
    field = yard.ground.fields[0]
    yard.sheets("new_jersey")
    yard.leg(field, "leaf", date(2026, 4, 1))
    yard.load(field)
    owner.post(yard.page("settings"), {"next_season_on": "2027-04-15", "leaves_from": "", "units": "us"})
    owner.get(yard.page("lie_of_the_land"))
    (due,) = [one for one in status.dues(yard.farm, field) if one.job == "work_in"]
    assert due.last == date(2027, 4, 15) or due.last == date(2027, 4, 14)
    assert owner.post(yard.page("settings"), {"next_season_on": "soon", "units": "us"}).status_code == 400


def test_the_page_of_the_farm_leads_to_all_of_it(yard: Farmyard, owner: Client):
    text = text_of(owner.get(yard.page("the_farm")))
    for name in ("people", "phones", "towns", "sheets", "settings", "password"):
        assert yard.page(name) in text
    reader = text_of(signed_in(yard.hand("Inés Prado", "reader")).get(yard.page("the_farm")))
    assert yard.page("people") not in reader
    assert yard.page("phones") not in reader
