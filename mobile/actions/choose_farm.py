"""Which farm the phone is working in. Most phones are in one; entries never move between two."""

from __future__ import annotations

from mobile.ports import Enrolment, Phone
from mobile.trouble import NotJoined

SETTING = "farm"


def farms(phone: Phone) -> tuple[Enrolment, ...]:
    return phone.book.enrolments()


def choose_farm(phone: Phone, enrolment: int) -> Enrolment:
    found = phone.book.enrolment(enrolment)
    phone.book.keep_setting(SETTING, str(enrolment))
    return found


def current_farm(phone: Phone) -> Enrolment:
    """The farm chosen last, or the only one. Raises ``NotJoined`` on a phone that is in none."""
    known = phone.book.enrolments()
    kept = phone.book.setting(SETTING)
    for one in known:
        if str(one.id) == kept:
            return one
    if not known:
        raise NotJoined
    return known[0]
