"""Who there is on a farm, and what somebody may do there."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from uuid import UUID

from server.people.errors import NoSuchFarm, NotOfThisFarm, RoleTooSmall
from server.people.lookup import known
from server.people.models import DESK_ROLES, Account, Farm, Person, Phone, Slip
from shared.status.fact import Hands

READING_ROLES = (*DESK_ROLES, "reader")


def member(account: Account, farm: UUID, roles: Iterable[str] = READING_ROLES) -> Person:
    """The person that this account is on this farm. Farm and role are checked here and nowhere else.

    Raises ``NotOfThisFarm``, ``RoleTooSmall``."""
    person = (
        Person.objects.select_related("farm").filter(farm_id=farm, account=account, retired=False).first()
    )
    if person is None or not account.is_active:
        raise NotOfThisFarm
    if person.role not in tuple(roles):
        raise RoleTooSmall
    return person


def farms_of(account: Account) -> list[Farm]:
    """The farms that this account is one of the people of, by name."""
    here = Person.objects.filter(account=account, retired=False).values("farm_id")
    return list(Farm.objects.filter(id__in=here).order_by("name"))


def farm_named(name: str) -> Farm:
    farm = Farm.objects.filter(name=name).first()
    if farm is None:
        raise NoSuchFarm(name)
    return farm


def people(farm: UUID, retired: bool = False) -> list[Person]:
    """The people of a farm by name; the retired only if asked for."""
    found = Person.objects.filter(farm_id=farm).order_by("name")
    return list(found if retired else found.filter(retired=False))


def known_people(farm: UUID, ids: Iterable[UUID]) -> frozenset[UUID]:
    """Which of these were ever this farm's people."""
    return known(Person, farm, ids)


def phones(farm: UUID) -> list[Phone]:
    """The enrolments of a farm, the desk's left out, the one heard longest ago first."""
    return list(Phone.objects.filter(farm_id=farm, desk=False).order_by("seen_at", "label"))


def desk_of(farm: UUID) -> Phone:
    return Phone.objects.get(farm_id=farm, desk=True)


def unheard(farm: UUID, since: datetime) -> list[Phone]:
    """Phones in use that still hold entries, or have not been heard since then."""
    return [
        phone
        for phone in phones(farm)
        if phone.stopped_at is None
        and phone.copied_at is None
        and (phone.waits or phone.seen_at is None or phone.seen_at < since)
    ]


def open_slips(farm: UUID, now: datetime) -> list[Slip]:
    return list(Slip.objects.filter(farm_id=farm, used_at=None, expires_at__gt=now).order_by("made_at"))


def hands(farm: UUID) -> Hands:
    """Whose word counts without another's initials: all who are or ever were manager or owner; and the desk."""
    managers = Person.objects.filter(farm_id=farm, managed=True).values_list("id", flat=True)
    return Hands(frozenset(managers), desk_of(farm).id)
