"""Every endpoint against everybody who has no business there. A new endpoint that is not in the table fails it."""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from server.api.v1 import urls
from server.config.place import Place
from server.people import tokens
from shared.wire.push import content_digest
from tests.server.conftest import Clock
from tests.server.ground import Ground, HandPhone, found

pytestmark = pytest.mark.django_db
JPEG = b"\xff\xd8\xff wall"
SHA = hashlib.sha256(JPEG).hexdigest()
TUS = {"Tus-Resumable": "1.0.0"}
META = {
    "Upload-Length": str(len(JPEG)),
    "Upload-Metadata": f"sha256 {base64.b64encode(SHA.encode()).decode()}",
}
Ask = Callable[[Client, dict[str, str]], Any]


def _json(path: str, tree: dict[str, str]) -> Ask:
    return lambda client, told: client.post(
        f"/api/v1/{path}", tree, content_type="application/json", headers=told
    )


def _push(client: Client, told: dict[str, str]) -> Any:
    digest = {"Content-Digest": content_digest(b"{}\n")}
    return client.post(
        "/api/v1/entries/", b"{}\n", content_type="application/x-ndjson", headers=told | digest
    )


ENDPOINTS: dict[str, list[Ask]] = {
    "enrol-again": [_json("enrol/again/", {"nonce": "nonce-of-wall"})],
    "token": [_json("token/", {"nonce": "nonce-of-wall"})],
    "entries": [_push],
    "changes": [lambda client, told: client.get("/api/v1/changes/", headers=told)],
    "book": [lambda client, told: client.get("/api/v1/book/", headers=told)],
    "photos": [
        lambda client, told: client.post("/api/v1/photos/", headers=told | TUS | META),
        lambda client, told: client.options("/api/v1/photos/", headers=told),
    ],
    "photo": [
        lambda client, told: client.get(f"/api/v1/photos/{SHA}/", headers=told),
        lambda client, told: client.head(f"/api/v1/photos/{SHA}/", headers=told | TUS),
        lambda client, told: client.delete(f"/api/v1/photos/{SHA}/", headers=told | TUS),
        lambda client, told: client.patch(
            f"/api/v1/photos/{SHA}/", JPEG, content_type="application/offset+octet-stream", headers=told | TUS
        ),
    ],
}
OPEN = {"hello", "enrol"}
FOR_PROGRAMS = {"read-fields", "read-registers", "read-register"}
"""By tokens of their own, which no phone has: tests/walls and tests/server/registers/test_programs.py."""


@pytest.fixture(autouse=True)
def place(settings: Any, tmp_path: Path) -> None:
    settings.PLACE = Place(tmp_path)


def test_every_endpoint_is_in_this_table() -> None:
    assert {one.name for one in urls.urlpatterns if one.name} == ENDPOINTS.keys() | OPEN | FOR_PROGRAMS


@pytest.mark.parametrize("name", sorted(FOR_PROGRAMS))
def test_a_phones_token_reads_nothing_that_is_for_programs(name: str, phone: HandPhone) -> None:
    named = {"name": "leaf_intake"} if name == "read-register" else {}
    answer = Client().get(reverse(name, kwargs=named), headers=phone.auth)
    assert (answer.status_code, answer.json()["code"]) == (401, "token_unknown")


@pytest.mark.parametrize("name", sorted(ENDPOINTS))
def test_I16_without_a_token_that_is_known_and_live_nothing_is_answered(
    name: str, phone: HandPhone, ground: Ground, now: Clock
) -> None:
    stopped = HandPhone.join(ground, now(), "another-nonce")
    tokens.stop(stopped.row, now())
    client = Client()
    client.force_login(ground.owner.account)
    for ask in ENDPOINTS[name]:
        for told, code in (({}, "token_unknown"), ({"Authorization": "Bearer x"}, "token_unknown")):
            answer = ask(client, told)
            assert answer.status_code == 401
            assert not answer.content or answer.json()["code"] == code
        answer = ask(client, stopped.auth)
        assert answer.status_code == 401
        assert not answer.content or answer.json()["code"] == "phone_stopped"


def test_I16_what_a_phone_asks_is_answered_of_its_own_farm_alone(
    phone: HandPhone, ground: Ground, now: Clock
) -> None:
    other = found("Second Bottom", now())
    theirs = HandPhone.join(other, now(), "their-nonce")
    phone.write(field=ground.fields[0])
    phone.push()
    secrets = [str(ground.farm.id), str(phone.id), phone.token, *map(str, ground.fields), str(ground.crew.id)]
    for asks in ENDPOINTS.values():
        for ask in asks:
            answer = ask(Client(), theirs.auth)
            body = b"".join(answer.streaming_content) if answer.streaming else answer.content
            heard = body.decode("latin-1") + str(answer.headers)
            assert not [one for one in secrets if one in heard]
    rows, _ = theirs.pull_all(kinds="fields,people,entries,verdicts,standings,dues,queries,towns")
    assert not [one for one in secrets if one in str(rows)]
