"""Answer a query from the evening reading."""

from __future__ import annotations

from uuid import UUID

from mobile.actions.save_entry import NewEntry, Saved, save_entry
from mobile.ports import Phone
from shared.words.bodies.reading import Answer
from shared.words.verdict import Asked


def open_queries(phone: Phone, enrolment: int, person: UUID) -> tuple[Asked, ...]:
    """What this person has been asked and has not answered, here or elsewhere, oldest first."""
    here = {line.entry.names for line in phone.book.unpulled(enrolment) if line.entry.kind == "answer"}
    asked = phone.book.values(enrolment, "queries")
    mine = [one for one in asked if one.to == person and not one.answered and one.id not in here]
    return tuple(sorted(mine, key=lambda one: (one.asked_at.text, str(one.id))))


def answer_query(
    phone: Phone, enrolment: int, query: Asked, ask: str | None = None, text: str | None = None
) -> Saved:
    """``ask`` is a stock answer's key, ``text`` own words. Raises as ``save_entry`` does."""
    return save_entry(phone, enrolment, NewEntry(body=Answer(ask=ask, text=text), names=query.id))
