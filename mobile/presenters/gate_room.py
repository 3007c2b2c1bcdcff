"""The places that receive at the gate, fields and piles: room in whole loads, and today's word on the ground."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Any
from uuid import UUID

from mobile.actions.field_now import field_now
from mobile.actions.land import fields, piles
from mobile.actions.room_left import room_left
from mobile.presenters.buffer_words import laid_inside
from mobile.presenters.gate_view import GroundView
from mobile.presenters.session import Session
from shared.errors import GoodgroundError
from shared.languages import figure
from shared.reckoning.ground import ground_fitness
from shared.status.field_year import GroundSeen
from shared.status.leaf_room import RoomLeft
from shared.status.reserve import Bears, MayReceive, kept_back, next_best
from shared.words.place import Outline

SETTING = "gate.field"
NEVER_HEARD_MIN = 24 * 60


@dataclass(frozen=True, slots=True)
class Place:
    """A field or a pile. ``field`` is where the phone would be standing: the field itself, or the pile's."""

    id: UUID
    name: str
    is_pile: bool
    field: UUID | None
    outline: Outline | None = None


def places(session: Session) -> tuple[Place, ...]:
    """All that can receive: the fields by name, then the piles."""
    phone, farm = session.phone, session.enrolment
    in_fields = tuple(Place(one.id, one.name, False, one.id, one.outline) for one in fields(phone, farm))
    on_piles = (Place(one.id, one.name, True, one.in_field, one.outline) for one in piles(phone, farm))
    return in_fields + tuple(on_piles)


def place_of(session: Session, id: UUID | None) -> Place | None:
    return next((one for one in places(session) if one.id == id), None)


def receiving(session: Session) -> UUID | None:
    """The place that loads go to now, as the tallier last chose it."""
    kept = session.phone.book.setting(f"{SETTING}.{session.enrolment}")
    known = place_of(session, UUID(kept)) if kept is not None else None
    return known.id if known is not None else None


def receive_in(session: Session, id: UUID) -> None:
    session.phone.book.keep_setting(f"{SETTING}.{session.enrolment}", str(id))


def room(session: Session, id: UUID, town: UUID | None, load_yd3: Decimal | None) -> RoomLeft | None:
    return room_left(session.phone, session.enrolment, id, session.today(), town, load_yd3)


def ground_view(session: Session, town: UUID | None, load_yd3: Decimal | None) -> GroundView:
    """The line of the place that receives."""
    place = place_of(session, receiving(session))
    if place is None:
        return GroundView(session.say("gate.no_field"), session.say("gate.choose_field"), wrong=True)
    if place.is_pile:
        told = laid_inside(session, place.outline)
        under = session.say("buffer.pile", told=told) if told else session.say("gate.pile_under")
        return GroundView(session.say("gate.to_pile", pile=place.name), under, wrong=bool(told))
    left = room(session, place.id, town, load_yd3)
    if left is None or left.closed:
        why = left.closed[0] if left is not None else "no_area"
        under = _with_reserve(session, session.say(f"gate.why.{why}"), place, town, load_yd3)
        return GroundView(session.say("gate.closed", field=place.name), under, wrong=True)
    yards = figure(session.language, left.room_yd3, 0)
    told = session.say("gate.room", field=place.name, yards=yards)
    under = _under(session, place.id, left)
    wrong = left.whole_loads == 0 or bears(session, place.id) == "stay_off"
    return GroundView(told, _with_reserve(session, under, place, town, load_yd3) if wrong else under, wrong)


def _under(session: Session, id: UUID, left: RoomLeft) -> str:
    word = ground_word(session, id) or session.say("gate.ground_unknown")
    if left.whole_loads == 0:
        return session.say("gate.full", ground=word)
    if left.whole_loads is None:
        return session.say("gate.room_under_no_load", ground=word)
    kept = kept_back(unheard_min(session), left.whole_loads)
    if kept:
        return session.say("gate.room_kept", loads=left.whole_loads - kept, kept=kept, ground=word)
    return session.say("gate.room_under", count=left.whole_loads, ground=word)


def unheard_min(session: Session) -> int:
    """Minutes since this phone last heard what other phones wrote."""
    heard = session.farm.handed_at
    if heard is None or heard.utc is None:
        return NEVER_HEARD_MIN
    return int((session.now() - heard.utc).total_seconds() // 60)


def _with_reserve(
    session: Session, told: str, place: Place, town: UUID | None, load_yd3: Decimal | None
) -> str:
    other = reserve(session, place.id, town, load_yd3)
    return session.say("gate.with_reserve", told=told, field=other.name) if other is not None else told


def reserve(session: Session, now: UUID | None, town: UUID | None, load_yd3: Decimal | None) -> Place | None:
    """The field that is next best for this town's loads; looked for anew only where something was written or heard
    since, for a farm may have hundreds of fields."""
    key = (session.farm.line, session.farm.cursor, session.today(), now, town, load_yd3)
    kept: tuple[Any, UUID | None] | None = session.facts.get("reserve")
    if kept is None or kept[0] != key:
        kept = (key, next_best(_may_receive(session, town, load_yd3), now))
        session.facts["reserve"] = kept
    return place_of(session, kept[1])


def _may_receive(session: Session, town: UUID | None, load_yd3: Decimal | None) -> list[MayReceive]:
    found = []
    for one in fields(session.phone, session.enrolment):
        left = room(session, one.id, town, load_yd3)
        if left is not None:
            fit = bears(session, one.id)
            found.append(MayReceive(one.id, left.room_yd3, left.whole_loads, bool(left.closed), fit))
    return found


def bears(session: Session, id: UUID) -> Bears | None:
    """What the ground bears by today's look at it; None where nobody has looked today."""
    seen = field_now(session.phone, session.enrolment, id).ground
    return _fitness(seen) if seen is not None and seen.when[0] == session.today() else None


def _fitness(seen: GroundSeen) -> Bears | None:
    try:
        return ground_fitness(**fitness_inputs(seen.body)).verdict
    except GoodgroundError:
        return None


def ground_word(session: Session, id: UUID) -> str:
    """*light loads only, 07:10*; an older look with its day; empty where nobody has looked."""
    seen = field_now(session.phone, session.enrolment, id).ground
    fit = _fitness(seen) if seen is not None else None
    if seen is None or fit is None:
        return ""
    at = datetime.fromisoformat(seen.at).astimezone(session.zone) if "T" in seen.at else None
    day = session.on(seen.when[0])
    when = at.strftime("%H:%M") if at is not None and at.date() == session.today() else day
    return session.say("gate.ground", word=session.say(f"fitness.{fit}"), when=when)


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
