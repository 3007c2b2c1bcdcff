"""A second step at signing in, for those who want it: six figures from an app (TOTP, RFC 6238), kept by django-otp."""

from __future__ import annotations

import base64

from django.db import transaction
from django_otp.plugins.otp_totp.models import TOTPDevice

from server.people.models import Account

NAME = "app"


def is_on(account: Account) -> bool:
    return TOTPDevice.objects.filter(user=account, confirmed=True).exists()


@transaction.atomic
def begun(account: Account) -> TOTPDevice:
    """The device that waits for its first figures; the same until it is confirmed, so that a page shown twice shows
    one key."""
    found: TOTPDevice
    found, _ = TOTPDevice.objects.get_or_create(user=account, confirmed=False, defaults={"name": NAME})
    return found


@transaction.atomic
def verified(account: Account, figures: str, confirmed: bool = True) -> bool:
    """Whether these are the figures of now, which are good once. A wrong try makes the next wait longer."""
    device = TOTPDevice.objects.select_for_update().filter(user=account, confirmed=confirmed).first()
    if device is None or not device.verify_is_allowed()[0]:
        return False
    return bool(device.verify_token(figures.replace(" ", "")))


@transaction.atomic
def turn_on(account: Account) -> None:
    TOTPDevice.objects.filter(user=account, confirmed=True).delete()
    TOTPDevice.objects.filter(user=account, confirmed=False).update(confirmed=True)


def turn_off(account: Account) -> None:
    TOTPDevice.objects.filter(user=account).delete()


def key_of(device: TOTPDevice) -> str:
    """The key as it is typed into an app: in fours."""
    text = base64.b32encode(device.bin_key).decode("ascii").rstrip("=")
    return " ".join(text[start : start + 4] for start in range(0, len(text), 4))
