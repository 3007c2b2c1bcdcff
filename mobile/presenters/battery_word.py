"""What is said at the gate before the battery is empty: who else has the tally."""

from __future__ import annotations

from mobile.actions.loads_today import loads_today
from mobile.actions.season import laid_today
from mobile.presenters.session import Session

LOW_PCT = 15


def battery_word(session: Session) -> str:
    """*Battery at 12 %. All is handed in: another phone can go on.*; empty while there is enough, while the phone is
    charged, and where it doesn't say."""
    charge = session.phone.senses.battery.charge()
    if charge is None or charge.charging or charge.percent >= LOW_PCT:
        return ""
    facts = {"percent": charge.percent, "count": session.farm.waiting, "loads": _of_others(session)}
    if session.farm.waiting:
        return session.say("battery.waiting", **facts)
    return session.say("battery.shared" if facts["loads"] else "battery.handed_in", **facts)


def _of_others(session: Session) -> int:
    """Loads of today that other phones told of."""
    every = laid_today(session.phone, session.enrolment, session.today())
    own = loads_today(session.phone, session.enrolment, session.today())
    return max(0, sum(loads for loads, _ in every.values()) - own)
