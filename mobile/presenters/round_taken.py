"""A round that was begun and not walked to its end, on this phone or another: whoever stands in the field may go on
with it. A phone hears of another's round with what it pulls: how many stops are in, not where they lie."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any
from uuid import UUID

from mobile.actions.field_now import field_now
from mobile.actions.finish_round import rounds_ended
from mobile.actions.start_round import Taken
from mobile.presenters.lines import ChoiceView
from mobile.presenters.round_walk import planned
from mobile.presenters.session import Session
from shared.status.field_status import FieldStatus
from shared.words.field import Field

WITHIN_DAYS = 2
"""A cover grows on and ground dries: later stops of an older round would be of another field. Common practice, no
source."""
ASK = "taken"
GO_ON, ANEW = "go_on", "anew"


def unfinished(session: Session, ground: Field, measures: Sequence[str]) -> Taken | None:
    """The newest round of just these measures that lacks stops; None where there is none to go on with."""
    status = field_now(session.phone, session.enrolment, ground.id)
    of_measure = [_rounds(status, name) for name in measures]
    names: Any = tuple(measures)
    for key, (on, stops) in of_measure[0].items():
        young = 0 <= (session.today() - on).days <= WITHIN_DAYS
        if not young or stops >= planned(ground, names) or any(key not in other for other in of_measure):
            continue
        try:
            found = Taken(UUID(key), stops)
        except ValueError:
            continue
        if found.round not in rounds_ended(session.phone):
            return found
    return None


def _rounds(status: FieldStatus, measure: str) -> dict[str, tuple[date, int]]:
    walked = {
        "cover": status.cover,
        "weeds": status.weeds,
        "firmness": status.firmness,
        "leaf_depth": status.leaf_depth,
    }[measure]
    return {one.key: (one.on, one.stops) for one in walked}


def asked(session: Session, found: Taken, count: int, chosen: str | None) -> ChoiceView:
    return ChoiceView(
        ASK,
        session.say("round_taken.found", stops=found.stops, count=count),
        tuple((one, session.say(f"round_taken.{one}")) for one in (GO_ON, ANEW)),
        (chosen,) if chosen else (),
        2,
    )
