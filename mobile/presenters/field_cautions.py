"""What is to be minded in one field before a job, by what the phone knows of it, and how old that news is."""

from __future__ import annotations

from uuid import UUID

from mobile.actions.field_now import field_now
from mobile.presenters.session import Session


def caution_here(session: Session, job: str, field: UUID | None) -> str:
    """People who walk a round where is to be mown; trash in hay off ground that had leaves. Empty where neither."""
    if field is None or job not in ("mow", "cut_hay", "bale"):
        return ""
    status = field_now(session.phone, session.enrolment, field)
    if job != "mow":
        return session.say("caution.leafed_hay") if status.laid else ""
    rounds = (*status.cover[:1], *status.weeds[:1], *status.firmness[:1], *status.leaf_depth[:1])
    if not any(one.on == session.today() for one in rounds):
        return ""
    at = session.farm.handed_at
    if at is None or at.utc is None:
        return session.say("caution.round_today")
    return session.say("caution.round_today_as_of", time=session.clock(at.utc))
