"""Enrol again: a copied or restored phone, or a server that is ahead, gets a new phone number (W4b)."""

from __future__ import annotations

from dataclasses import replace

from mobile.actions.ask_server import ask
from mobile.actions.ids import new_nonce
from mobile.ports import Phone, Standing
from mobile.replies import Reply
from shared.wire.pull import Joined

STANDING: dict[str, Standing] = {"phone_stopped": "stopped", "token_unknown": "forgotten"}


def enrol_again(phone: Phone, enrolment: int) -> Reply[Joined]:
    """Everything kept is numbered anew from 1 under the new phone number, in one commit with it, and handed in
    again: the server answers *already* for what it has. Where the server has no such door the enrolment stands
    *copied*, everything stays, and the screen says so. The nonce is kept first, so that a lost answer is the
    same answer again."""
    who = phone.book.enrolment(enrolment)
    nonce = who.nonce or new_nonce(phone)
    if who.nonce is None:
        phone.book.keep_nonce(enrolment, nonce)
    reply = ask(phone, enrolment, lambda link: phone.server.enrol_again(link, nonce))
    if reply.value is None:
        phone.book.restand(enrolment, STANDING.get(reply.heard, "copied"))
        return reply
    if reply.value.farm.id != who.farm.id:
        return Reply("no_answer")
    phone.book.enrol(reply.value, replace(who.link, token=reply.value.token))
    return reply
