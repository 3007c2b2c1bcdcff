"""Joining with a slip: what is typed, what is refused, what is lost on the way."""

from __future__ import annotations

from pathlib import Path

import pytest
import requests

from mobile.actions.choose_farm import choose_farm, current_farm
from mobile.actions.choose_person import people
from mobile.actions.hand_in import hand_in
from mobile.actions.join import join, read_slip, read_square, server_address
from mobile.trouble import BadSlip, JoinRefused, NotJoined
from tests.mobile.fake_server import ADDRESS, Answer, FakeServer, problem
from tests.mobile.kit import a_phone, cover, rejoined, walked

CODE = "7K2MPQX4RD"


@pytest.mark.parametrize("typed", ["7k2mpqx4rd", "7K2M-PQX4-RD", " 7k2 mpq x4rd "])
def test_a_code_is_read_however_it_was_typed(typed: str) -> None:
    assert read_slip(typed, "farm.example").code == CODE


@pytest.mark.parametrize("typed", ["", "7K2MPQX4R", "7K2MPQX4RDD", "7K2MPQX4R!", "ñK2MPQX4RD"])
def test_what_is_no_code_is_refused_before_anything_is_asked(typed: str) -> None:
    with pytest.raises(BadSlip) as raised:
        read_slip(typed, "farm.example")
    assert raised.value.why == "bad_code"


@pytest.mark.parametrize(
    ("typed", "address"),
    [
        ("farm.example", "https://farm.example"),
        ("https://farm.example:8443/", "https://farm.example:8443"),
        ("127.0.0.1:8000", "http://127.0.0.1:8000"),
        ("http://localhost:8000", "http://localhost:8000"),
        ("http://[::1]:8000", "http://[::1]:8000"),
        ("192.168.7.3:8000", "https://192.168.7.3:8000"),
    ],
)
def test_an_address_without_more_is_https_and_plain_on_this_machine_alone(typed: str, address: str) -> None:
    assert server_address(typed) == address


@pytest.mark.parametrize(
    ("typed", "why"),
    [
        ("", "no_address"),
        ("http://farm.example", "plain_http"),
        ("http://127.0.0.1.example", "plain_http"),
        ("ftp://farm.example", "bad_address"),
        ("https://", "bad_address"),
        ("farm example", "bad_address"),
        ("https://farm.example:x", "bad_address"),
    ],
)
def test_W4d_an_address_that_can_not_be_is_refused_with_the_reason(typed: str, why: str) -> None:
    with pytest.raises(BadSlip) as raised:
        server_address(typed)
    assert raised.value.why == why


def test_the_square_says_address_code_and_key() -> None:
    slip = read_square(f"https://farm.example:8443#join={CODE}&pin={'ab' * 32}")
    assert (slip.address, slip.code, slip.pin) == ("https://farm.example:8443", CODE, "ab" * 32)
    assert read_square(f"https://farm.example#join={CODE}").pin is None
    with pytest.raises(BadSlip):
        read_square("https://elsewhere.example/menu")


def test_W4_the_whole_link_of_a_slip_may_be_pasted_for_its_address() -> None:
    link = f"https://farm.example:8443/#join={CODE}&pin={'AB' * 32}"
    pasted = read_slip("", link)
    assert (pasted.address, pasted.code, pasted.pin) == ("https://farm.example:8443", CODE, "ab" * 32)
    assert read_slip("9k2mpqx4rd", link).code == "9K2MPQX4RD"
    with pytest.raises(BadSlip) as raised:
        read_slip("", link[:-1])
    assert raised.value.why == "bad_pin"


def test_joining_brings_the_farm_and_its_people_and_makes_it_the_current_one(tmp_path: Path) -> None:
    server = FakeServer()
    farm = server.found()
    phone = a_phone(tmp_path, server)
    with pytest.raises(NotJoined):
        current_farm(phone)
    joined = join(phone, read_slip(server.slip(farm), ADDRESS))
    assert (joined.farm.id, joined.farm.name) == (farm.id, "Harrow End")
    assert len(people(phone, joined.id)) == 2
    assert current_farm(phone).id == joined.id
    assert "token" not in repr(joined)


