"""Say with four digits who is writing: a name tag, not a lock. The language goes with the person."""

from __future__ import annotations

from uuid import UUID

from mobile.ports import Phone
from mobile.trouble import NobodyChosen
from shared.words.person import Person, digits_hash


def people(phone: Phone, enrolment: int) -> tuple[Person, ...]:
    """Everybody who may write in this farm, by name."""
    everybody = phone.book.values(enrolment, "people")
    return tuple(sorted((one for one in everybody if not one.retired), key=lambda one: one.name))


def whose_digits(phone: Phone, enrolment: int, digits: str) -> tuple[Person, ...]:
    """Who has these four digits: nobody, one, or several, among whom the person then taps a name."""
    return tuple(one for one in people(phone, enrolment) if one.digits == digits_hash(one.id, digits))


def choose_person(phone: Phone, enrolment: int, person: UUID) -> Person:
    """From now on this person writes, in their language. Raises ``NobodyChosen`` for one who is not there."""
    for one in people(phone, enrolment):
        if one.id == person:
            phone.book.keep_setting(_setting(enrolment), str(person))
            return one
    raise NobodyChosen


def who_writes(phone: Phone, enrolment: int) -> Person | None:
    """The person chosen, None where nobody is or they have left."""
    kept = phone.book.setting(_setting(enrolment))
    return next((one for one in people(phone, enrolment) if str(one.id) == kept), None)


def chosen_person(phone: Phone, enrolment: int) -> UUID:
    kept = phone.book.setting(_setting(enrolment))
    if kept is None:
        raise NobodyChosen
    return UUID(kept)


def put_tag_away(phone: Phone, enrolment: int) -> None:
    """Nobody writes until somebody says who they are."""
    phone.book.keep_setting(_setting(enrolment), None)


def _setting(enrolment: int) -> str:
    return f"person.{enrolment}"
