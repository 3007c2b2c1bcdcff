"""The only place on the phone that draws at random."""

from __future__ import annotations

import random
import secrets


class SystemChance:
    def __init__(self) -> None:
        self._evenly = random.SystemRandom()

    def bytes(self, count: int) -> bytes:
        return secrets.token_bytes(count)

    def share(self) -> float:
        return self._evenly.random()
