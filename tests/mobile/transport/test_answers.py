"""What an HTTP answer comes down to."""

from __future__ import annotations

import json

import pytest

from mobile.transport.answers import CHANGES, LONGEST_RETRY_S, reply_of
from shared.errors import Unsound
from shared.wire.pull import Problem, problem_tree

PROBLEM = "application/problem+json"


def read(tree: object) -> object:
    if tree != {"ok": True}:
        raise Unsound("wrong_type")
    return tree


def heard(status: int, code: str = "", kind: str = PROBLEM, **headers: str) -> str:
    content = json.dumps(problem_tree(Problem(code, "t", status))).encode() if code else b"words"
    return reply_of(status, {"Content-Type": kind} | headers, content, read).heard


@pytest.mark.parametrize(
    ("status", "code", "meant"),
    [
        (409, "gap", "gap"),
        (409, "fork", "fork"),
        (409, "diverged", "diverged"),
        (410, "start_over", "start_over"),
        (401, "phone_stopped", "phone_stopped"),
        (401, "token_unknown", "token_unknown"),
        (400, "bad_frame", "bad_frame"),
        (413, "too_large", "too_large"),
        (403, "not_of_this_farm", "forbidden"),
        (429, "too_many_tries", "busy"),
        (500, "server_error", "server_error"),
        (503, "busy", "server_error"),
        (404, "not_here", "no_answer"),
        (426, "app_too_old", "no_answer"),
    ],
)
def test_a_problem_is_heard_by_its_status_and_code(status: int, code: str, meant: str) -> None:
    assert heard(status, code) == meant


@pytest.mark.parametrize("status", [401, 409, 410])
def test_a_status_without_the_servers_own_code_never_means_stopped_fork_or_start_over(status: int) -> None:
    assert heard(status) in ("forbidden", "no_answer")
    assert heard(status, "fork", kind="text/html") in ("forbidden", "no_answer")
    assert heard(status, "something_else") in ("forbidden", "no_answer")


def test_a_busy_server_that_says_for_how_long_is_heard_as_busy() -> None:
    reply = reply_of(503, {"Retry-After": "12"}, b"", read)
    assert (reply.heard, reply.retry_after_s) == ("busy", 12.0)


@pytest.mark.parametrize(
    ("text", "seconds"),
    [
        ("7", 7.0),
        ("1.5", 1.5),
        ("-3", 0.0),
        ("86400", LONGEST_RETRY_S),
        ("Wed, 21 Oct 2015 07:28:00 GMT", 0.0),
        ("soon", None),
        ("", None),
    ],
)
def test_retry_after_is_seconds_or_a_date_and_never_longer_than_an_hour(
    text: str, seconds: float | None
) -> None:
    assert reply_of(429, {"Retry-After": text}, b"", read).retry_after_s == seconds


@pytest.mark.parametrize(
    "content", [b"", b'{"ok": tr', b"<html>", b'{"ok": false}', b"[]", b"null", b"[" * 100_000, b"\xff"]
)
def test_a_success_that_can_not_be_read_is_no_answer(content: bytes) -> None:
    reply = reply_of(200, {}, content, read)
    assert (reply.heard, reply.value) == ("no_answer", None)


def test_nothing_new_is_settled_without_a_value_where_a_pull_asked_and_no_answer_elsewhere() -> None:
    assert reply_of(304, {}, b"", read, CHANGES).heard == "settled"
    assert reply_of(304, {}, b"", read).heard == "no_answer"


def test_the_servers_time_and_line_are_read_from_every_answer() -> None:
    headers = {"Goodground-Line": "12 " + "a" * 16, "Goodground-Time": "2026-05-12T11:30:00Z"}
    reply = reply_of(409, headers, b"", read)
    assert (reply.line, reply.head16, reply.server_time.text) == (12, "a" * 16, "2026-05-12T11:30:00Z")


@pytest.mark.parametrize("text", ["", "x", "12", "12 xyz", "-1 " + "a" * 16, "12 " + "A" * 16, "1 2 3"])
def test_a_line_that_can_not_be_read_says_nothing(text: str) -> None:
    reply = reply_of(200, {"Goodground-Line": text, "Goodground-Time": text}, b'{"ok": true}', read)
    assert (reply.line, reply.head16, reply.server_time) == (None, None, None)


def test_a_problem_brings_what_else_the_server_told() -> None:
    content = json.dumps(problem_tree(Problem("gap", "t", 409, "d", {"expect": 7}))).encode()
    reply = reply_of(409, {"Content-Type": PROBLEM}, content, read)
    assert reply.problem == Problem("gap", "t", 409, "d", {"expect": 7})
