"""What a saved stop means, and what the measure last was."""

from __future__ import annotations

from collections.abc import Sequence
from uuid import UUID

from mobile.actions.field_now import field_now
from mobile.actions.round import Round
from mobile.actions.save_entry import Saved
from mobile.actions.save_stop import walked_so_far
from mobile.actions.sheets import sheets_chosen
from mobile.presenters.entry_words import told
from mobile.presenters.field_words import last_of
from mobile.presenters.lines import SaidView
from mobile.presenters.session import Session
from shared.languages import say
from shared.status.fact import Fact
from shared.status.meaning import Told, meaning

FROST = "meaning.cover.frost"
"""What frost means for feed is said at the round's first stop, and again where the round is done."""


TOLD_WHOLE = ("ground", "firmness")
"""Of these no sentence holds alone: the ground's word with its reason and what a sheet bars, a hard layer with the
spade check that must come first under sod."""


def meaning_of(session: Session, walked: Round, saved: Sequence[Saved]) -> SaidView:
    """The first sentence of the first entry that has one; else that it is saved, and what."""
    earlier = walked_so_far(session.phone, session.enrolment, walked)
    ids = {one.entry.id for one in saved}
    for fact in (one for one in earlier if one.id in ids):
        shown = sentence(session, fact, earlier)
        if shown is not None:
            return SaidView(shown[0], session.say("undo"), shown[1])
    body = saved[0].entry.body
    return SaidView(session.say("round.saved", what=told(session, body)), session.say("undo"))


def sentence(session: Session, fact: Fact, earlier: Sequence[Fact] = ()) -> tuple[str, bool] | None:
    """What a fact means and whether that is grave; None where there is nothing to say."""
    leans_on = Told(
        earlier=tuple(one for one in earlier if one.id != fact.id),
        sheets=sheets_chosen(session.phone, session.enrolment),
        zone=session.zone,
        under_sod=_under_sod(session, fact.field),
    )
    found = meaning(fact, leans_on)
    first = next((one for one in found if one.key == FROST and not earlier_of(fact, earlier)), None)
    shown = [first] if first is not None else list(found if fact.kind in TOLD_WHOLE else found[:1])
    if not shown:
        return None
    return " ".join(say(session.language, one.key, **one.facts) for one in shown), any(
        one.grave for one in shown
    )


def earlier_of(fact: Fact, earlier: Sequence[Fact]) -> bool:
    """Whether this round has a fact of the same kind before this one."""
    return any(one.id != fact.id and one.kind == fact.kind and one.round == fact.round for one in earlier)


def _under_sod(session: Session, id: UUID | None) -> bool:
    """A field that lies in hay has its hard layer under sod."""
    if id is None:
        return False
    leg = field_now(session.phone, session.enrolment, id).leg
    return leg is not None and leg.leg == "hay"


def last_figures(session: Session, id: UUID | None, measure: str) -> str:
    """*last 58 in, 12 June*, above the figure that is being written."""
    if id is None:
        return session.say("last.first_time")
    last = last_of(session, field_now(session.phone, session.enrolment, id), measure)
    if last == session.say("last.nothing"):
        return session.say("last.first_time")
    return session.say("last.was", told=last)
