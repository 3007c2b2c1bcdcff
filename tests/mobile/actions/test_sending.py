"""Handing in by itself: a timer, one at a time, backing off, never in a tap's way."""

from __future__ import annotations

import threading
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
import requests

from mobile.actions.hand_in import waiting_line
from mobile.actions.roll_token import roll_when_old
from mobile.actions.sending import IDLE_S, Sending, SendingState
from mobile.ports import Phone
from mobile.storage import PhoneBook
from mobile.trouble import DiskFull
from shared.languages import say
from shared.sync.outbox import LONGEST_WAIT_S
from tests.mobile.fake_server import Answer, problem
from tests.mobile.kit import cover, rejoined, walked

Go = Callable[[], Answer]


class Network:
    def __init__(self) -> None:
        self.up = True
        self.hold: threading.Event | None = None
        self.entered = threading.Event()
        self.answer: Answer | None = None

    def __call__(self, request: requests.PreparedRequest, go: Go) -> Answer:
        self.entered.set()
        if self.hold is not None:
            self.hold.wait(10)
        if not self.up:
            raise requests.ConnectionError
        return self.answer or go()


class Share:
    """Chance that always draws the longest wait."""

    def bytes(self, count: int) -> bytes:
        return bytes(count)

    def share(self) -> float:
        return 1.0


def stepped(sending: Sending) -> float:
    """A step, and its wait gone by."""
    wait = sending.step()
    sending.phone.clock.pass_ms(round(wait * 1000))
    return wait


def test_a_nudge_from_a_save_waits_for_a_server_that_asked_to_be_left_alone(tmp_path: Path) -> None:
    network = Network()
    phone, server, _, at = walked(tmp_path, network)
    cover(phone, at)
    network.answer = problem(429, "busy")
    network.answer.headers["Retry-After"] = "41"
    sending = Sending(phone)
    sending.step()
    network.answer = None
    phone.clock.pass_ms(40_000)
    server.requests.clear()
    sending.nudge()
    assert sending.step() == 1.0
    assert server.requests == []
    sending.nudge(by_hand=True)
    assert sending.step() == IDLE_S
    assert "POST entries/" in server.requests


def test_a_step_hands_in_all_farms_and_then_rests(tmp_path: Path) -> None:
    phone, server, first, at = walked(tmp_path)
    second = server.found("Low Barrow")
    also = rejoined(phone, server, second, "9999999999")
    cover(phone, at)
    cover(phone, also)
    assert Sending(phone).step() == IDLE_S
    assert (len(server.kept(first)), len(server.kept(second))) == (1, 1)


def test_w18_failures_wait_longer_and_longer_up_to_a_quarter_of_an_hour(tmp_path: Path) -> None:
    network = Network()
    phone, _, _, at = walked(tmp_path, network)
    sending = Sending(replace(phone, chance=Share()))
    cover(phone, at)
    network.up = False
    waits = [stepped(sending) for _ in range(11)]
    assert waits[:5] == [2.0, 4.0, 8.0, 16.0, 32.0]
    assert waits[-1] == LONGEST_WAIT_S == 900.0
    network.up = True
    assert stepped(sending) == IDLE_S
    network.up = False
    cover(phone, at)
    assert sending.step() == 2.0


def test_w18_when_the_network_returns_the_failures_are_forgotten(tmp_path: Path) -> None:
    network = Network()
    phone, _, _, at = walked(tmp_path, network)
    sending = Sending(replace(phone, chance=Share()))
    cover(phone, at)
    network.up = False
    for _ in range(6):
        stepped(sending)
    sending.network_is_back()
    assert sending.step() == 2.0


def test_w18_retry_after_is_obeyed(tmp_path: Path) -> None:
    network = Network()
    phone, _, _, at = walked(tmp_path, network)
    cover(phone, at)
    network.answer = problem(429, "busy")
    network.answer.headers["Retry-After"] = "41"
    assert Sending(phone).step() == 41.0


def test_one_farm_in_trouble_does_not_hold_up_the_other(tmp_path: Path) -> None:
    phone, server, first, at = walked(tmp_path)
    second = server.found("Low Barrow")
    also = rejoined(phone, server, second, "9999999999")
    cover(phone, at)
    cover(phone, also)
    server.state.phones[phone.book.enrolment(at).phone].stopped = True
    sending = Sending(phone)
    sending.step()
    assert (len(server.kept(first)), len(server.kept(second))) == (0, 1)
    assert sending.state.passes[at].move == "seal"
    assert sending.state.passes[also].is_whole


def test_a_storage_that_fails_is_told_and_tried_again(tmp_path: Path) -> None:
    phone, _, _, at = walked(tmp_path)
    cover(phone, at)

    class Full(PhoneBook):
        def settle(self, *args: object, **more: object) -> None:
            raise DiskFull

    full = replace(phone, book=Full(tmp_path / "phone.sqlite"), chance=Share())
    sending = Sending(full)
    assert sending.step() == 2.0
    assert sending.state.trouble == "disk_full"
    assert phone.book.enrolment(at).waiting == 1


