"""The one seed number, and what is drawn from it: dice for a subject, and ids for what the farm made.

Each subject throws dice of its own, so that one more mowing changes no leaf load. Everything is the same,
byte for byte, for the same seed number and season.
"""

from __future__ import annotations

from datetime import UTC, datetime
from random import Random
from uuid import UUID

SEED = 46
"""The farm's acres, near enough."""

FOUNDED = datetime(2015, 1, 5, 12, 0, tzinfo=UTC)
"""When the land, the people and the towns were first written down: the time in their ids."""


def dice(*subject: object, seed: int = SEED) -> Random:
    """Dice for one subject, seeded by the seed number and the subject's name alone."""
    return Random(":".join(str(part) for part in (seed, *subject)))


def identity(at: datetime, *subject: object, seed: int = SEED) -> UUID:
    """A UUIDv7 (RFC 9562, 5.7): the invented time in milliseconds, the rest from the subject's dice."""
    millis = int(at.timestamp() * 1000)
    bits = dice("id", *subject, seed=seed).getrandbits(74)
    high, low = bits >> 62, bits & (1 << 62) - 1
    return UUID(int=millis << 80 | 0x7 << 76 | high << 64 | 0b10 << 62 | low)
