"""A program of the farm's own reads by its token what the pages say, of no other farm, and writes nothing."""

from __future__ import annotations

import re

from django.test import Client

from server.registers.models import ProgramToken
from tests.server.ground import found
from tests.server.web.farmyard import Farmyard, signed_in

YEAR = "?first=2026-01-01&last=2026-12-31"


def token_of(yard: Farmyard, owner: Client) -> str:
    page = owner.post(yard.page("programs"), {"label": "the spreadsheet"}).content.decode()
    made = re.search(r'class="secret">(gg_read_[\w-]+)<', page)
    assert made is not None
    assert made[1] not in owner.get(yard.page("programs")).content.decode()
    return made[1]


def asked(token: str, path: str):
    return Client().get(f"/api/v1/{path}", headers={"Authorization": f"Bearer {token}"})


def test_a_program_reads_the_fields_and_each_register_as_the_pages_say_them(
    yard: Farmyard, owner: Client, now
):
    yard.loads(2, yard.ground.fields[0], "18.5")
    token = token_of(yard, owner)
    told = asked(token, "fields/").json()
    assert {one["name"] for one in told["fields"]} == {"Upper Rest", "Long Acre"}
    names = [one["name"] for one in asked(token, "registers/").json()["registers"]]
    assert {"leaf_intake", "field_history"} <= set(names)
    lines = asked(token, f"registers/leaf_intake/{YEAR}").json()["lines"]
    assert [(one["on"], one["yards_yd3"], one["to"]) for one in lines] == [
        ("2026-06-01", "18.5", "Upper Rest")
    ] * 2
    assert ProgramToken.objects.get().last_at == now()


def test_what_is_not_there_is_told(yard: Farmyard, owner: Client):
    token = token_of(yard, owner)
    for path in ("registers/nothing/", "registers/leaf_intake/?first=soon"):
        answer = asked(token, path)
        assert (answer.status_code, answer["Content-Type"]) == (
            404,
            "application/problem+json; charset=utf-8",
        )


def test_a_stopped_token_and_a_phones_read_nothing_and_a_programs_writes_nothing(
    yard: Farmyard, owner: Client, phone
):
    token = token_of(yard, owner)
    assert asked(phone.token, "fields/").status_code == 401
    for path in ("entries/", "changes/", "book/"):
        assert asked(token, path).status_code == 401
        assert (
            Client().post(f"/api/v1/{path}", headers={"Authorization": f"Bearer {token}"}).status_code == 401
        )
    stranger = signed_in(found("Thistle Bank", yard.at).owner)
    link = ProgramToken.objects.get().id
    assert stranger.post(yard.page("stop_program", link)).status_code == 404
    owner.post(yard.page("stop_program", link))
    assert asked(token, "fields/").status_code == 401
