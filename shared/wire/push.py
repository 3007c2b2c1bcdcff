"""A push and its answer as bytes (contract, W6, W7)."""

from __future__ import annotations

import base64
import hashlib
import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from shared.errors import BadFrame, TooLarge, Unsound
from shared.sync.outbox import MOST_BYTES, MOST_LINES
from shared.sync.receipts import Arrival, Ruling
from shared.wire import lines, scalars
from shared.wire.codec import value_reader, written
from shared.words.moment import Moment

CONTENT_TYPE = "application/x-ndjson"
_STAYS = b'{"stays":'


@dataclass(frozen=True, slots=True)
class Frame:
    """The first line of a push: whose lines, from which, after which head, how many, and its clocks."""

    phone: UUID
    first: int
    prev: str
    count: int
    sent_at: Moment
    boot: UUID | None
    mono_ms: int | None


_FRAME = value_reader(Frame, "")


@dataclass(frozen=True, slots=True)
class Stays:
    """A line that can't travel: the sha and size of what stays on the phone."""

    stays: str
    bytes: int


_STAYS_READER = value_reader(Stays, "")


def content_digest(body: bytes) -> str:
    """The Content-Digest header of RFC 9530 over the bytes as sent."""
    return "sha-256=:" + base64.b64encode(hashlib.sha256(body).digest()).decode("ascii") + ":"


def digest_agrees(header: str | None, body: bytes) -> bool:
    """Whether a Content-Digest header has a sha-256 and it is that of these bytes."""
    for member in (header or "").split(","):
        key, _, value = member.strip().partition("=")
        if key.strip() == "sha-256":
            return "sha-256=" + value.split(";")[0].strip() == content_digest(body)
    return False


def push_bytes(frame: Frame, entries: Sequence[bytes | Stays]) -> bytes:
    """The body of a push, each line ended by 0x0A."""
    out = [json.dumps(written(frame), separators=(",", ":")).encode()]
    for one in entries:
        out.append(
            json.dumps(written(one), separators=(",", ":")).encode() if isinstance(one, Stays) else one
        )
    return b"\n".join(out) + b"\n"


def read_push(body: bytes) -> tuple[Frame, list[Arrival]]:
    """The frame and the lines. Raises ``TooLarge`` or ``BadFrame``: nothing is applied then."""
    if len(body) > MOST_BYTES:
        raise TooLarge("push", len(body), MOST_BYTES)
    if not body.endswith(b"\n"):
        raise BadFrame("the last line does not end in a line feed: the body was cut short")
    parts = body[:-1].split(b"\n")
    try:
        tree = lines.tree(parts[0])
        frame: Frame = _FRAME(tree)
        scalars.digest(frame.prev, "prev")
    except Unsound as unsound:
        raise BadFrame(f"the first line: {unsound.why} {unsound.where}".strip()) from None
    if frame.count > MOST_LINES:
        raise TooLarge("lines", frame.count, MOST_LINES)
    if frame.first < 1 or frame.count < 0 or frame.count != len(parts) - 1:
        raise BadFrame(f"{frame.count} lines were promised, {len(parts) - 1} came")
    return frame, [
        _stays(line, raw) if raw.startswith(_STAYS) else Arrival(line, lines.sha(raw), raw, len(raw))
        for line, raw in enumerate(parts[1:], frame.first)
    ]


def _stays(line: int, raw: bytes) -> Arrival:
    """A line that begins as one that stays on its phone; where it goes on otherwise, bytes like any other."""
    try:
        stays: Stays = _STAYS_READER(lines.tree(raw))
        return Arrival(line, scalars.digest(stays.stays, "stays"), None, stays.bytes)
    except Unsound:
        return Arrival(line, lines.sha(raw), raw, len(raw))


@dataclass(frozen=True, slots=True)
class LineResult:
    """What became of one line, as the answer says it."""

    line: int
    outcome: str
    number: int | None = None
    was: str | None = None
    code: str | None = None
    detail: str | None = None


@dataclass(frozen=True, slots=True)
class PushAnswer:
    """The answer 200 to a push: ``line`` and ``head`` of the last line that moved the head; ``safe`` the
    highest line that stands in a checked backup."""

    results: tuple[LineResult, ...]
    line: int
    head: str
    safe: int
    server_time: Moment
    skew_ms: int


_ANSWER = value_reader(PushAnswer, "")


def results_of(rulings: Sequence[Ruling]) -> tuple[LineResult, ...]:
    return tuple(LineResult(r.line, r.outcome, r.number, r.was, r.code, r.detail) for r in rulings)


def answer_tree(answer: PushAnswer) -> dict[str, Any]:
    return {
        "results": [_result_tree(one) for one in answer.results],
        "line": answer.line,
        "head": answer.head,
        "safe": answer.safe,
        "server_time": written(answer.server_time),
        "skew_ms": answer.skew_ms,
    }


def _result_tree(one: LineResult) -> dict[str, Any]:
    tree: dict[str, Any] = {"line": one.line, "outcome": one.outcome}
    if one.number is not None:
        tree["number"] = one.number
    if one.was is not None:
        tree["was"] = one.was
    if one.code is not None:
        tree["code"] = one.code
    if one.detail is not None:
        tree["detail"] = one.detail
    return tree


def read_answer(tree: Mapping[str, Any]) -> PushAnswer:
    """An answer that a phone heard; raises ``Unsound`` where it is none (half a body, another server)."""
    answer: PushAnswer = _ANSWER(tree)
    return answer
