"""Own entries as they stand on this phone, for the folds that the server uses too."""

from __future__ import annotations

from collections.abc import Sequence
from uuid import UUID

from mobile.actions.choose_person import people
from mobile.ports import Enrolment, OwnLine, Phone
from shared.status.fact import Fact, Hands
from shared.status.standing import plain, standing
from shared.words.entry import Written

WORD_COUNTS = ("manager", "owner")
"""Whose correction of another's entry needs no initials (contract, W2)."""


def own_written(phone: Phone, enrolment: int, since_line: int = 1) -> tuple[Written, ...]:
    """Own entries from a line on, oldest first."""
    who = phone.book.enrolment(enrolment)
    return tuple(as_written(who, line) for line in phone.book.since(enrolment, since_line))


def unpulled(phone: Phone, enrolment: int) -> tuple[Written, ...]:
    """Own entries that the pulled copy can't know yet: what to lay over it."""
    who = phone.book.enrolment(enrolment)
    return tuple(as_written(who, line) for line in phone.book.unpulled(enrolment))


def unpulled_in_force(phone: Phone, enrolment: int) -> tuple[Fact, ...]:
    """What of those stands."""

    def work() -> tuple[Fact, ...]:
        return standing(unpulled(phone, enrolment), hands(phone, enrolment)).in_force

    return phone.book.worked_out(("unpulled", enrolment), work)


def as_written(who: Enrolment, line: OwnLine) -> Written:
    outcome = "kept" if line.state == "waiting" else line.state
    return Written(line.entry, line.sha, who.phone, line.line, line.number, outcome)


def hands(phone: Phone, enrolment: int) -> Hands:
    return Hands(frozenset(one.id for one in people(phone, enrolment) if one.role in WORD_COUNTS))


def own_facts(phone: Phone, enrolment: int, entries: Sequence[UUID]) -> dict[UUID, Fact]:
    """What these own entries say now, in the order of the book. However large the book, only they and what speaks
    of them are read. One that was refused stands as it was written."""
    who = phone.book.enrolment(enrolment)
    written = [as_written(who, line) for line in phone.book.speaking_of(enrolment, entries)]
    known = {one.id: one for one in standing(written, hands(phone, enrolment)).facts}
    wanted = set(entries)
    refused = {
        one.entry.id: plain(one) for one in written if one.outcome == "refused" and one.entry.id in wanted
    }
    return refused | known
