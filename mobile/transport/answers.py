"""What an HTTP answer comes down to: a value, or one of the things that a phone can hear (``shared.sync.outbox``)."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from datetime import UTC, datetime
from email.utils import parsedate_to_datetime
from typing import Any, TypeVar

from mobile.replies import Reply
from shared.errors import Unsound
from shared.sync.outbox import Heard
from shared.wire.pull import Problem
from shared.wire.scalars import SHA_TEXT, moment
from shared.words.moment import Moment

T = TypeVar("T")
Reader = Callable[[Any], T]
CHANGES = "changes"
NOT_THERE: Reply[Any] = Reply("no_answer")
LONGEST_RETRY_S = 3_600.0
PROBLEM_TYPE = "application/problem+json"

BY_CODE: dict[tuple[int, str], Heard] = {
    (401, "phone_stopped"): "phone_stopped",
    (401, "token_unknown"): "token_unknown",
    (409, "gap"): "gap",
    (409, "fork"): "fork",
    (409, "diverged"): "diverged",
    (410, "start_over"): "start_over",
}
BY_STATUS: dict[int, Heard] = {400: "bad_frame", 413: "too_large", 401: "forbidden", 403: "forbidden"}


def reply_of(
    status: int, headers: Mapping[str, str], content: bytes, read: Reader[T], what: str = ""
) -> Reply[T]:
    """The reply. A success that can't be read (half a body, a sign-in page, another server) is no answer."""
    line, head16 = _line(headers.get("Goodground-Line"))
    at = _time(headers.get("Goodground-Time"))
    if status == 304 and what == CHANGES:
        return Reply("settled", None, None, None, at, line, head16)
    if status in (200, 201):
        try:
            value = read(json.loads(content))
        except (ValueError, TypeError, KeyError, AttributeError, RecursionError, Unsound):
            return NOT_THERE
        return Reply("settled", value, None, None, at, line, head16)
    problem = _problem(status, headers, content)
    retry_s = _retry_after_s(headers.get("Retry-After"))
    return Reply(heard_of(status, problem, retry_s), None, problem, retry_s, at, line, head16)


def heard_of(status: int, problem: Problem | None, retry_s: float | None) -> Heard:
    """A status alone never means more than that something went wrong: gap, fork and the like need the server's
    own code beside it, or a sign-in page in between could speak for the server."""
    if problem is not None and (status, problem.code) in BY_CODE:
        return BY_CODE[status, problem.code]
    if status == 429 or (status == 503 and retry_s is not None):
        return "busy"
    if status >= 500:
        return "server_error"
    return BY_STATUS.get(status, "no_answer")


def _problem(status: int, headers: Mapping[str, str], content: bytes) -> Problem | None:
    if not headers.get("Content-Type", "").startswith(PROBLEM_TYPE):
        return None
    try:
        tree = json.loads(content)
    except (ValueError, RecursionError):
        return None
    if not isinstance(tree, dict) or not isinstance(tree.get("code"), str):
        return None
    known = ("code", "title", "status", "detail", "type")
    return Problem(
        code=tree["code"],
        title=str(tree.get("title", "")),
        status=status,
        detail=str(tree.get("detail", "")),
        more={key: value for key, value in tree.items() if key not in known},
    )


def _retry_after_s(text: str | None) -> float | None:
    """Seconds, or a date; nothing longer than an hour, so that no header can silence a phone."""
    if not text:
        return None
    try:
        wait = float(text)
    except ValueError:
        try:
            wait = (parsedate_to_datetime(text) - datetime.now(UTC)).total_seconds()
        except (ValueError, TypeError):
            return None
    return min(max(wait, 0.0), LONGEST_RETRY_S)


def _line(text: str | None) -> tuple[int | None, str | None]:
    """*Goodground-Line: n head16*."""
    number, _, head16 = (text or "").partition(" ")
    if not number.isdecimal() or len(head16) != 16 or SHA_TEXT.fullmatch(head16 * 4) is None:
        return None, None
    return int(number), head16


def _time(text: str | None) -> Moment | None:
    try:
        return moment(text, "Goodground-Time")
    except Unsound:
        return None
