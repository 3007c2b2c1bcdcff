"""The second step at signing in, for those who want it: figures are good once; an owner's link is the way back."""

from __future__ import annotations

import re

import pytest
from django.test import Client
from django.urls import reverse
from django_otp.oath import totp
from django_otp.plugins.otp_totp.models import TOTPDevice

from server.people import writes
from server.people.models import Account
from shared.languages import say
from tests.server.web.farmyard import Farmyard

PASSWORD = "rye and vetch 9"


def figures(account: Account, drift: int = 0) -> str:
    return f"{totp(TOTPDevice.objects.get(user=account).bin_key, drift=drift):06d}"


@pytest.fixture
def account(yard: Farmyard) -> Account:
    writes.set_password(yard.ground.owner.account, PASSWORD)
    return yard.ground.owner.account


@pytest.fixture
def owner(account: Account, owner: Client) -> Client:
    owner.force_login(account, backend="django.contrib.auth.backends.ModelBackend")
    return owner


def turned_on(yard: Farmyard, owner: Client, account: Account) -> None:
    page = owner.post(yard.page("second_step"), {"what": "start"})
    key = re.search(r'class="secret">([A-Z2-7 ]+)<', page.content.decode())
    assert key is not None
    done = owner.post(yard.page("second_step"), {"what": "on", "figures": figures(account)}, follow=True)
    assert say("en", "second_step.turned_on") in done.content.decode()


def asked(account: Account) -> tuple[Client, str]:
    """A browser in which the password was right."""
    client = Client()
    page = client.post(reverse("sign_in"), {"name": account.name, "password": PASSWORD})
    return client, page.content.decode()


def test_the_password_alone_lets_nobody_in_once_it_is_on_and_the_next_figures_do(
    yard: Farmyard, owner, account
):
    turned_on(yard, owner, account)
    client, text = asked(account)
    assert say("en", "second_step.asked") in text
    assert client.get(yard.page("the_farm")).status_code == 302
    answer = client.post(
        reverse("sign_in"), {"figures": figures(account, drift=1), "next": yard.page("papers")}
    )
    assert (answer.status_code, answer["Location"]) == (302, yard.page("papers"))
    assert client.get(yard.page("the_farm")).status_code == 200


def test_figures_that_were_used_or_are_wrong_let_nobody_in(yard: Farmyard, owner, account):
    turned_on(yard, owner, account)
    used = figures(account)
    client, _ = asked(account)
    for wrong in (used, "000000x", ""):
        assert client.post(reverse("sign_in"), {"figures": wrong}).status_code == 403
    assert client.get(yard.page("the_farm")).status_code == 302
    stranger = Client()
    assert stranger.post(reverse("sign_in"), {"figures": figures(account, drift=1)}).status_code == 403


def test_the_right_password_is_not_half_a_sign_in_for_ever(yard: Farmyard, owner, account, now):
    turned_on(yard, owner, account)
    client, _ = asked(account)
    now.forward(minutes=6)
    assert client.post(reverse("sign_in"), {"figures": figures(account, drift=1)}).status_code == 403


def test_an_owners_link_is_the_way_back(yard: Farmyard, owner, account, now):
    turned_on(yard, owner, account)
    client = Client()
    client.post(reverse("sign_in_by_link", args=[writes.sign_in_token(account, now())]))
    assert client.get(yard.page("the_farm")).status_code == 200


def test_it_is_set_up_and_taken_away_only_with_the_right_figures(yard: Farmyard, owner, account):
    owner.post(yard.page("second_step"), {"what": "start"})
    assert owner.post(yard.page("second_step"), {"what": "on", "figures": "123"}).status_code == 400
    client, _ = asked(account)
    assert client.get(yard.page("the_farm")).status_code == 200, "it is not on before it was confirmed"
    TOTPDevice.objects.all().delete()
    turned_on(yard, owner, account)
    assert owner.post(yard.page("second_step"), {"what": "off", "figures": "123"}).status_code == 400
    TOTPDevice.objects.update(throttling_failure_timestamp=None, throttling_failure_count=0)
    done = owner.post(
        yard.page("second_step"), {"what": "off", "figures": figures(account, drift=1)}, follow=True
    )
    assert say("en", "second_step.turned_off") in done.content.decode()
    client, _ = asked(account)
    assert client.get(yard.page("the_farm")).status_code == 200
