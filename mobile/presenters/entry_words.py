"""What an entry says, in one line of the person's language."""

from __future__ import annotations

from dataclasses import replace
from typing import Any
from uuid import UUID

from mobile.actions.choose_person import people
from mobile.actions.land import fields, piles, towns, vehicles
from mobile.presenters.session import Session
from shared.status.fact import Fact
from shared.status.telling import Names, telling
from shared.words.bodies import Body
from shared.words.bodies.reading import Correction, Strike


def titled(session: Session, fact: Fact) -> str:
    """What it is of: *Cover, stop 5* · *Load 0613-K7Q2M*."""
    title = telling(session.language, fact.body, names(session)).title
    if fact.stop is not None:
        return session.say("entry.at_stop", kind=title, stop=fact.stop)
    if fact.kind == "load":
        body: Any = fact.body
        return session.say("entry.ticket", kind=title, ticket=body.ticket)
    return title


def told(session: Session, body: Body) -> str:
    """What it says: *71 in, few heads*."""
    return telling(session.language, body, names(session)).sum


def details(session: Session, body: Body) -> tuple[tuple[str, str], ...]:
    """Each thing that it says, with its label."""
    return telling(session.language, body, names(session)).lines


def names(session: Session) -> Names:
    """What this phone calls a person, place, town or truck."""
    phone, enrolment = session.phone, session.enrolment
    known: dict[UUID, str] = {}
    for kind in (fields, piles, towns):
        known |= {one.id: one.name for one in kind(phone, enrolment)}
    known |= {one.id: one.label for one in vehicles(phone, enrolment)}
    known |= {one.id: one.name for one in people(phone, enrolment)}
    return known.get


def town_name(session: Session, id: UUID) -> str:
    return next(
        (one.name for one in towns(session.phone, session.enrolment) if one.id == id), session.say("no_town")
    )


def as_it_stands(session: Session, fact: Fact) -> Any:
    """The entry as a correction must name it: the last correction in force, else the entry itself."""
    named = fact.corrected_by or fact.id
    own = session.phone.book.own(session.enrolment, named)
    assert own is not None
    entry = own.entry
    assert not isinstance(entry.body, Strike)
    return replace(entry, kind=fact.kind, body=fact.body) if isinstance(entry.body, Correction) else entry
