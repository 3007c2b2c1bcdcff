"""Joining: slips with a code for one use, and enrolling again (contract, W4, W4b)."""

from __future__ import annotations

import json
from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

from django.db import transaction

from server.people.errors import CodeUnknown, CodeUsed, TooManyTries
from server.people.ids import new_code, new_id, plain_code
from server.people.models import Person, Phone, Slip, WrongCode
from server.people.tokens import derived
from server.people.writes import sha_of
from shared.sync.chain import NO_HEAD
from shared.wire.pull import Joined, JoinRequest, tree_of
from shared.wire.scalars import moment, written_moment

SLIP_LASTS = timedelta(minutes=15)
ANSWER_LASTS = timedelta(minutes=15)
TRIES_COUNT_FOR = timedelta(minutes=15)
TRIES_AN_ADDRESS = 5
TRIES_A_SERVER = 100


def make_slip(farm: UUID, now: datetime) -> str:
    """A joining slip's code, for one use within 15 minutes. Only its SHA-256 is kept."""
    code = new_code()
    sha = sha_of(code)
    Slip.objects.create(farm_id=farm, code_sha=sha, made_at=now, expires_at=now + SLIP_LASTS)
    return code


def link(address: str, code: str, pin: str | None) -> str:
    """What a slip's link says: the server's address, the code, and the key to pin where only the slip
    vouches for it (W4)."""
    told = f"{address.rstrip('/')}/#join={code}"
    return f"{told}&pin={pin}" if pin else told


def square_link(link: str) -> str:
    """What the square holds: the same, under the scheme by which a phone's camera opens the app. Plain HTTP is for
    the machine itself, which reads no squares."""
    secure = "https://"
    return f"goodground://{link.removeprefix(secure)}" if link.startswith(secure) else link


def join(request: JoinRequest, address: str, now: datetime) -> dict[str, Any]:
    """Use a slip's code up and answer as the contract says; the same code and nonce are answered alike for
    15 minutes. Raises ``TooManyTries``, ``CodeUnknown``, ``CodeUsed``."""
    _few_enough_tries(address, now)
    code = plain_code(request.code)
    try:
        with transaction.atomic():
            slip = Slip.objects.select_for_update().filter(code_sha=sha_of(code)).first()
            if slip is not None and slip.used_at is not None:
                return _again(slip, code, request, now)
            if slip is None or slip.expires_at <= now:
                raise CodeUnknown
            return _used(slip, code, request, now)
    except (CodeUnknown, CodeUsed):
        WrongCode.objects.filter(at__lte=now - TRIES_COUNT_FOR).delete()
        WrongCode.objects.create(address=address[:64], at=now)
        raise


def _few_enough_tries(address: str, now: datetime) -> None:
    late = WrongCode.objects.filter(at__gt=now - TRIES_COUNT_FOR).order_by("-at")
    here = late.filter(address=address[:64])
    for tries, most in ((here, TRIES_AN_ADDRESS), (late, TRIES_A_SERVER)):
        times = list(tries.values_list("at", flat=True)[:most])
        if len(times) == most:
            raise TooManyTries(max(1, round((times[-1] + TRIES_COUNT_FOR - now).total_seconds())))


def _used(slip: Slip, code: str, request: JoinRequest, now: datetime) -> dict[str, Any]:
    phone = new_id(now)
    token = derived(code, request.nonce, str(phone))
    row = Phone.objects.create(
        id=phone,
        farm=slip.farm,
        label=request.label[:100],
        platform=request.platform[:40],
        app=request.app[:40],
        made_at=now,
        seen_at=now,
        head=NO_HEAD,
        token_sha=sha_of(token),
    )
    answer = tree_of(joined(row, token))
    slip.used_at, slip.nonce, slip.phone = now, request.nonce, row
    slip.answer = json.dumps(answer | {"token": ""})
    slip.save()
    return answer


def _again(slip: Slip, code: str, request: JoinRequest, now: datetime) -> dict[str, Any]:
    assert slip.used_at is not None
    assert slip.answer is not None
    if slip.nonce != request.nonce or now > slip.used_at + ANSWER_LASTS:
        raise CodeUsed
    token = derived(code, request.nonce, str(slip.phone_id))
    return {key: token if key == "token" else value for key, value in json.loads(slip.answer).items()}


def joined(phone: Phone, token: str) -> Joined:
    """What a phone hears that has joined: who it is now, its farm and everyone on it."""
    people = Person.objects.filter(farm_id=phone.farm_id).order_by("turn")
    at = moment(written_moment(phone.made_at), "server_time")
    return Joined(phone.id, token, phone.farm.value(), tuple(one.value() for one in people), at)


def enrol_again(phone: UUID, nonce: str, now: datetime) -> dict[str, Any]:
    """A new enrolment for a phone that finds itself copied. The old one stays open for the other copy."""
    with transaction.atomic():
        old = Phone.objects.select_for_update().get(id=phone)
        new = Phone.objects.filter(copy_of=old, again_nonce=nonce).first()
        if new is None:
            new = Phone(id=new_id(now), farm_id=old.farm_id, copy_of=old, again_nonce=nonce, made_at=now)
            new.label, new.platform, new.app = old.label, old.platform, old.app
            new.seen_at, new.head = now, NO_HEAD
            new.token_sha = sha_of(derived("again", nonce, str(new.id)))
            new.save(force_insert=True)
            Phone.objects.filter(id=phone, copied_at=None).update(copied_at=now)
        return tree_of(joined(new, derived("again", nonce, str(new.id))))
