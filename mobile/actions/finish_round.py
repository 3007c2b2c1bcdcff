"""Finish a round: its entries stay, the draft goes."""

from __future__ import annotations

from mobile.actions.round import Round, draft_of, the_round
from mobile.ports import Phone


def finish_round(phone: Phone, enrolment: int) -> Round:
    """The round as it was walked. Raises ``NoRound`` or a ``BookTrouble``."""
    walked = the_round(phone, enrolment)
    phone.book.keep_draft(enrolment, draft_of(None))
    return walked
