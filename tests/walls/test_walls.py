"""Every address of the server against everybody who has no business there (I16, W5).

The addresses are those that the URL resolver has: one that is added is either within a farm, and then held to that
farm's wall here at once, or it fails the first test until somebody has said who may see it.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any
from uuid import UUID

import pytest
from django.test import Client
from django.urls import URLPattern, get_resolver

from server.people import tokens
from server.people.models import Phone
from tests.server.conftest import Clock
from tests.server.ground import Ground, HandPhone, found, fresh_id, outcomes
from tests.server.web.farmyard import Farmyard, signed_in

pytestmark = pytest.mark.django_db
API = "api/v1/"
API_FOR_ANYBODY = {"hello", "enrol"}
API_FOR_PHONES = {"enrol-again", "token", "entries", "changes", "book", "photos", "photo"}
API_FOR_PROGRAMS = {"read-fields", "read-registers", "read-register"}
"""For a program of the farm's own, by a token that writes nothing."""
PAGES_OF_NO_FARM = {"first", "sign_in", "sign_in_by_link", "sign_out"}
"""They say nothing of any farm to somebody who is not signed in."""
PAGES_BY_LINK = {
    *("shown_registers", "shown_register", "shown_file"),
    *("shown_printing", "shown_printing_file", "shown_ask_printing"),
}
"""For whoever holds a link that was given to them: without it they are not there."""
METHODS = ("get", "head", "post", "put", "patch", "delete")
SECRETS = (b"Upper Rest", b"Long Acre", b"Fallowdale", b"Beto Luna", b"Ana Reyes")
"""What only people of the farm know."""


@dataclass(frozen=True, slots=True)
class Address:
    """One address: the name that it goes by, the path with things in it that are there, whether a farm's own."""

    name: str
    path: str
    within_farm: bool

    @property
    def is_api(self) -> bool:
        return self.path.startswith("/" + API)


def every_pattern(patterns: Any, before: str = "") -> Iterator[tuple[str, URLPattern]]:
    for one in patterns:
        if isinstance(one, URLPattern):
            yield before, one
        else:
            yield from every_pattern(one.url_patterns, before + str(one.pattern))


def every_address(known: dict[str, Any]) -> list[Address]:
    return [
        Address(one.name, "/" + before + _filled(one, known), "farm" in one.pattern.converters)
        for before, one in every_pattern(get_resolver().url_patterns)
        if one.name is not None
    ]


def _filled(one: URLPattern, known: dict[str, Any]) -> str:
    """The path with a value of the right form in each place: one that is there, where it is known."""
    path = str(one.pattern)
    for key, converter in one.pattern.converters.items():
        kind = type(converter).__name__.removesuffix("Converter").lower()
        made = {"uuid": fresh_id(), "int": 1, "slug": "thing", "string": "nothing", "path": "a/b"}[kind]
        marks = ("str", "string") if kind == "string" else (kind,)
        for mark in marks:
            path = path.replace(f"<{mark}:{key}>", str(known.get(key, made)))
    return path.replace("(?P<sha256>[0-9a-f]{64})/?$", f"{'0' * 64}/")


@pytest.fixture
def yard(ground: Ground, now: Clock) -> Farmyard:
    return Farmyard.of(ground, now())


@pytest.fixture
def addresses(yard: Farmyard, phone: HandPhone) -> list[Address]:
    field = yard.ground.fields[0]
    row = yard.load(field)
    walked = yard.cover_round(field, ["20", "22"])
    known = {
        "farm": yard.farm, "field": field, "entry": row.entry, "round": walked, "person": yard.ground.crew.id,
        "phone": phone.id, "town": yard.town, "name": "leaf_intake", "computation": "leaf_depth",
    }  # fmt: skip
    return every_address(known)


@pytest.fixture
def stranger(now: Clock) -> Ground:
    return found("Thistle Bank", now())


def asked(client: Client, address: Address, **headers: str) -> Iterator[tuple[str, Any, bytes]]:
    """Each method, its answer and all that it says."""
    for method in METHODS:
        more = {} if method in ("get", "head") else {"data": b"{}", "content_type": "application/json"}
        answer = getattr(client, method)(address.path, headers=headers, **more)
        content = b"".join(answer.streaming_content) if answer.streaming else answer.content
        yield method, answer, content


def says_nothing_of_the_farm(content: bytes) -> bool:
    return not any(one in content for one in SECRETS)


def test_I16_every_address_stands_in_this_matrix(addresses: list[Address]) -> None:
    outside = {one.name for one in addresses if not one.within_farm}
    assert outside == API_FOR_ANYBODY | API_FOR_PHONES | API_FOR_PROGRAMS | PAGES_OF_NO_FARM | (
        PAGES_BY_LINK & outside
    )
    nameless = [before for before, one in every_pattern(get_resolver().url_patterns) if one.name is None]
    assert nameless == [API], "only the answer to any other address of the contract has no name"
    assert sum(one.within_farm for one in addresses) >= 10


@pytest.mark.parametrize("token", ["", "nonsense", "é", "x" * 5_000])
def test_I16_without_a_token_no_phones_address_answers(token: str, addresses: list[Address]) -> None:
    headers = {"Authorization": f"Bearer {token}"} if token else {}
    for one in addresses:
        if one.name in API_FOR_PHONES | API_FOR_PROGRAMS:
            for method, answer, content in asked(Client(), one, **headers):
                assert answer.status_code == 401, (one.name, method)
                assert method == "head" or json.loads(content)["code"] == "token_unknown"


