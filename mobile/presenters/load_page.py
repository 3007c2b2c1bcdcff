"""What the pages of one truck's load share: turn back, look closer, where it goes."""

from __future__ import annotations

from typing import Any
from uuid import UUID

from mobile.actions.save_entry import Saved
from mobile.actions.save_load import save_load
from mobile.presenters.buffer_words import inside_buffer
from mobile.presenters.entry_words import town_name
from mobile.presenters.gate_load import Looked, Sent, load_body, shared_out, short_ticket
from mobile.presenters.gate_room import Place, place_of, receiving, reserve, room
from mobile.presenters.lines import SaidView
from mobile.presenters.picture import Picture
from mobile.presenters.presenter import Presenter
from mobile.presenters.round_walk import where
from mobile.presenters.session import Session
from mobile.presenters.town_season import over_cap_yd3
from mobile.presenters.trucks import TruckHere
from shared.errors import GoodgroundError
from shared.languages import figure
from shared.reckoning.land import contains


class LoadPage(Presenter):
    """The truck, its fill and the load it comes back for are handed over by the gate."""

    home = "gate"

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.truck: TruckHere | None = None
        self.fill = "100"
        self.again_of: UUID | None = None
        self.typed: dict[str, str] = {}
        self.picture = Picture(session, lambda: self.changed())

    def entered(self) -> None:
        facts = self.session.facts
        self.truck = facts.pop("truck", None) or self.truck
        self.fill = facts.pop("fill", "") or "100"
        self.again_of = facts.pop("again_of", None)
        self.typed, self.notice = {}, ""
        self.picture.clear()

    def write(self, key: str, text: str) -> None:
        self.typed[key] = text

    def keep(self, looked: Looked, to: Sent = ()) -> None:
        """Save the load and go back to the gate, which says so."""
        truck, fill, again = self.truck, self.fill, self.again_of
        assert truck is not None
        place = place_of(self.session, to[0][0]) if to else None
        try:
            saved = save_load(
                self.session.phone,
                self.session.enrolment,
                lambda ticket: load_body(truck, ticket, fill, looked, to, again),
                place.field if place is not None else None,
                self.picture.photos,
            )
        except GoodgroundError as error:
            self.notice = self.session.trouble(error)
            self.changed()
            return
        self.session.saved()
        self.session.facts["load_saved"] = (saved, told_saved(self.session, truck, saved))
        self.session.go("gate")

    def to_where_it_goes(self) -> Sent:
        """The whole load to the place that receives; a notice where it can't go there."""
        assert self.truck is not None
        to = receiving(self.session)
        self.notice = refused(self.session, self.truck, to)
        return () if to is None or self.notice else shared_out(self.yards(), (to,))

    def yards(self) -> Any:
        assert self.truck is not None
        return self.truck.bed_yd3 * int(self.fill) / 100


def refused(session: Session, truck: TruckHere, to: UUID | None) -> str:
    """Why a load can't go there, with the next best field; empty where it can. A full field, or one that bears
    none today, warns and does not refuse."""
    place = place_of(session, to)
    if to is None or place is None:
        return session.say("gate.choose_field")
    if place.is_pile:
        return ""
    left = room(session, to, truck.town, truck.bed_yd3)
    if left is None or "town_not_approved" not in left.closed:
        return ""
    told = session.say("gate.town_not_approved", town=town_name(session, truck.town))
    other: Place | None = reserve(session, to, truck.town, truck.bed_yd3)
    return session.say("gate.with_reserve", told=told, field=other.name) if other is not None else told


def told_saved(session: Session, truck: TruckHere, saved: Saved) -> SaidView:
    """*0613 Fallowdale 6 taken, 20 yd³*, with the word of its undo."""
    body: Any = saved.entry.body
    key = "gate.taken" if body.is_taken else "turn_back.saved"
    facts = {"ticket": short_ticket(body.ticket), "truck": truck.label, "yards": body.carried_yd3}
    if len(body.to) > 1:
        first, second = (place_of(session, id) for id, _ in body.to[:2])
        if first is not None and second is not None:
            facts |= {"first": first.name, "second": second.name}
            key = "gate.taken_shared"
    told, wrong = session.say(key, **facts), False
    for more in (_in_buffer(session, body), _over_cap(session, body)):
        if more:
            told, wrong = session.say("town_season.then", told=told, more=more), True
    return SaidView(told, session.say("undo"), wrong)


def _in_buffer(session: Session, body: Any) -> str:
    """Where the tallier stands on the ground that the load went to, within a buffer there; at the gate nothing can
    be said of where the leaves lie."""
    here = where(session)
    grounds = [place.outline for id, _ in body.to if (place := place_of(session, id)) is not None]
    if here is None or not any(contains(here, one) for one in grounds if one):
        return ""
    told = inside_buffer(session)
    return session.say("load_buffer.told", where=told) if told else ""


def _over_cap(session: Session, body: Any) -> str:
    over = over_cap_yd3(session, body.town) if body.is_taken else 0
    town = town_name(session, body.town)
    return (
        session.say("town_season.now_over", town=town, yards=figure(session.language, over, 0))
        if over
        else ""
    )
