"""Roll the token now and then: the new one is kept beside the old before it is used (W4)."""

from __future__ import annotations

from datetime import timedelta

from mobile.actions.ids import new_nonce
from mobile.ports import Phone

ROLLED_EVERY = timedelta(days=30)
"""Common practice, no source."""


def roll_when_old(phone: Phone, enrolment: int) -> bool:
    """Ask for a new token where the present one is old. Whether one now waits to be used."""
    who = phone.book.enrolment(enrolment)
    since = who.rolled_at.utc if who.rolled_at is not None else None
    if who.next_token is not None or (since is not None and phone.clock.now() - since < ROLLED_EVERY):
        return who.next_token is not None
    reply = phone.server.roll(who.link, new_nonce(phone))
    if reply.value is None:
        return False
    phone.book.keep_next_token(enrolment, reply.value)
    return True
