"""Own entries as they stand on this phone, for the folds that the server uses too."""

from __future__ import annotations

from mobile.ports import Enrolment, OwnLine, Phone
from shared.words.entry import Written


def own_written(phone: Phone, enrolment: int, since_line: int = 1) -> tuple[Written, ...]:
    """Own entries from a line on, oldest first."""
    who = phone.book.enrolment(enrolment)
    return tuple(as_written(who, line) for line in phone.book.since(enrolment, since_line))


def unpulled(phone: Phone, enrolment: int) -> tuple[Written, ...]:
    """Own entries that the pulled copy can't know yet: what to lay over it."""
    who = phone.book.enrolment(enrolment)
    return tuple(as_written(who, line) for line in phone.book.unpulled(enrolment))


def as_written(who: Enrolment, line: OwnLine) -> Written:
    outcome = "kept" if line.state == "waiting" else line.state
    return Written(line.entry, line.sha, who.phone, line.line, line.number, outcome)
