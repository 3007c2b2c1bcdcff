"""What each measure of a field last was, in one line."""

from __future__ import annotations

from datetime import date
from uuid import UUID

from mobile.actions.land import field
from mobile.presenters.session import Session
from shared.languages.crops import crop_word
from shared.status.field_status import FieldStatus


def last_of(session: Session, status: FieldStatus, measure: str) -> str:
    """The line beside a measure's name; what to do where there is nothing yet."""
    told = {
        "cover": _cover,
        "weeds": _weeds,
        "firmness": _firmness,
        "leaf_depth": _leaves,
        "ground": _ground,
        "work": _work,
    }
    return told[measure](session, status) or session.say("last.nothing")


def leg_line(session: Session, status: FieldStatus) -> str:
    """*smother, second year*; the crop where it is a cash crop's."""
    leg = status.leg_on(session.today()) or status.leg
    if leg is None:
        return session.say("leg.unknown")
    name = session.say(f"leg.{leg.leg}")
    years = session.today().year - leg.starts_on.year + 1
    if leg.leg == "cash" and leg.crop:
        return session.say("leg.with_crop", leg=name, crop=crop_word(session.language, leg.crop))
    if years > 1:
        return session.say("leg.in_year", leg=name, year=ordinal(session, years))
    return name


def ordinal(session: Session, number: int) -> str:
    return session.say(f"ordinal.{number}" if number <= 5 else "ordinal.more", number=number)


def _dated(session: Session, key: str, on: date, **facts: object) -> str:
    return session.say("last.dated", told=session.say(key, **facts), day=session.on(on))


def _cover(session: Session, status: FieldStatus) -> str:
    if not status.cover:
        return ""
    one = status.cover[0]
    return _dated(session, "last.cover", one.on, height=round(one.mean_in))


def _weeds(session: Session, status: FieldStatus) -> str:
    if not status.weeds:
        return ""
    one = status.weeds[0]
    return _dated(session, f"weed_word.{one.word}", one.on)


def _firmness(session: Session, status: FieldStatus) -> str:
    if not status.firmness:
        return ""
    one = status.firmness[0]
    return session.say("last.firm_sure" if one.sure else "last.firm", hard=one.hard, count=one.judged)


def _leaves(session: Session, status: FieldStatus) -> str:
    if status.leaf_depth and (
        not status.laid or status.leaf_depth[0].on >= max(one.since for one in status.laid)
    ):
        one = status.leaf_depth[0]
        return _dated(session, "last.depth", one.on, depth=one.mean_in)
    if status.laid:
        return session.say("last.leaves_of", year=str(max(one.since for one in status.laid).year))
    return ""


def _ground(session: Session, status: FieldStatus) -> str:
    if status.ground is None:
        return ""
    seen = status.ground
    return _dated(session, f"ask.state.{seen.body['state']}", seen.when[0])


def _work(session: Session, status: FieldStatus) -> str:
    last = status.last_done(*status.last_jobs)
    return _dated(session, f"job.{last.job}", last.on) if last is not None else ""


def field_name(session: Session, id: UUID | None) -> str:
    ground = None if id is None else field(session.phone, session.enrolment, id)
    return session.say("no_field") if ground is None else ground.name
