"""Start a round: one tap."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from uuid import UUID

from mobile.actions.ids import new_id
from mobile.actions.round import LatLon, Round, draft_of
from mobile.actions.save_entry import made_now
from mobile.ports import Phone


def start_round(
    phone: Phone,
    enrolment: int,
    field: UUID,
    measures: Sequence[str],
    stops: Sequence[LatLon],
    asked: Mapping[str, str] | None = None,
    part: UUID | None = None,
) -> Round:
    """A round with one or several measures a stop, kept at once. One that was in progress is let go: its stops
    are saved entries and stay. Raises a ``BookTrouble``."""
    started = Round(
        id=new_id(phone),
        field=field,
        part=part,
        measures=tuple(measures),
        stops=tuple(stops),
        asked=dict(asked or {}),
        started_at=made_now(phone.clock).text,
        since_line=phone.book.enrolment(enrolment).line + 1,
    )
    phone.book.keep_draft(enrolment, draft_of(started))
    return started
