"""Making the status rows again from the book. ``shared.status`` says what follows; this keeps it."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

from server.people.models import Farm
from server.status.rebuilding import rebuilt, steps

Told = Callable[[int, int], None]
"""Told after each step: how many rows and fields are done, and of how many."""


def _nobody(done: int, of: int) -> None:
    """Told nobody."""


def rebuild(farm: Farm, now: datetime, told: Told = _nobody) -> int:
    """All that follows from one farm's book, made again; how many rows and fields that went through."""
    of, done = steps(farm.id), 0
    for done in rebuilt(farm.id, now):
        told(min(done, of), of)
    return done
