"""Add stops to the round in progress, where those that were laid out can't say."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from mobile.actions.round import LatLon, Round, draft_of, the_round
from mobile.ports import Phone


def more_stops(phone: Phone, enrolment: int, stops: Sequence[LatLon]) -> Round:
    """The round with these stops after its own. Raises ``NoRound`` or a ``BookTrouble``."""
    walked = the_round(phone, enrolment)
    after = replace(walked, stops=(*walked.stops, *stops))
    phone.book.keep_draft(enrolment, draft_of(after))
    return after