def test_a_used_or_wrong_code_is_refused_with_the_servers_reason(tmp_path: Path) -> None:
    server = FakeServer()
    farm = server.found()
    first, second = a_phone(tmp_path, server, name="a"), a_phone(tmp_path, server, seed=2, name="b")
    join(first, read_slip(server.slip(farm), ADDRESS))
    for code, why in ((CODE, "code_used"), ("2222222222", "code_unknown")):
        with pytest.raises(JoinRefused) as raised:
            join(second, read_slip(code, ADDRESS))
        assert raised.value.why == why
    assert second.book.enrolments() == ()


def test_w4_a_lost_answer_is_the_same_answer_again_after_a_restart_too(tmp_path: Path) -> None:
    lost = [True]

    def between(request: requests.PreparedRequest, go: object) -> Answer:
        answer = go()
        if lost.pop() if lost else False:
            raise requests.ConnectionError
        return answer

    server = FakeServer()
    farm = server.found()
    server.slip(farm)
    phone = a_phone(tmp_path, server, between)
    with pytest.raises(JoinRefused) as raised:
        join(phone, read_slip(CODE, ADDRESS))
    assert raised.value.why == "no_answer"
    phone.book.close()
    again = a_phone(tmp_path, server, seed=77)
    assert join(again, read_slip(CODE, ADDRESS)).farm.id == farm.id
    assert len(server.state.phones) == 1


@pytest.mark.parametrize(
    ("answer", "why"),
    [
        (Answer(200, b"<html>sign in to the cafe</html>", {"Content-Type": "text/html"}), "no_answer"),
        (Answer(500, b"oops"), "server_error"),
        (Answer(404, b""), "no_answer"),
        (Answer(201, b'{"phone":"x"}'), "no_answer"),
        (problem(429, "too_many_tries"), "too_many_tries"),
    ],
)
def test_whatever_answers_a_phone_that_can_not_join_says_why(
    tmp_path: Path, answer: Answer, why: str
) -> None:
    server = FakeServer()
    phone = a_phone(tmp_path, server, lambda request, go: answer)
    with pytest.raises(JoinRefused) as raised:
        join(phone, read_slip(CODE, ADDRESS))
    assert raised.value.why == why
    assert phone.book.enrolments() == ()


def test_w4c_a_phone_in_two_farms_hands_each_its_own(tmp_path: Path) -> None:
    phone, server, first, at = walked(tmp_path)
    second = server.found("Low Barrow")
    also = rejoined(phone, server, second, "9999999999")
    mine, theirs = cover(phone, at), [cover(phone, also), cover(phone, also)]
    assert hand_in(phone, at).is_whole
    assert server.kept(second) == []
    assert hand_in(phone, also).is_whole
    assert server.kept(first) == [mine.entry.id]
    assert server.kept(second) == [one.entry.id for one in theirs]
    assert current_farm(phone).id == also
    assert choose_farm(phone, at).farm.name == "Harrow End"
    assert current_farm(phone).id == at


def test_w4b_joining_the_same_farm_again_after_it_forgot_the_phone_loses_nothing(tmp_path: Path) -> None:
    phone, server, farm, at = walked(tmp_path)
    saved = [cover(phone, at) for _ in range(3)]
    hand_in(phone, at)
    saved.append(cover(phone, at))
    server.state.tokens.clear()
    assert hand_in(phone, at).move == "ask_slip"
    assert phone.book.enrolment(at).standing == "forgotten"
    saved.append(cover(phone, at))
    assert rejoined(phone, server, farm, "8888888888") == at
    assert hand_in(phone, at).is_whole
    assert server.kept(farm) == [one.entry.id for one in saved]
    assert phone.book.enrolment(at).standing == "live"