def test_W5_I16_a_stopped_phone_hears_so_everywhere(
    addresses: list[Address], phone: HandPhone, now: Clock
) -> None:
    tokens.stop(phone.row, now())
    for one in addresses:
        if one.name in API_FOR_PHONES:
            for method, answer, content in asked(Client(), one, **phone.auth):
                assert answer.status_code == 401, (one.name, method)
                assert method == "head" or json.loads(content)["code"] == "phone_stopped"


def test_W4_I16_a_token_that_was_rolled_away_opens_nothing(
    addresses: list[Address], phone: HandPhone
) -> None:
    old = dict(phone.auth)
    phone.token = tokens.roll(phone.id, "nonce-of-a-roll")
    assert phone.pull().status_code == 200
    for one in addresses:
        if one.name in API_FOR_PHONES:
            assert {answer.status_code for _, answer, _ in asked(Client(), one, **old)} == {401}, one.name


def test_I16_a_phone_of_another_farm_learns_and_changes_nothing(
    addresses: list[Address], phone: HandPhone, yard: Farmyard, stranger: Ground, now: Clock
) -> None:
    phone.write(field=yard.ground.fields[0])
    assert outcomes(phone.push()) == ["kept"]
    theirs = HandPhone.join(stranger, now(), "nonce-of-a-stranger")
    before = yard.ground.fresh()
    for one in addresses:
        if one.name in API_FOR_PHONES:
            for method, answer, content in asked(Client(), one, **theirs.auth):
                assert answer.status_code < 500, (one.name, method)
                assert b"Fallowdale" not in content, (one.name, method)
                assert str(yard.farm).encode() not in content, (one.name, method)
                assert str(phone.id).encode() not in content, (one.name, method)
    theirs.id, theirs.kept = phone.id, list(phone.kept)
    assert theirs.push(2).status_code == 400
    assert yard.ground.fresh().number == before.number
    assert yard.ground.fresh().turn == before.turn


def test_I16_another_phone_of_the_farm_neither_writes_nor_reads_as_this_one(
    phone: HandPhone, ground: Ground, now: Clock
) -> None:
    other = HandPhone.join(ground, now(), "nonce-of-another")
    phone.kept.append(b"no entry at all")
    assert outcomes(phone.push()) == ["held"]
    assert len(phone.pull_all()[0]["verdicts"]) == 1
    assert other.pull_all()[0].get("verdicts", {}) == {}
    before = ground.fresh().number
    other.kept = [b"written under another's number"]
    body = HandPhone(phone.id, other.token, other.by, list(other.kept)).body(1)
    answer = other.send(body)
    assert (answer.status_code, answer.json()["code"]) == (400, "bad_frame")
    assert ground.fresh().number == before
    assert Phone.objects.get(id=phone.id).line == 1


def test_I16_nobody_gets_a_page_of_the_farm_without_signing_in(
    addresses: list[Address], yard: Farmyard
) -> None:
    before = yard.ground.fresh().number
    for one in addresses:
        if not one.is_api:
            for method, answer, content in asked(Client(), one):
                assert not one.within_farm or answer.status_code in (302, 401, 403, 404, 405), (
                    one.name,
                    method,
                )
                assert answer.status_code < 500, (one.name, method)
                assert says_nothing_of_the_farm(content), (one.name, method)
    assert yard.ground.fresh().number == before


def test_I16_a_manager_of_another_farm_gets_no_page_of_this_one(
    addresses: list[Address], yard: Farmyard, stranger: Ground
) -> None:
    before = yard.ground.fresh()
    client = signed_in(stranger.owner)
    for one in addresses:
        if one.within_farm:
            for method, answer, content in asked(client, one):
                assert answer.status_code in (404, 405), (one.name, method)
                assert b"Fallowdale" not in content, (one.name, method)
                assert str(yard.ground.crew.id).encode() not in content, (one.name, method)
    after = yard.ground.fresh()
    assert (after.number, after.turn) == (before.number, before.turn)


def test_I16_a_token_opens_no_page_and_a_sign_in_opens_nothing_for_phones(
    addresses: list[Address], yard: Farmyard, phone: HandPhone
) -> None:
    owner = signed_in(yard.ground.owner)
    for one in addresses:
        if one.within_farm:
            for method, answer, content in asked(Client(), one, **phone.auth):
                assert answer.status_code in (302, 401, 403, 404, 405), (one.name, method)
                assert says_nothing_of_the_farm(content), (one.name, method)
        elif one.name in API_FOR_PHONES:
            for method, answer, _ in asked(owner, one):
                assert answer.status_code == 401, (one.name, method)


def test_I16_a_farm_that_is_not_there_is_told_apart_from_none_of_ones_own_by_nobody(
    addresses: list[Address], yard: Farmyard, stranger: Ground
) -> None:
    """Whether a farm exists is nothing that somebody else may find out."""
    client = signed_in(stranger.owner)
    nowhere = str(UUID("01900000-0000-7000-8000-0000000f0000"))
    for one in addresses:
        if one.within_farm:
            theirs = client.get(one.path)
            nobodys = client.get(one.path.replace(str(yard.farm), nowhere))
            assert (theirs.status_code, theirs.content) == (nobodys.status_code, nobodys.content), one.name
