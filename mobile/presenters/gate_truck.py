"""A truck's line at the gate, and why a load was turned back, in the reader's language."""

from __future__ import annotations

from typing import Any

from mobile.presenters.lines import TruckView
from mobile.presenters.session import Session
from mobile.presenters.trucks import TruckHere
from shared.languages.stock import said_again
from shared.words.bodies.gate import Load


def truck_view(session: Session, truck: TruckHere, is_next: bool, is_open: bool) -> TruckView:
    back = session.say("gate.back_again" if truck.is_turned_back else "gate.turn_back")
    under = _line(session, truck, is_next)
    return TruckView(truck.key, truck.label, under, back, is_open, truck.is_turned_back and not is_open)


def _line(session: Session, truck: TruckHere, is_next: bool) -> str:
    last = truck.last
    if last is None:
        return session.say("gate.not_today", yards=truck.bed_yd3)
    body: Any = last.body
    if truck.is_turned_back:
        why = why_back(session, body)
        return session.say("gate.was_turned_back", time=session.clock(last.made_at.utc), why=why)
    if is_next:
        return session.say("gate.likeliest")
    back_at = truck.back_at()
    if back_at is not None:
        return session.say("gate.back_about", time=session.clock(back_at))
    return session.say("gate.last_at", time=session.clock(last.made_at.utc))


def why_back(session: Session, load: Load) -> str:
    """The reason, by what was seen where that is known; what somebody typed stays as it was typed."""
    if load.reason:
        return said_again(session.language, load.reason)
    if load.trash_items:
        return session.say(f"reason.{load.trash_items[0]}")
    return session.say("reason.bags") if load.bags == "many" else ""
