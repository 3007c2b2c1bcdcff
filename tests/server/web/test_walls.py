"""Every address of the pages, for everybody who might ask: a farm's walls, roles and methods.

Each test goes through all addresses, so that a page that is added is held to the same walls at once.
"""

from __future__ import annotations

from collections.abc import Iterator
from uuid import UUID

import pytest
from django.test import Client
from django.urls import reverse

from server.web.urls import urlpatterns
from tests.server.ground import found
from tests.server.web.farmyard import Farmyard, signed_in

NEEDS_NO_FARM = {"first", "sign_in", "sign_in_by_link", "sign_out"}
BY_LINK = {
    *("shown_registers", "shown_register", "shown_file"),
    *("shown_printing", "shown_printing_file", "shown_ask_printing"),
}
"""Addresses outside any farm; each has tests of its own."""


@pytest.fixture
def addresses(yard: Farmyard) -> dict[str, str]:
    """Every address of the farm by name, with things in it that are there."""
    field = yard.ground.fields[0]
    row = yard.load(field)
    known = {
        "field": field,
        "entry": row.entry,
        "round": yard.cover_round(field, ["20", "22"]),
        "name": "leaf_intake",
        "computation": "leaf_depth",
        "person": yard.ground.crew.id,
        "phone": yard.ground.crew.id,
        "ground": field,
        "town": yard.town,
        "hauler": yard.town,
        "truck": yard.truck,
        "link": 1,
        "printing": 1,
        "sketch": UUID(int=0),
        "sha256": "0" * 64,
        "kind": "note",
        "table": "rates",
        "year": 1,  # nobody's: a report of one that is there takes its time, and has tests of its own
    }
    return dict(_addresses(yard, known))


def _addresses(yard: Farmyard, known: dict[str, object]) -> Iterator[tuple[str, str]]:
    for one in urlpatterns:
        if one.name not in NEEDS_NO_FARM | BY_LINK:
            wanted = one.pattern.converters.keys() - {"farm"}
            kwargs = {"farm": yard.farm} | {key: known[key] for key in wanted}
            yield one.name, reverse(one.name, kwargs=kwargs)


def test_nobody_of_another_farm_gets_in(yard: Farmyard, addresses, now):
    stranger = signed_in(found("Thistle Bank", now()).owner)
    before = yard.ground.fresh().number
    for name, path in addresses.items():
        for answer in (stranger.get(path), stranger.post(path)):
            assert answer.status_code in (404, 405), name
            assert b"Fallowdale" not in answer.content, name
            assert b"Upper Rest" not in answer.content, name
    assert yard.ground.fresh().number == before


@pytest.mark.parametrize("role", ["crew", "tallier"])
def test_crew_and_tallier_have_the_phone_and_not_the_desk(role, yard: Farmyard, addresses):
    client = signed_in(yard.hand("Cato Vale", role))
    before = yard.ground.fresh().number
    for name, path in addresses.items():
        assert {client.get(path).status_code, client.post(path).status_code} <= {403, 405}, name
    assert yard.ground.fresh().number == before


def test_a_reader_looks_and_writes_nothing(yard: Farmyard, addresses):
    client = signed_in(yard.hand("Cato Vale", "reader"))
    before = yard.ground.fresh().number
    for name, path in addresses.items():
        assert client.get(path).status_code in (200, 302, 403, 404, 405), name
        assert client.post(path).status_code in (200, 400, 403, 405), name  # 400: an empty password
    assert yard.ground.fresh().number == before


def test_nobody_at_all_is_led_to_the_sign_in(yard: Farmyard, addresses):
    for name, path in addresses.items():
        answer = Client().get(path)
        assert answer.status_code in (302, 405), name
        assert answer.status_code == 405 or answer["Location"].startswith(reverse("sign_in")), name


def test_other_methods_are_refused(yard: Farmyard, addresses):
    owner = signed_in(yard.ground.owner)
    for name, path in addresses.items():
        for method in ("put", "delete", "patch", "options"):
            assert getattr(owner, method)(path).status_code == 405, (name, method)


def test_the_owner_gets_every_page(yard: Farmyard, addresses):
    owner = signed_in(yard.ground.owner)
    for name, path in addresses.items():
        assert owner.get(path).status_code in (200, 302, 404, 405), name
