"""Farms, people, accounts and sign-in links as they are made and changed."""

from __future__ import annotations

import hashlib
from datetime import datetime, timedelta
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from django.db import transaction

from server.people import turns
from server.people.errors import FarmExists, LinkUsed, ZoneUnknown
from server.people.ids import new_era, new_id, new_secret
from server.people.models import Account, Farm, Person, Phone, SignIn
from shared.sync.chain import NO_HEAD, first_chain

LINK_LASTS = timedelta(hours=24)
PERSON_COLUMNS = frozenset(("name", "initials", "role", "language", "digits", "retired", "account"))


def sha_of(secret: str) -> str:
    """What is kept of a secret."""
    return hashlib.sha256(secret.encode()).hexdigest()


@transaction.atomic
def found_farm(name: str, zone: str, now: datetime, farm_id: UUID | None = None) -> Farm:
    """A new farm with its desk. Raises ``FarmExists``, ``ZoneUnknown``."""
    try:
        ZoneInfo(zone)
    except (ZoneInfoNotFoundError, ValueError):
        raise ZoneUnknown(zone) from None
    if Farm.objects.filter(name=name).exists():
        raise FarmExists(name)
    pk = farm_id or new_id(now)
    farm = Farm.objects.create(id=pk, name=name, zone=zone, era=new_era(), chain=first_chain(pk), made_at=now)
    Phone.objects.create(
        id=new_id(now), farm=farm, label="desk", platform="desk", app="", desk=True, head=NO_HEAD, made_at=now
    )
    return farm


def add_person(farm: UUID, now: datetime, person_id: UUID | None = None, **columns: Any) -> Person:
    """Somebody new on a farm: ``name``, ``role``, and where wanted ``initials``, ``language``, ``digits``,
    ``account``."""
    columns.setdefault("initials", "".join(word[0] for word in columns["name"].split())[:6].upper())
    person = Person(id=person_id or new_id(now), farm_id=farm, **columns)
    turns.put(farm, [person])
    return person


def change_person(person: Person, **columns: Any) -> Person:
    """The same person with other columns; nobody is ever deleted, only retired."""
    unknown = columns.keys() - PERSON_COLUMNS
    if unknown:
        raise ValueError(f"a person has no {sorted(unknown)}")
    for name, value in columns.items():
        setattr(person, name, value)
    turns.put(person.farm_id, [person])
    return person


@transaction.atomic
def add_account(name: str, now: datetime, language: str = "en") -> Account:
    """An account that signs in by a link until it has a password."""
    account = Account(id=new_id(now), name=name, language=language)
    account.set_unusable_password()
    account.save()
    return account


def sign_in_token(account: Account, now: datetime, lasts: timedelta = LINK_LASTS) -> str:
    """A secret that signs this account in once, within a day."""
    token = new_secret()
    SignIn.objects.create(account=account, token_sha=sha_of(token), made_at=now, expires_at=now + lasts)
    return token


def use_sign_in(token: str, now: datetime) -> Account:
    """The account that a link signs in; the link is used up by that. Raises ``LinkUsed``."""
    mine = SignIn.objects.filter(token_sha=sha_of(token), used_at=None, expires_at__gt=now)
    if mine.update(used_at=now) != 1:
        raise LinkUsed
    return Account.objects.get(signin__token_sha=sha_of(token), is_active=True)


def set_password(account: Account, password: str) -> None:
    account.set_password(password)
    account.save(update_fields=("password",))
