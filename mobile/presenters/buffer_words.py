"""What is said where something is written, or laid, inside a buffer: by the phone's own copy of the land."""

from __future__ import annotations

from collections.abc import Iterable

from mobile.actions.land import buffers
from mobile.presenters.round_walk import outside_by_m
from mobile.presenters.session import Session
from shared.languages import figure
from shared.reckoning.plane import LatLon, rings
from shared.status.kept_off import Near, near, off_by_ft
from shared.words.field import Field
from shared.words.place import Outline


def inside_buffer(session: Session) -> str:
    """*12 ft from Well, kept at 50*, where the phone surely stands within a buffer; empty elsewhere, and where
    there is no position or it doesn't say how far it may be out."""
    position = session.phone.receiver.fix().position
    if position is None or position.r68_m is None:
        return ""
    point = (float(position.lat), float(position.lon))
    return _told(session, near(point, off_by_ft(position), buffers(session.phone, session.enrolment)))


def laid_inside(session: Session, outline: Outline | None) -> str:
    """The same of something drawn, by the corner of it that comes nearest; empty where it was never drawn."""
    corners: Iterable[LatLon] = (spot for piece in outline or () for ring in rings(piece) for spot in ring)
    around = buffers(session.phone, session.enrolment)
    found = [one for spot in corners for one in near(spot, 0.0, around)]
    return _told(session, sorted(found, key=lambda one: one.distance_ft))


def stop_elsewhere(session: Session, ground: Field) -> str:
    """What is asked about a stop that lies outside its field or within a buffer; empty elsewhere."""
    away_m = outside_by_m(session, ground)
    if away_m is not None:
        return session.say("round_outside.asked", field=ground.name, distance=away_m)
    told = inside_buffer(session)
    return session.say("round_buffer.asked", told=told) if told else ""


def spread_inside(session: Session) -> str:
    told = inside_buffer(session)
    return session.say("work_buffer.asked", told=told) if told else ""


def _told(session: Session, those: Iterable[Near]) -> str:
    one = next((each for each in those if each.sure), None)
    if one is None:
        return ""
    feet, kept = (figure(session.language, each, 0) for each in (one.distance_ft, one.setback_ft))
    key = "in_buffer" if one.distance_ft > 0 else "on_it"
    return session.say(f"buffer.{key}", name=one.name, distance=feet, setback=kept)
