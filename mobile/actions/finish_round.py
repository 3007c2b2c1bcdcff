"""Finish a round: its entries stay, the draft goes."""

from __future__ import annotations

from uuid import UUID

from mobile.actions.round import Round, draft_of, the_round
from mobile.ports import Phone

ENDED_SETTING = "rounds_ended"
MOST_KEPT = 20


def finish_round(phone: Phone, enrolment: int) -> Round:
    """The round as it was walked. Raises ``NoRound`` or a ``BookTrouble``."""
    walked = the_round(phone, enrolment)
    phone.book.keep_draft(enrolment, draft_of(None))
    kept = [str(one) for one in (*rounds_ended(phone), walked.id)]
    phone.book.keep_setting(ENDED_SETTING, " ".join(kept[-MOST_KEPT:]))
    return walked


def rounds_ended(phone: Phone) -> tuple[UUID, ...]:
    """The last rounds that were said to be done on this phone, however many stops they had."""
    return tuple(UUID(one) for one in (phone.book.setting(ENDED_SETTING) or "").split())
