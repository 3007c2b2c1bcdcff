"""Fetch what is new: pages and their cursors, and whether the server still has what it answered for (W12, W13)."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial

from mobile.actions.ask_server import ask
from mobile.ports import Enrolment, Phone
from mobile.replies import Link, Reply
from shared.sync.outbox import TABLE, Heard, Move
from shared.wire.pull import Page, Problem

PAGE_ROWS = 500


@dataclass(frozen=True, slots=True)
class Pulled:
    """How a pull ended. ``put_back``: the server has fewer lines than it answered for; hand in from this one."""

    heard: Heard
    move: Move
    put_back: int | None = None
    problem: Problem | None = None
    retry_after_s: float | None = None


def pull(phone: Phone, enrolment: int) -> Pulled:
    """All pages since the cursor. Raises a ``BookTrouble`` where the phone's own storage fails."""
    as_of = phone.book.enrolment(enrolment).handed
    began_anew = False
    while True:
        who = phone.book.enrolment(enrolment)
        reply = ask(phone, enrolment, partial(_changes, phone, who.cursor))
        if TABLE[reply.heard] == "pull_anew" and not began_anew:
            phone.book.pull_anew(enrolment)
            began_anew = True
            continue
        # An app that is too old to fetch still hears where its lines stand: a restored server wants them back.
        settled = reply.heard == "settled"
        behind = _behind(phone, who, reply) if settled or _is_too_old(reply) else None
        if behind is not None:
            return behind
        if not settled:
            return _failed(phone, enrolment, reply)
        if reply.value is not None:
            phone.book.store_page(enrolment, reply.value, as_of)
            if reply.value.more:
                continue
        phone.book.heard(enrolment, phone.clock.now(), _skew_ms(phone, reply), as_of)
        if who.standing != "live":
            phone.book.restand(enrolment, "live")
        return Pulled("settled", "settle")


def _changes(phone: Phone, since: str, link: Link) -> Reply[Page]:
    return phone.server.changes(link, since, PAGE_ROWS)


def _is_too_old(reply: Reply[Page]) -> bool:
    return reply.problem is not None and reply.problem.code == "app_too_old"


def _failed(phone: Phone, enrolment: int, reply: Reply[Page]) -> Pulled:
    move = TABLE[reply.heard]
    if move == "pull_anew":
        move = "wait"
    if move in ("seal", "ask_slip"):
        phone.book.restand(enrolment, "stopped" if move == "seal" else "forgotten")
    return Pulled(reply.heard, move, None, reply.problem, reply.retry_after_s)


def _behind(phone: Phone, who: Enrolment, reply: Reply[Page]) -> Pulled | None:
    """*Goodground-Line* against our own: a restored server is behind, a copied phone's is ahead or other."""
    if reply.line is None:
        return None
    own = phone.book.head(who.id, reply.line)
    if reply.line > phone.book.enrolment(who.id).line or (
        own is not None and reply.head16 is not None and own[:16] != reply.head16
    ):
        return Pulled("fork", "enrol_again")
    if reply.line < who.handed:
        return Pulled("gap", "put_back", reply.line + 1)
    return None


def _skew_ms(phone: Phone, reply: Reply[Page]) -> int | None:
    if reply.server_time is None or reply.server_time.utc is None:
        return None
    return round((phone.clock.now() - reply.server_time.utc).total_seconds() * 1000)
