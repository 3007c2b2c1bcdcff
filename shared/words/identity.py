"""Ids made by whoever writes: UUIDv7 of RFC 9562, section 5.7. Time and random bits come in as arguments."""

from __future__ import annotations

from uuid import UUID

RANDOM_BYTES = 10


def uuid7(unix_ms: int, random: bytes) -> UUID:
    """A UUIDv7 from milliseconds since 1970 (a clock before that or past 48 bits is held at the bound) and
    ten random bytes. Only good for telling entries apart: order never comes from it."""
    if len(random) != RANDOM_BYTES:
        raise ValueError(f"{RANDOM_BYTES} random bytes, not {len(random)}")
    raw = bytearray(min(max(unix_ms, 0), 2**48 - 1).to_bytes(6, "big") + random)
    raw[6] = raw[6] & 0x0F | 0x70
    raw[8] = raw[8] & 0x3F | 0x80
    return UUID(bytes=bytes(raw))
