"""An inspector's link: what it shows, until when, and what is written down of it."""

from __future__ import annotations

import re
from datetime import timedelta

import pytest
from django.test import Client
from django.urls import reverse

from server.registers.models import Opening, ReaderLink
from shared.languages import say
from tests.server.ground import found
from tests.server.web.farmyard import Farmyard, signed_in

YEAR = "?first=2026-01-01&last=2026-12-31"
FORM = {"label": "county inspector", "last_day": "2026-06-10", "language": "en"}


def made(yard: Farmyard, owner: Client, **more: str) -> str:
    answer = owner.post(yard.page("reader_links"), FORM | more)
    found = re.search(r"/shown/([\w-]+)/", answer.content.decode())
    assert found is not None
    assert answer["Cache-Control"] == "no-store"
    return found.group(1)


def test_a_link_shows_every_register_to_somebody_not_signed_in(yard: Farmyard, owner: Client):
    yard.loads(2, yard.ground.fields[0])
    token, inspector = made(yard, owner), Client()
    assert inspector.get(reverse("shown_registers", args=[token])).status_code == 200
    page = inspector.get(reverse("shown_register", args=[token, "leaf_intake"]) + YEAR)
    assert "26-0001" in page.content.decode()
    for kind in ("csv", "xlsx", "pdf"):
        assert (
            inspector.get(reverse("shown_file", args=[token, "leaf_intake", kind]) + YEAR).status_code == 200
        )
    assert inspector.get(reverse("shown_file", args=[token, "leaf_intake", "exe"])).status_code == 404
    assert inspector.get(reverse("shown_register", args=[token, "made-up"])).status_code == 404


def test_a_link_opens_nothing_but_registers(yard: Farmyard, owner: Client):
    yard.load(yard.ground.fields[0])
    token, inspector = made(yard, owner), Client()
    text = inspector.get(reverse("shown_register", args=[token, "leaf_intake"]) + YEAR).content.decode()
    assert "/farm/" not in text
    assert "/entry/" not in text
    assert inspector.get(yard.page("registers")).status_code == 302
    for method in ("post", "put", "delete", "patch"):
        assert getattr(inspector, method)(reverse("shown_registers", args=[token])).status_code == 405


def test_each_opening_is_written_down_before_anything_is_shown(yard: Farmyard, owner: Client, now):
    token, inspector = made(yard, owner), Client(REMOTE_ADDR="203.0.113.7")
    inspector.get(reverse("shown_registers", args=[token]))
    now.forward(minutes=5)
    inspector.get(reverse("shown_register", args=[token, "leaf_intake"]))
    inspector.get(reverse("shown_file", args=[token, "leaf_intake", "csv"]))
    told = [(one.what, one.address) for one in Opening.objects.order_by("id")]
    assert told == [
        ("", "203.0.113.7"),
        ("leaf_intake", "203.0.113.7"),
        ("leaf_intake.csv", "203.0.113.7"),
    ]
    text = owner.get(yard.page("reader_links")).content.decode()
    assert say("en", "pages.links.times", count=3, at="08:05") in text


def test_a_link_is_good_through_its_last_day_by_the_farms_clock_and_no_longer(
    yard: Farmyard, owner: Client, now
):
    token, inspector = made(yard, owner), Client()
    end = ReaderLink.objects.get().ends_at
    assert end.isoformat() == "2026-06-11T04:00:00+00:00"
    now.at = end - timedelta(seconds=1)
    assert inspector.get(reverse("shown_registers", args=[token])).status_code == 200
    now.at = end
    for name, more in (("shown_registers", []), ("shown_register", ["leaf_intake"])):
        assert inspector.get(reverse(name, args=[token, *more])).status_code == 410
    assert Opening.objects.count() == 1


def test_a_stopped_link_shows_nothing_more(yard: Farmyard, owner: Client):
    token, inspector = made(yard, owner), Client()
    link = ReaderLink.objects.get()
    owner.post(yard.page("stop_link", link.id))
    assert inspector.get(reverse("shown_registers", args=[token])).status_code == 410
    assert owner.post(yard.page("stop_link", link.id)).status_code == 404


def test_a_link_that_never_was_shows_nothing(yard: Farmyard):
    answer = Client().get(reverse("shown_registers", args=["x" * 43]))
    assert answer.status_code == 410
    assert b"Fallow" not in answer.content


def test_the_secret_is_kept_nowhere(yard: Farmyard, owner: Client):
    token = made(yard, owner)
    assert token not in owner.get(yard.page("reader_links")).content.decode()
    assert token not in str(list(ReaderLink.objects.values()))


@pytest.mark.parametrize("last_day", ["", "soon", "2026-05-31", "2027-06-03"])
def test_a_link_ends_within_a_year(yard: Farmyard, owner: Client, last_day):
    assert owner.post(yard.page("reader_links"), FORM | {"last_day": last_day}).status_code == 400
    assert not ReaderLink.objects.exists()


def test_another_farms_manager_does_not_stop_it(yard: Farmyard, owner: Client, now):
    made(yard, owner)
    link = ReaderLink.objects.get()
    other = found("Thistle Bank", now())
    stranger = signed_in(other.owner)
    assert stranger.post(reverse("stop_link", args=[other.farm.id, link.id])).status_code == 404
    assert stranger.post(yard.page("stop_link", link.id)).status_code == 404
    assert ReaderLink.objects.get().stopped_at is None


def test_the_link_speaks_its_own_language(yard: Farmyard, owner: Client):
    token = made(yard, owner, language="es")
    text = Client().get(reverse("shown_registers", args=[token])).content.decode()
    assert say("es", "registers.leaf_intake.title") in text
    assert 'lang="es"' in text


def test_a_reader_makes_no_links(yard: Farmyard):
    reader = signed_in(yard.hand("Inés Prado", "reader"))
    assert reader.post(yard.page("reader_links"), FORM).status_code == 403
    assert yard.page("reader_links") not in reader.get(yard.page("registers")).content.decode()
