"""New ids and secrets: the only place on the server that draws at random."""

from __future__ import annotations

import secrets
from datetime import datetime
from uuid import UUID

CODE_LETTERS = "23456789ABCDEFGHJKMNPQRSTWXYZ"
"""Without 0 and O, 1, I and L, U and V."""
CODE_LENGTH = 10


def new_id(now: datetime) -> UUID:
    """A UUIDv7 (RFC 9562, 5.7): the time in milliseconds, then 74 random bits."""
    ms = int(now.timestamp() * 1000)
    rest = secrets.randbits(74)
    return UUID(
        int=(ms & (1 << 48) - 1) << 80 | 7 << 76 | (rest >> 62) << 64 | 2 << 62 | rest & (1 << 62) - 1
    )


def new_code() -> str:
    return "".join(secrets.choice(CODE_LETTERS) for _ in range(CODE_LENGTH))


def plain_code(typed: str) -> str:
    """A code as somebody typed it, in one form: no spaces or dashes, capitals."""
    return "".join(char for char in typed.upper() if char.isalnum())


def new_secret() -> str:
    """256 random bits as text."""
    return secrets.token_urlsafe(32)


def new_era() -> str:
    return secrets.token_hex(4)