def test_a_save_never_waits_for_a_network_that_hangs(tmp_path: Path) -> None:
    network = Network()
    phone, server, farm, at = walked(tmp_path, network)
    cover(phone, at)
    network.hold = threading.Event()
    network.entered.clear()
    states: list[SendingState] = []
    sending = Sending(phone, states.append)
    sending.start()
    assert network.entered.wait(10)
    saved = [cover(phone, at).entry.id for _ in range(5)]
    assert phone.book.enrolment(at).waiting == 6
    assert sending.step() == 1.0
    network.hold.set()
    sending.stop(wait_s=10)
    assert not sending.is_running
    assert len(server.kept(farm)) >= 1
    network.hold = None
    Sending(phone).step()
    assert server.kept(farm)[1:] == saved
    assert states[0].working
    assert not states[-1].working


def test_a_nudge_hands_in_at_once_and_a_stopped_one_begins_no_pass(tmp_path: Path) -> None:
    phone, server, farm, at = walked(tmp_path)
    passes: list[SendingState] = []
    done = threading.Semaphore(0)

    def watch(state: SendingState) -> None:
        passes.append(state)
        if not state.working:
            done.release()

    sending = Sending(phone, watch)
    sending.start()
    assert done.acquire(timeout=10)
    cover(phone, at)
    sending.nudge()
    assert done.acquire(timeout=10)
    assert len(server.kept(farm)) == 1
    sending.stop(wait_s=10)
    count = len(passes)
    sending.nudge()
    assert len(passes) == count
    sending.start()
    assert done.acquire(timeout=10)
    sending.stop(wait_s=10)


def test_the_line_at_the_foot_says_what_waits_and_when_it_last_went_through(tmp_path: Path) -> None:
    phone, _, _, at = walked(tmp_path)
    for _ in range(12):
        cover(phone, at)

    def foot(language: str) -> str:
        key, facts = waiting_line(phone.book.enrolment(at))
        return say(language, key, **facts)

    assert foot("en") == "12 waiting, not handed in yet"
    Sending(phone).step()
    cover(phone, at)
    assert foot("en") == "1 waiting, handed in 07:30"
    assert foot("es") == "1 por entregar, entregado 07:30"


def age(phone: Phone, days: int) -> None:
    phone.clock.jump(timedelta(days=days))


def test_w4_an_old_token_is_rolled_and_the_old_one_dies_when_the_new_is_first_used(tmp_path: Path) -> None:
    phone, server, farm, at = walked(tmp_path)
    old = phone.book.enrolment(at).link.token
    Sending(phone).step()
    assert phone.book.enrolment(at).next_token is None
    age(phone, 31)
    Sending(phone).step()
    waiting = phone.book.enrolment(at).next_token
    assert waiting is not None
    assert phone.book.enrolment(at).link.token == old
    cover(phone, at)
    Sending(phone).step()
    now = phone.book.enrolment(at)
    assert (now.link.token, now.next_token) == (waiting, None)
    assert len(server.kept(farm)) == 1
    assert len(server.state.tokens) == 1


def test_w4_a_lost_answer_to_a_roll_leaves_the_old_token_good(tmp_path: Path) -> None:
    network = Network()
    phone, server, farm, at = walked(tmp_path, network)
    age(phone, 31)
    network.answer = Answer(500)
    assert not roll_when_old(phone, at)
    network.answer = None
    server.handle(
        "POST",
        "/api/v1/token/",
        {"Authorization": f"Bearer {phone.book.enrolment(at).link.token}"},
        b'{"nonce": "x"}',
    )
    cover(phone, at)
    Sending(phone).step()
    assert len(server.kept(farm)) == 1


@pytest.mark.parametrize("waiting", ["a token that the server never made"])
def test_w4_a_401_on_the_new_token_falls_back_to_the_old_once(tmp_path: Path, waiting: str) -> None:
    phone, server, farm, at = walked(tmp_path)
    old = phone.book.enrolment(at).link.token
    phone.book.keep_next_token(at, waiting)
    cover(phone, at)
    Sending(phone).step()
    assert len(server.kept(farm)) == 1
    now = phone.book.enrolment(at)
    assert (now.link.token, now.next_token) == (old, None)


def test_w4_a_kill_between_the_first_use_of_a_new_token_and_its_commit_loses_nothing(tmp_path: Path) -> None:
    phone, server, farm, at = walked(tmp_path)
    age(phone, 31)
    Sending(phone).step()
    waiting = phone.book.enrolment(at).next_token
    server.handle("GET", "/api/v1/changes/", {"Authorization": f"Bearer {waiting}"}, b"")
    cover(phone, at)
    Sending(phone).step()
    assert len(server.kept(farm)) == 1
    assert phone.book.enrolment(at).link.token == waiting
