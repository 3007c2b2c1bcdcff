"""The field that receives at the gate: its room in whole loads, and today's word on its ground."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from decimal import Decimal
from typing import Any
from uuid import UUID

from mobile.actions.field_now import field_now
from mobile.actions.land import field
from mobile.actions.room_left import room_left
from mobile.presenters.gate_view import GroundView
from mobile.presenters.session import Session
from shared.errors import GoodgroundError
from shared.languages import figure
from shared.reckoning.ground import ground_fitness
from shared.status.leaf_room import RoomLeft

SETTING = "gate.field"


def receiving(session: Session) -> UUID | None:
    """The field that loads go to now, as the tallier last chose it."""
    kept = session.phone.book.setting(f"{SETTING}.{session.enrolment}")
    if kept is None or field(session.phone, session.enrolment, UUID(kept)) is None:
        return None
    return UUID(kept)


def receive_in(session: Session, id: UUID) -> None:
    session.phone.book.keep_setting(f"{SETTING}.{session.enrolment}", str(id))


def room(session: Session, id: UUID, town: UUID | None, load_yd3: Decimal | None) -> RoomLeft | None:
    return room_left(session.phone, session.enrolment, id, session.today(), town, load_yd3)


def ground_view(session: Session, town: UUID | None, load_yd3: Decimal | None) -> GroundView:
    """The line of the receiving field."""
    id = receiving(session)
    if id is None:
        return GroundView(session.say("gate.no_field"), session.say("gate.choose_field"), wrong=True)
    ground = field(session.phone, session.enrolment, id)
    left = room(session, id, town, load_yd3)
    assert ground is not None
    if left is None or left.closed:
        why = left.closed[0] if left is not None else "no_area"
        return GroundView(
            session.say("gate.closed", field=ground.name), session.say(f"gate.why.{why}"), wrong=True
        )
    yards = figure(session.language, left.room_yd3, 0)
    room_line = session.say("gate.room", field=ground.name, yards=yards)
    return GroundView(room_line, _under(session, id, left), wrong=left.whole_loads == 0)


def _under(session: Session, id: UUID, left: RoomLeft) -> str:
    word = ground_word(session, id) or session.say("gate.ground_unknown")
    if left.whole_loads == 0:
        return session.say("gate.full", ground=word)
    if left.whole_loads is None:
        return session.say("gate.room_under_no_load", ground=word)
    return session.say("gate.room_under", count=left.whole_loads, ground=word)


def ground_word(session: Session, id: UUID) -> str:
    """*light loads only, 07:10*; empty where nobody has looked."""
    seen = field_now(session.phone, session.enrolment, id).ground
    if seen is None:
        return ""
    try:
        fit = ground_fitness(**fitness_inputs(seen.body))
    except GoodgroundError:
        return ""
    at = datetime.fromisoformat(seen.at).astimezone(session.zone) if "T" in seen.at else None
    day = session.on(seen.when[0])
    when = at.strftime("%H:%M") if at is not None and at.date() == session.today() else day
    return session.say("gate.ground", word=session.say(f"fitness.{fit.verdict}"), when=when)


def fitness_inputs(body: Mapping[str, Any]) -> dict[str, Any]:
    """What the ground's entry says, as the reckoning takes it."""
    inputs: dict[str, Any] = {"state": body["state"]}
    for key in ("frost_in", "snow_in", "axle_tons", "tire_psi"):
        if body.get(key) is not None:
            inputs[key] = float(body[key])
    if body.get("thread") is not None:
        inputs["thread"] = body["thread"]
    if body.get("snow_packed") is not None:
        inputs["snow_packed"] = str(body["snow_packed"]).lower() == "true"
    return inputs
