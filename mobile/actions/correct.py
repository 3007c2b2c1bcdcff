"""Correct an entry: a whole replacement body. The first one stays readable, ruled through."""

from __future__ import annotations

from uuid import UUID

from mobile.actions.save_entry import NewEntry, Saved, refuse_unbelievable, save_entry
from mobile.ports import Phone
from mobile.trouble import NoSuchEntry
from shared.words.bodies import Body
from shared.words.bodies.reading import Correction
from shared.words.entry import Entry


def correct(phone: Phone, enrolment: int, entry: Entry, body: Body, why: str) -> Saved:
    """``entry`` (what is corrected, as it stands now) gets a new body of the same kind. Its field, part, round,
    stop and time of doing are kept. Raises as ``save_entry`` does."""
    refuse_unbelievable(body)
    new = NewEntry(
        body=Correction(of=entry.kind, body=body, why=why),
        field=entry.field,
        part=entry.part,
        land=entry.land,
        round=entry.round,
        stop=entry.stop,
        done_at=entry.done_at,
        done_by=entry.done_by,
        names=entry.id,
    )
    return save_entry(phone, enrolment, new)


def own_entry(phone: Phone, enrolment: int, id: UUID) -> Entry:
    found = phone.book.own(enrolment, id)
    if found is None:
        raise NoSuchEntry(id)
    return found.entry
