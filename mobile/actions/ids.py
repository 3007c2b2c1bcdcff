"""New ids from the phone's clock and chance."""

from __future__ import annotations

from uuid import UUID

from mobile.ports import Phone
from shared.words.identity import RANDOM_BYTES, uuid7


def new_id(phone: Phone) -> UUID:
    return uuid7(int(phone.clock.now().timestamp() * 1000), phone.chance.bytes(RANDOM_BYTES))


def new_nonce(phone: Phone) -> str:
    return phone.chance.bytes(16).hex()
