"""A phone's token: derived, never stored; only its SHA-256 is looked up (contract, W4)."""

from __future__ import annotations

import base64
import hashlib
import hmac
from datetime import datetime
from uuid import UUID

from django.conf import settings
from django.db import transaction

from server.people.errors import PhoneStopped, TokenUnknown
from server.people.lookup import by_token_sha
from server.people.models import Phone
from server.people.writes import sha_of


def derived(*parts: str) -> str:
    """base64url(HMAC-SHA256(server key, parts)): the same parts give the same token for as long as the key is."""
    mac = hmac.new(settings.SECRET_KEY.encode(), "".join(parts).encode(), hashlib.sha256)
    return base64.urlsafe_b64encode(mac.digest()).rstrip(b"=").decode("ascii")


def phone_of(token: str) -> Phone:
    """The phone of a token, with its farm. The first use of a rolled token ends the old one.

    Raises ``TokenUnknown``, ``PhoneStopped``."""
    sha = sha_of(token)
    phone = by_token_sha(sha) or _first_use(sha)
    if phone is None:
        raise TokenUnknown
    if phone.stopped_at is not None:
        raise PhoneStopped
    return phone


def _first_use(sha: str) -> Phone | None:
    with transaction.atomic():
        phone = (
            Phone.objects.select_for_update(of=("self",)).select_related("farm").filter(next_sha=sha).first()
        )
        if phone is not None and phone.stopped_at is None:
            phone.token_sha, phone.next_sha = sha, None
            phone.save(update_fields=("token_sha", "next_sha"))
        return phone


def roll(phone: UUID, nonce: str) -> str:
    """A token that waits for its first use; until then the old one holds. Another roll replaces what waits,
    the same nonce gives the same token."""
    token = derived("roll", nonce, str(phone))
    sha = sha_of(token)
    with transaction.atomic():
        here = Phone.objects.select_for_update().get(id=phone)
        if here.token_sha != sha:
            here.next_sha = sha
            here.save(update_fields=("next_sha",))
    return token


def stop(phone: Phone, now: datetime) -> None:
    """Every further call of this phone is answered 401 until somebody lets it go on again."""
    Phone.objects.filter(id=phone.id, stopped_at=None).update(stopped_at=now)


def go_on(phone: Phone) -> None:
    Phone.objects.filter(id=phone.id).update(stopped_at=None)
