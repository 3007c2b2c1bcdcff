"""A due in words: the job with how late it is, and why."""

from __future__ import annotations

from datetime import date
from uuid import UUID

from mobile.actions.land import dues
from mobile.actions.loads_today import facts_of_day
from mobile.presenters.session import Session
from shared.languages import has, say
from shared.status.put_off import not_put_off
from shared.words.due import Due


def next_due(session: Session, field: UUID) -> Due | None:
    """What is next in a field: what is put to this person first, then what may begin by now, by its last day. What
    was put off on this phone today stands again tomorrow."""
    person, today = session.person, session.today()
    off = facts_of_day(session.phone, session.enrolment, today)
    known = not_put_off(dues(session.phone, session.enrolment), off, today, session.zone)
    open_ones = [
        one for one in known if one.field == field and (one.earliest is None or one.earliest <= today)
    ]
    mine = [one for one in open_ones if person is not None and one.person == person.id]
    return next(iter(mine or open_ones), None)


def job_line(session: Session, due: Due) -> str:
    """*Mow, 3 days late* · *Mow, by 14 July* · *Mow, today*."""
    job = say(session.language, f"dues.title.{due.job}")
    return session.say(_when_key(due.last, session.today()), job=job, **_when_facts(due.last, session))


def _when_key(last: date | None, today: date) -> str:
    if last is None:
        return "due.no_day"
    days = (last - today).days
    return "due.late" if days < 0 else "due.today" if days == 0 else "due.by"


def _when_facts(last: date | None, session: Session) -> dict[str, object]:
    if last is None:
        return {}
    days = (session.today() - last).days
    return {"count": days} if days > 0 else {"day": session.on(last)}


def why_line(session: Session, due: Due) -> str:
    """The reason as the fold gave it; empty where this app has no sentence for it yet."""
    for key in (due.why, f"dues.{due.why}", f"dues.{due.job}.{due.why}"):
        if has(session.language, key):
            return say(
                session.language, key, **{name: _fact(session, fact) for name, fact in due.facts.items()}
            )
    return ""


def _fact(session: Session, fact: str) -> object:
    try:
        return session.on(date.fromisoformat(fact))
    except ValueError:
        return fact
