"""Ask the server under the phone's token, or under the one that waits to replace it (W4)."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TypeVar

from mobile.ports import Phone
from mobile.replies import Link, Reply

T = TypeVar("T")


def ask(phone: Phone, enrolment: int, call: Callable[[Link], Reply[T]]) -> Reply[T]:
    """The reply. A waiting token is tried first: once the server takes it, it is the token; where the server
    does not know it, the old one is asked with, once, and the waiting one let go if that works."""
    who = phone.book.enrolment(enrolment)
    link = replace(who.link, waiting=who.waiting)
    if who.next_token is None:
        return call(link)
    reply = call(replace(link, token=who.next_token))
    if reply.heard != "token_unknown":
        if reply.reached:
            phone.book.use_token(enrolment, who.next_token, phone.clock.now())
        return reply
    old = call(link)
    if old.reached and old.heard != "token_unknown":
        phone.book.use_token(enrolment, who.link.token, phone.clock.now())
    return old
