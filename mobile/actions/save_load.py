"""Save a load at the gate, under a ticket number that no other phone gives out."""

from __future__ import annotations

from collections.abc import Callable
from uuid import UUID

from mobile.actions.save_entry import NewEntry, Saved, save_entries
from mobile.ports import Draft, Phone
from shared.words.bodies.gate import Load
from shared.words.entry import Photo

DRAFT = "tickets"
ALPHABET = "23456789ABCDEFGHJKMNPQRSTVWXYZ"
"""No look-alikes."""
MARK_LENGTH = 5


def next_ticket(phone: Phone, enrolment: int) -> str:
    """*0613-K7Q2M*: this phone's own count, and a mark of the phone's number that parts it from every other."""
    return f"{_given(phone, enrolment) + 1:04d}-{ticket_mark(phone.book.enrolment(enrolment).phone)}"


def ticket_mark(phone: UUID) -> str:
    """Five characters of the phone's own number: two phones of a farm share them once in 24 million."""
    left, out = phone.int, ""
    for _ in range(MARK_LENGTH):
        left, at = divmod(left, len(ALPHABET))
        out += ALPHABET[at]
    return out


def save_load(
    phone: Phone,
    enrolment: int,
    load: Callable[[str], Load],
    field: UUID | None = None,
    photos: tuple[Photo, ...] = (),
) -> Saved:
    """``load`` makes the body from its ticket. The number is used up in the same commit, so that a kill never
    gives it out twice. Raises as ``save_entry`` does."""
    ticket = next_ticket(phone, enrolment)
    used = Draft(DRAFT, {"given": _given(phone, enrolment) + 1})
    new = NewEntry(body=load(ticket), field=field, photos=photos)
    return save_entries(phone, enrolment, [new], used)[0]


def _given(phone: Phone, enrolment: int) -> int:
    tree = phone.book.draft(enrolment, DRAFT)
    return int(tree["given"]) if tree is not None else 0
