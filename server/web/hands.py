"""People, their sign-in links and passwords, as the page of the farm changes them."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from django.db import transaction

from server.people import reads, writes
from server.people.models import Account, Farm, Person
from server.web.given import Given
from shared.errors import GoodgroundError
from shared.languages import LANGUAGES
from shared.words.person import ROLES, digits_hash

DESK = ("manager", "owner", "reader")
"""Roles that sign in on the pages."""
LONGEST_INITIALS = 6
DIGITS = 4
SHORTEST_PASSWORD = 10


class LastOwner(GoodgroundError):
    """A farm keeps at least one owner: nobody else could let anybody in again."""

    code = "last_owner"


class ChangedSince(GoodgroundError):
    """Somebody changed it since the form was made."""

    code = "changed_since"


def save(farm: Farm, person: Person | None, given: Given, now: datetime) -> Person | None:
    """Somebody new, or changed, by a form; None where something can't be used. Raises ``LastOwner``,
    ``ChangedSince``."""
    columns = {
        "name": given.text("name", most=150),
        "initials": given.text("initials", needed=False, most=LONGEST_INITIALS).upper(),
        "role": given.choice("role", ROLES),
        "language": given.choice("language", LANGUAGES),
    }
    if not columns["initials"]:
        columns["initials"] = "".join(word[0] for word in columns["name"].split())[:LONGEST_INITIALS].upper()
    digits = given.text("digits", needed=False)
    if digits and not (len(digits) == DIGITS and digits.isascii() and digits.isdecimal()):
        given.fault("digits", "digits")
    with transaction.atomic():
        Farm.objects.select_for_update().only("id").get(id=farm.id)
        everybody = reads.people(farm.id)
        if digits and _taken(digits, everybody, person):
            given.fault("digits", "digits_taken")
        if not given:
            return None
        if person is None:
            person = writes.add_person(farm.id, now, **columns)
        else:
            _unchanged(person, given)
            if columns["role"] != "owner":
                _another_owner(person, everybody)
            writes.change_person(person, **columns)
        if digits:
            writes.change_person(person, digits=digits_hash(person.id, digits))
        if person.account is not None:
            Account.objects.filter(id=person.account_id).update(language=person.language)
    return person


def retire(person: Person, turn: int, back: bool) -> None:
    """Somebody leaves the farm, or comes back; what they wrote stays. Raises ``LastOwner``, ``ChangedSince``."""
    with transaction.atomic():
        Farm.objects.select_for_update().only("id").get(id=person.farm_id)
        person.refresh_from_db()
        if person.turn != turn:
            raise ChangedSince
        if not back:
            _another_owner(person, reads.people(person.farm_id))
        writes.change_person(person, retired=not back)


def link(person: Person, now: datetime) -> str:
    """A secret that signs somebody in once within a day; their account is made where they have none."""
    with transaction.atomic():
        if person.account is None:
            writes.change_person(person, account=_new_account(person, now))
        assert person.account is not None
        return writes.sign_in_token(person.account, now)


def _new_account(person: Person, now: datetime) -> Account:
    """Named as the person; with the farm's name, and then a number, where that is taken."""
    names = [person.name, f"{person.name}, {person.farm.name}"]
    names += [f"{names[1]} {number}" for number in range(2, 100)]
    taken = set(Account.objects.filter(name__in=names).values_list("name", flat=True))
    free = next(name for name in names if name not in taken)
    return writes.add_account(free, now, person.language)


def _taken(digits: str, everybody: Iterable[Person], person: Person | None) -> bool:
    """Whether somebody else on the farm goes by these digits: they would sign for one another."""
    others = (one for one in everybody if person is None or one.id != person.id)
    return any(one.digits == digits_hash(one.id, digits) for one in others)


def _unchanged(person: Person, given: Given) -> None:
    person.refresh_from_db()
    if person.turn != given.turn():
        raise ChangedSince


def _another_owner(person: Person, everybody: Iterable[Person]) -> None:
    owners = [one.id for one in everybody if one.role == "owner"]
    if owners == [person.id]:
        raise LastOwner
