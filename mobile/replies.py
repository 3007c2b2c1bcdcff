"""How a server is reached, and what came back."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Generic, TypeVar

from shared.sync.outbox import Heard
from shared.wire.pull import Problem
from shared.words.moment import Moment

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Link:
    """Where a server is and how this phone shows who it is there. ``pin``: the SHA-256 of its certificate's key,
    where it has a certificate of its own."""

    address: str
    token: str = field(default="", repr=False)
    pin: str | None = None
    waiting: int | None = None
    """How many entries wait on this phone: told with each request, for the evening reading."""


@dataclass(frozen=True, slots=True)
class Reply(Generic[T]):
    """What came back: ``heard`` for the table of moves; ``value`` where it is *settled* (None: nothing new);
    ``problem`` with the server's code where it gave one; ``line`` and ``head16`` from *Goodground-Line*."""

    heard: Heard
    value: T | None = None
    problem: Problem | None = None
    retry_after_s: float | None = None
    server_time: Moment | None = None
    line: int | None = None
    head16: str | None = None

    @property
    def reached(self) -> bool:
        """Whether it was the server that spoke, and not the network's silence or something in between."""
        return self.heard not in ("no_answer", "server_error", "forbidden")
