"""Hand in what waits and fetch what is new: one pass, by the contract's table of moves (W5 to W8, W12, W13, W18).

Nothing that is heard ever removes an entry. A pass is safe to break off anywhere, by a kill too: what was settled
is settled, and the rest is sent again.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from mobile.actions.ask_server import ask
from mobile.actions.enrol_again import enrol_again
from mobile.actions.pull import pull
from mobile.ports import Batch, Enrolment, Phone
from mobile.replies import Reply
from mobile.trouble import LineGone
from shared.sync.chain import next_head
from shared.sync.outbox import MOST_BYTES, Heard, Move, Pace, after
from shared.wire.lines import sha
from shared.wire.pull import Problem
from shared.wire.push import Frame, PushAnswer, Stays, push_bytes
from shared.wire.scalars import moment, written_moment

FRAME_ROOM = 1_024
MOST_TURNS = 4
"""How often one pass turns back (put back, enrolled again) before it waits for the next."""


@dataclass(frozen=True, slots=True)
class Pass:
    """How one pass ended. ``move`` *settle*: all is handed in and fetched. ``code`` is the server's own."""

    pace: Pace
    sent: int
    heard: Heard
    move: Move
    code: str | None = None
    retry_after_s: float | None = None
    expect: int = 0
    """The line that the server wants next, where the move is *put_back*."""

    @property
    def is_whole(self) -> bool:
        return self.move == "settle"


def hand_in(phone: Phone, enrolment: int, pace: Pace | None = None) -> Pass:
    """Hand in, then fetch, until there is nothing more or the server says otherwise. Never on the screen's
    thread. Raises a ``BookTrouble`` where the phone's own storage fails."""
    now = Pass(pace or Pace(), 0, "settled", "settle")
    for _ in range(MOST_TURNS):
        now = _push_all(phone, enrolment, now)
        if now.is_whole:
            now = _pulled(phone, enrolment, now)
        if now.is_whole or now.move not in ("put_back", "enrol_again"):
            break
        turned = _turned(phone, enrolment, now)
        if turned is not None:
            return turned
    return now


def _turned(phone: Phone, enrolment: int, now: Pass) -> Pass | None:
    """Back to the line that the server wants, or to a new enrolment. None: go on with the pass."""
    if now.move == "put_back" and phone.book.put_back(enrolment, now.expect):
        return None
    reply = enrol_again(phone, enrolment)
    if reply.value is not None:
        return None
    move: Move = "seal" if reply.heard == "phone_stopped" else "enrol_again"
    return replace(now, heard=reply.heard, move=move, code=_code(reply.problem))


def _push_all(phone: Phone, enrolment: int, now: Pass) -> Pass:
    while True:
        try:
            batch = phone.book.batch(enrolment, now.pace.lines, MOST_BYTES - FRAME_ROOM)
        except LineGone:
            return replace(now, move="enrol_again", code="line_gone")
        if batch is None:
            return replace(now, heard="settled", move="settle", code=None)
        now = _push(phone, enrolment, batch, now)
        if now.move not in ("settle", "stay"):
            return now


def _push(phone: Phone, enrolment: int, batch: Batch, now: Pass) -> Pass:
    lines: list[bytes | Stays] = list(batch.raws)
    if now.pace.staying:
        lines = [Stays(sha(batch.raws[0]), len(batch.raws[0]))]
    body = push_bytes(_frame(phone, batch, len(lines)), lines)
    reply = ask(phone, enrolment, lambda link: phone.server.push(link, body))
    heard = reply.heard
    if reply.value is not None:
        heard = _checked(batch, len(lines), reply.value)
        if heard == "settled":
            _settle(phone, enrolment, reply.value)
            now = replace(now, sent=now.sent + len(lines))
    pace, move = after(now.pace, heard, len(lines))
    if move in ("seal", "ask_slip"):
        phone.book.restand(enrolment, "stopped" if move == "seal" else "forgotten")
    return replace(
        now,
        pace=pace,
        heard=heard,
        move=move,
        code=_code(reply.problem),
        retry_after_s=reply.retry_after_s,
        expect=_expected(reply),
    )


def _frame(phone: Phone, batch: Batch, count: int) -> Frame:
    sent_at = moment(written_moment(phone.clock.now()), "sent_at")
    return Frame(
        batch.phone, batch.first, batch.prev, count, sent_at, phone.clock.boot, phone.clock.steady_ms()
    )


def _checked(batch: Batch, count: int, answer: PushAnswer) -> Heard:
    """Whether the answer speaks of what was sent. One that speaks of other lines is no answer; one whose head is
    another than ours is a fork."""
    wanted = list(range(batch.first, batch.first + count))
    if [one.line for one in answer.results] != wanted or any(
        one.outcome == "already" and one.was is None for one in answer.results
    ):
        return "no_answer"
    head = batch.prev
    for raw in batch.raws[:count]:
        head = next_head(head, sha(raw))
    if answer.line == wanted[-1] and answer.head != head:
        return "fork"
    return "settled"


def _settle(phone: Phone, enrolment: int, answer: PushAnswer) -> None:
    who = phone.book.enrolment(enrolment)
    if who.standing != "live":
        phone.book.restand(enrolment, "live")
    phone.book.settle(enrolment, answer.results, answer.safe, phone.clock.now(), answer.skew_ms)


def _expected(reply: Reply[PushAnswer]) -> int:
    expect = reply.problem.more.get("expect") if reply.problem else None
    return expect if type(expect) is int and expect >= 1 else 0


def _pulled(phone: Phone, enrolment: int, now: Pass) -> Pass:
    found = pull(phone, enrolment)
    if found.put_back is not None:
        return replace(now, heard="gap", move="put_back", expect=found.put_back)
    if found.heard == "settled":
        return now
    failed = replace(now.pace, failures=now.pace.failures + 1)
    return replace(
        now,
        pace=failed,
        heard=found.heard,
        move=found.move,
        code=_code(found.problem),
        retry_after_s=found.retry_after_s,
    )


def _code(problem: Problem | None) -> str | None:
    return problem.code if problem is not None else None


def waiting_line(who: Enrolment) -> tuple[str, dict[str, object]]:
    """The line at the foot of every screen as a key of the languages and its facts."""
    at = who.handed_at
    if at is None or at.utc is None:
        return ("hand_in.never", {"count": who.waiting})
    return ("hand_in.foot", {"count": who.waiting, "time": at.text[11:16]})
