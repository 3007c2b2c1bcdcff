"""Joining a farm, rolling the token, enrolling again, being stopped."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client

from server.people import tokens
from server.people.models import Phone, Slip
from tests.server.conftest import Clock
from tests.server.ground import Ground, HandPhone, enrol, found, outcomes

pytestmark = pytest.mark.django_db


def code_of(answer: Any) -> tuple[int, str]:
    assert answer.headers["Content-Type"].startswith("application/problem+json")
    return answer.status_code, answer.json()["code"]


def test_W4_a_joining_slip_makes_a_phone_of_the_farm(ground: Ground, now: Clock) -> None:
    answer = enrol(ground.slip(now()))
    assert answer.status_code == 201
    told = answer.json()
    assert set(told) == {"phone", "token", "farm", "people", "server_time"}
    assert told["farm"] == {
        "id": str(ground.farm.id),
        "name": "Fallow Rise",
        "zone": "America/New_York",
        "units": "us",
    }
    assert {one["name"] for one in told["people"]} == {"Ana Reyes", "Beto Luna"}
    assert len(told["token"]) == 43


def test_W4_a_code_is_ten_characters_without_look_alikes_and_may_be_typed_freely(
    ground: Ground, now: Clock
) -> None:
    code = ground.slip(now())
    assert len(code) == 10
    assert not set(code) & set("01OILUV")
    assert enrol(f" {code[:5].lower()}-{code[5:]} ").status_code == 201


def test_W4_only_the_tokens_sha_and_the_codes_sha_are_stored(ground: Ground, now: Clock) -> None:
    code = ground.slip(now())
    token = enrol(code).json()["token"]
    slip, phone = Slip.objects.get(), Phone.objects.get(desk=False)
    stored = " ".join(str(value) for row in (slip, phone) for value in vars(row).values())
    assert code not in stored
    assert token not in stored


def test_W4_the_same_code_and_nonce_are_answered_alike_for_15_minutes(ground: Ground, now: Clock) -> None:
    code = ground.slip(now())
    first = enrol(code)
    now.forward(minutes=14, seconds=59)
    assert enrol(code).content == first.content
    now.forward(seconds=2)
    assert code_of(enrol(code)) == (409, "code_used")
    assert Phone.objects.filter(desk=False).count() == 1


def test_W4_a_used_code_with_another_nonce_joins_nobody(ground: Ground, now: Clock) -> None:
    code = ground.slip(now())
    enrol(code)
    assert code_of(enrol(code, "another-nonce")) == (409, "code_used")


def test_W4_a_code_is_good_for_15_minutes(ground: Ground, now: Clock) -> None:
    code = ground.slip(now())
    now.forward(minutes=15)
    assert code_of(enrol(code)) == (404, "code_unknown")


def test_W4_a_wrong_code_names_no_farm(ground: Ground, now: Clock) -> None:
    answer = enrol("AAAAAAAAAA")
    assert code_of(answer) == (404, "code_unknown")
    assert "Fallow" not in answer.content.decode()


def test_W4_after_five_wrong_codes_an_address_waits_with_a_right_one_too(ground: Ground, now: Clock) -> None:
    for _ in range(5):
        assert enrol("AAAAAAAAAA").status_code == 404
        now.forward(minutes=1)
    code = ground.slip(now())
    answer = enrol(code)
    assert code_of(answer) == (429, "too_many_tries")
    assert answer.headers["Retry-After"] == "600"
    elsewhere = Client(REMOTE_ADDR="10.0.0.9")
    assert enrol(code, client=elsewhere).status_code == 201
    now.forward(minutes=10)
    assert enrol(ground.slip(now())).status_code == 201


def test_W4_after_a_hundred_wrong_codes_the_whole_server_waits(ground: Ground, now: Clock) -> None:
    for place in range(100):
        assert enrol("AAAAAAAAAA", client=Client(REMOTE_ADDR=f"10.0.1.{place}")).status_code == 404
    answer = enrol(ground.slip(now()), client=Client(REMOTE_ADDR="10.0.2.1"))
    assert code_of(answer) == (429, "too_many_tries")


@pytest.mark.parametrize(
    "body",
    [b"", b"[]", b"{", b'{"code":1}', b'{"code":"A","nonce":"short"}', b'{"nonce":"' + b"n" * 20_000 + b'"}'],
)
def test_W4_nonsense_for_a_request_is_a_clear_error(ground: Ground, now: Clock, body: bytes) -> None:
    answer = Client().post("/api/v1/enrol/", body, content_type="application/json")
    assert answer.status_code in (400, 413)
    assert answer.json()["code"] in ("bad_frame", "unsound", "too_large")


def test_W4_a_rolled_token_ends_the_old_one_when_it_is_first_used(phone: HandPhone, now: Clock) -> None:
    old = phone.token
    new = phone.client.post(
        "/api/v1/token/", {"nonce": "roll-nonce"}, content_type="application/json", headers=phone.auth
    ).json()["token"]
    assert new != old
    assert phone.pull().status_code == 200
    phone.token = new
    assert phone.pull().status_code == 200
    phone.token = old
    assert code_of(phone.pull()) == (401, "token_unknown")


def roll(phone: HandPhone, nonce: str) -> str:
    answer = phone.client.post(
        "/api/v1/token/", {"nonce": nonce}, content_type="application/json", headers=phone.auth
    )
    assert answer.status_code == 200
    return str(answer.json()["token"])


def test_W4_a_lost_answer_to_a_roll_is_asked_for_again_and_a_second_roll_replaces_the_first(
    phone: HandPhone,
) -> None:
    first = roll(phone, "roll-nonce")
    assert roll(phone, "roll-nonce") == first
    second = roll(phone, "other-nonce")
    phone.token, kept = first, phone.token
    assert phone.pull().status_code == 401
    phone.token = kept
    assert phone.pull().status_code == 200
    phone.token = second
    assert roll(phone, "other-nonce") == second
    assert phone.pull().status_code == 200


def again(phone: HandPhone, nonce: str = "again-nonce") -> Any:
    return phone.client.post(
        "/api/v1/enrol/again/", {"nonce": nonce}, content_type="application/json", headers=phone.auth
    )


def test_W4b_a_copied_phone_enrols_again_and_sends_the_same_entries_under_new_lines(
    phone: HandPhone, ground: Ground, now: Clock
) -> None:
    phone.write()
    phone.push()
    copy = HandPhone(phone.id, phone.token, phone.by, list(phone.kept))
    phone.write()
    phone.push(2)
    copy.write()
    assert code_of(copy.push(2)) == (409, "fork")
    answer = again(copy)
    assert answer.status_code == 201
    assert again(copy).content == answer.content
    from uuid import UUID

    new = HandPhone(UUID(answer.json()["phone"]), answer.json()["token"], phone.by, copy.kept)
    assert outcomes(new.push()) == ["already", "kept"]
    assert phone.row.copied_at is not None
    phone.write()
    assert outcomes(phone.push(3)) == ["kept"]


def test_W5_a_stopped_phone_hears_so_at_every_call_and_may_go_on_later(phone: HandPhone, now: Clock) -> None:
    phone.write()
    tokens.stop(phone.row, now())
    for answer in (phone.push(), phone.pull(), again(phone)):
        assert code_of(answer) == (401, "phone_stopped")
        assert answer.headers["WWW-Authenticate"].startswith("Bearer")
    assert phone.row.line == 0
    tokens.go_on(phone.row)
    assert outcomes(phone.push()) == ["kept"]


def test_W5_a_rolled_token_of_a_stopped_phone_is_stopped_too(phone: HandPhone, now: Clock) -> None:
    new = roll(phone, "roll-nonce")
    tokens.stop(phone.row, now())
    phone.token = new
    assert code_of(phone.pull()) == (401, "phone_stopped")


def test_I16_a_phone_of_another_farm_neither_sees_nor_touches_this_one(
    phone: HandPhone, ground: Ground, now: Clock
) -> None:
    other = found("Second Bottom", now())
    theirs = HandPhone.join(other, now(), "their-nonce")
    tree = phone.write(field=ground.fields[0])
    phone.push()
    theirs.kept = list(phone.kept)
    told = theirs.push().json()["results"][0]
    assert (told["outcome"], told["code"]) == ("held", "unknown_field")
    rows, _ = theirs.pull_all(kinds="fields,people,entries,verdicts,standings")
    assert set(rows["fields"]) == {str(one) for one in other.fields}
    assert {one["name"] for one in rows["people"].values()} == {"Ana Reyes", "Beto Luna"}
    assert {row["phone"] for row in rows["entries"].values()}.isdisjoint({str(phone.id)})
    assert tree["id"] not in phone.pull_all()[0].get("verdicts", {})
    theirs.id = phone.id
    assert code_of(theirs.push()) == (400, "bad_frame")


def test_W17_hello_tells_versions_limits_and_time_to_anybody(db: None, now: Clock) -> None:
    told = Client().get("/api/v1/hello/").json()
    assert told == {
        "wire": [1],
        "server": "0.1.0",
        "most_lines": 500,
        "most_bytes": 1_048_576,
        "server_time": "2026-06-01T12:00:00.000Z",
    }


@pytest.mark.parametrize("path", ["entries/", "changes/", "token/", "enrol/again/"])
@pytest.mark.parametrize("auth", [None, "Bearer", "Bearer wrong", "Basic YTpi", "Bearer \xff"])
def test_a_call_without_a_known_token_is_401_never_403(
    db: None, now: Clock, path: str, auth: str | None
) -> None:
    headers = {"Authorization": auth} if auth else {}
    ask = Client().get if path == "changes/" else Client().post
    answer = ask(f"/api/v1/{path}", headers=headers)
    assert code_of(answer) == (401, "token_unknown")


def test_an_address_or_a_way_that_is_not_there_is_a_problem_too(phone: HandPhone) -> None:
    assert code_of(phone.client.get("/api/v1/entries/", headers=phone.auth)) == (405, "not_that_way")
    assert code_of(phone.client.get("/api/v1/nowhere/", headers=phone.auth)) == (404, "not_here")
