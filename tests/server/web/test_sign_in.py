"""Signing in, and who is let in where."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.test import Client
from django.urls import reverse

from server.people import writes
from shared.languages import say
from tests.server.web.farmyard import Farmyard, signed_in

ELSEWHERE = (
    "https://elsewhere.example/",
    "//elsewhere.example/",
    "/\\elsewhere.example",
    "javascript:alert(1)",
    "https:elsewhere.example",
)


def link(yard, now):
    return reverse("sign_in_by_link", args=[writes.sign_in_token(yard.ground.owner.account, now())])


def test_a_link_signs_in_once(yard: Farmyard, now):
    address = link(yard, now)
    first, second = Client(), Client()
    assert first.post(address).status_code == 302
    assert first.get(yard.page("lie_of_the_land")).status_code == 200
    assert second.post(address).status_code == 410
    assert second.get(yard.page("lie_of_the_land")).status_code == 302


def test_looking_at_a_link_does_not_use_it_up(yard: Farmyard, now):
    address = link(yard, now)
    assert Client().get(address).status_code == 200
    assert Client().head(address).status_code == 200
    assert Client().post(address).status_code == 302


def test_a_link_of_yesterday_signs_nobody_in(yard: Farmyard, now):
    address = link(yard, now)
    now.forward(hours=24, seconds=1)
    assert Client().post(address).status_code == 410


def test_a_link_that_never_was_signs_nobody_in(yard: Farmyard):
    assert Client().post(reverse("sign_in_by_link", args=["x" * 43])).status_code == 410


def test_name_and_password_sign_in(yard: Farmyard):
    account = yard.ground.owner.account
    writes.set_password(account, "barrow and spade")
    client = Client()
    answer = client.post(reverse("sign_in"), {"name": account.name, "password": "barrow and spade"})
    assert answer.status_code == 302
    assert client.get(yard.page("lie_of_the_land")).status_code == 200


def test_a_wrong_password_is_told_and_the_name_stays_in_the_form(yard: Farmyard):
    answer = Client().post(reverse("sign_in"), {"name": "Ana <b>", "password": "no"})
    assert answer.status_code == 403
    text = answer.content.decode()
    assert say("en", "pages.sign_in.wrong") in text
    assert 'value="Ana &lt;b&gt;"' in text


def test_somebody_not_signed_in_is_brought_back_to_the_page_after(yard: Farmyard):
    account = yard.ground.owner.account
    writes.set_password(account, "barrow and spade")
    wanted = yard.page("evening_reading") + "?day=2026-05-01"
    client = Client()
    sent = client.get(wanted)
    assert sent.status_code == 302
    form = client.get(sent["Location"]).context["next"]
    answer = client.post(
        reverse("sign_in"), {"name": account.name, "password": "barrow and spade", "next": form}
    )
    assert answer["Location"] == wanted


@pytest.mark.parametrize("address", ELSEWHERE)
def test_nobody_is_sent_elsewhere_after_signing_in(yard: Farmyard, address):
    account = yard.ground.owner.account
    writes.set_password(account, "barrow and spade")
    told = {"name": account.name, "password": "barrow and spade", "next": address}
    assert Client().post(reverse("sign_in"), told)["Location"] == "/"


def test_signing_out_takes_a_form(yard: Farmyard, owner: Client):
    assert owner.get(reverse("sign_out")).status_code == 405
    assert owner.get(yard.page("lie_of_the_land")).status_code == 200
    owner.post(reverse("sign_out"))
    assert owner.get(yard.page("lie_of_the_land")).status_code == 302


def test_a_form_of_somebody_signed_out_meanwhile_is_told_so(yard: Farmyard):
    answer = Client().post(yard.page("initial_the_rest"), {"day": "2026-06-01"})
    assert answer.status_code == 403
    assert say("en", "refusals.signed_out.title") in answer.content.decode()


def test_a_form_without_its_token_writes_nothing(yard: Farmyard):
    yard.load(yard.ground.fields[0])
    strict = Client(enforce_csrf_checks=True)
    strict.force_login(yard.ground.owner.account, backend="django.contrib.auth.backends.ModelBackend")
    number = yard.ground.fresh().number
    answer = strict.post(yard.page("initial_the_rest"), {"day": "2026-06-01"})
    assert answer.status_code == 403
    assert say("en", "refusals.stale_form.title") in answer.content.decode()
    assert yard.ground.fresh().number == number


def test_an_account_that_is_closed_sees_nothing(yard: Farmyard, owner: Client):
    account = yard.ground.owner.account
    account.is_active = False
    account.save()
    assert owner.get(yard.page("lie_of_the_land")).status_code in (302, 404)


def test_a_retired_hand_sees_nothing(yard: Farmyard):
    reader = yard.hand("Cato Vale", "reader")
    client = signed_in(reader)
    assert client.get(yard.page("registers")).status_code == 200
    writes.change_person(reader, retired=True)
    assert client.get(yard.page("registers")).status_code == 404


def test_the_browsers_language_tells_the_sign_in(yard: Farmyard):
    text = Client(headers={"Accept-Language": "es-MX,es"}).get(reverse("sign_in")).content.decode()
    assert say("es", "pages.sign_in.password") in text


def test_a_link_lasts_a_day(yard: Farmyard, now):
    address = link(yard, now)
    now.forward(hours=23)
    assert Client().post(address).status_code == 302
    assert timedelta(hours=24) == writes.LINK_LASTS
