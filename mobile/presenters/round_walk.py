"""Where the stops of a round lie, and the way to the next one."""

from __future__ import annotations

from collections.abc import Iterable

from mobile.actions.land import buffers, field, piles
from mobile.actions.round import LatLon, Round
from mobile.presenters.lines import WayView
from mobile.presenters.session import Session
from mobile.presenters.setback import around
from mobile.presenters.sketch import NamedShape, Points, SketchView, StopView
from shared.reckoning.land import nearest_fields, radius95, way, which_field
from shared.reckoning.plane import Plane
from shared.reckoning.round import Measure, stops_for
from shared.reckoning.spreadable import KeepOff, keep_off
from shared.reckoning.stops import EDGE_M, off_stops, stops
from shared.words.field import Buffer, Field

STEP_M = 0.75
"""A step of a grown person in a field. Common practice, no source."""
THERE_STEPS = 6
"""So near a receiver can't tell the way any more: you are there."""
WINDS = ("n", "ne", "e", "se", "s", "sw", "w", "nw")


def where(session: Session) -> LatLon | None:
    """Where the phone is, None without a position."""
    position = session.phone.receiver.fix().position
    return None if position is None else (float(position.lat), float(position.lon))


def laid_stops(
    session: Session, ground: Field, measures: tuple[Measure, ...], count: int = 0
) -> tuple[LatLon, ...]:
    """The stops of a round in the field's own shape, off edges, lanes, buffers and piles; none where it was never
    drawn."""
    if not ground.outline:
        return ()
    off = [off_stops(one) for one in buffers(session.phone, session.enrolment)]
    off += [
        KeepOff(EDGE_M.value, one.outline) for one in piles(session.phone, session.enrolment) if one.outline
    ]
    return stops(ground.outline, count or planned(ground, measures), off, where(session))


def outside_by_m(session: Session, ground: Field) -> int | None:
    """How far outside the field the phone stands, in metres; None where it may be inside or no one can say."""
    position = session.phone.receiver.fix().position
    here = where(session)
    if position is None or here is None or position.r68_m is None or not ground.outline:
        return None
    grounds = {ground.id: ground.outline}
    found = which_field(here, radius95(float(position.r68_m)).r95_m, grounds)
    if found.field is not None or found.candidates:
        return None
    return round(nearest_fields(here, grounds)[0][1])


def planned(ground: Field | None, measures: tuple[Measure, ...]) -> int:
    area = ground.area_ac if ground is not None and ground.area_ac else 1.0
    return stops_for(measures, area)


def to_stop(session: Session, walked: Round, stop: int) -> WayView:
    """The way to a stop: steps, and an arrow as far as the receiver knows which way the phone moves."""
    to = session.say("round.to", stop=stop)
    here = where(session)
    if not 1 <= stop <= len(walked.stops):
        return WayView(session.say("round.anywhere"), session.say("round.not_drawn"))
    if here is None:
        return WayView(session.say("round.by_sketch"), session.say("round.no_position"))
    path = way(here, walked.stops[stop - 1])
    steps = round(path.distance_m / STEP_M)
    if steps <= THERE_STEPS:
        return WayView(session.say("round.there"), to)
    course = session.phone.receiver.fix().course_deg
    if course is None:
        wind = session.say(f"wind.{WINDS[round(path.bearing_deg / 45) % 8]}")
        return WayView(session.say("round.steps_to", count=steps, wind=wind), to)
    return WayView(session.say("round.steps", count=steps), to, (path.bearing_deg - course) % 360)


def sketch_of(session: Session, walked: Round, stop: int | None) -> SketchView:
    """The field with its numbered stops, what is kept off, and you."""
    ground = field(session.phone, session.enrolment, walked.field)
    if ground is None or not ground.outline:
        return SketchView()
    plane = Plane(*ground.outline[0].outer[0])
    here = where(session)
    r68 = session.phone.receiver.fix().position.r68_m if here else None
    near = [one for one in buffers(session.phone, session.enrolment) if _near(one, walked.stops)]
    kept_off, setbacks = drawn_buffers(near, plane)
    return SketchView(
        shapes=tuple(NamedShape("", plane.ring(piece.outer), heavy=True) for piece in ground.outline),
        buffers=kept_off,
        setbacks=setbacks,
        stops=drawn_stops(walked, plane, stop),
        you=None if here is None else plane.spot(here),
        you_r_m=float(r68 or 0),
        north=session.say("wind.north_letter"),
    )


def drawn_stops(walked: Round, plane: Plane, stop: int | None) -> tuple[StopView, ...]:
    """The numbered stops, but for those that another phone made."""
    return tuple(
        StopView(str(at), *plane.spot(point), done=at in walked.done, next=at == stop)
        for at, point in enumerate(walked.stops, 1)
        if at > walked.before
    )


def drawn_buffers(those: Iterable[Buffer], plane: Plane) -> tuple[tuple[Points, ...], tuple[Points, ...]]:
    """What leaves keep off, and the outlines of how far."""
    kept_off: list[Points] = []
    setbacks: list[Points] = []
    for one in those:
        reach_m = keep_off(one).setback_m
        for piece in one.outline or ():
            ring = plane.ring(piece.outer)
            kept_off.append(ring)
            if reach_m > 0:
                setbacks.append(around(ring, reach_m))
    return tuple(kept_off), tuple(setbacks)


def _near(buffer: Buffer, stops: tuple[LatLon, ...]) -> bool:
    """Only what lies about the field is drawn: within some 400 m of a stop."""
    corners = [piece.outer[0] for piece in buffer.outline or ()]
    return any(way(corner, stop).distance_m < 400 for corner in corners for stop in stops[:3])
