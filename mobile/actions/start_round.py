"""Start a round: one tap."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from uuid import UUID

from mobile.actions.ids import new_id
from mobile.actions.round import LatLon, Round, draft_of
from mobile.actions.save_entry import made_now
from mobile.ports import Phone


@dataclass(frozen=True, slots=True)
class Taken:
    """A round that was begun on another phone: its id, and how many stops of it are in."""

    round: UUID
    stops: int


def start_round(
    phone: Phone,
    enrolment: int,
    field: UUID,
    measures: Sequence[str],
    stops: Sequence[LatLon],
    asked: Mapping[str, str] | None = None,
    part: UUID | None = None,
    taken: Taken | None = None,
) -> Round:
    """A round with one or several measures a stop, kept at once. One that was in progress is let go: its stops
    are saved entries and stay. With ``taken`` it goes on with that one: ``stops`` are those still to be made.
    Raises a ``BookTrouble``."""
    made = 0 if taken is None else taken.stops
    started = Round(
        id=new_id(phone) if taken is None else taken.round,
        field=field,
        part=part,
        measures=tuple(measures),
        stops=(*stops[:1] * made, *stops),
        asked=dict(asked or {}),
        started_at=made_now(phone.clock).text,
        since_line=phone.book.enrolment(enrolment).line + 1,
        done=tuple(range(1, made + 1)),
        before=made,
    )
    phone.book.keep_draft(enrolment, draft_of(started))
    return started
