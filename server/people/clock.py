"""The server's clock: the one place that asks for the time, so that a test can set it."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime


def _of_the_machine() -> datetime:
    return datetime.now(UTC)


source: Callable[[], datetime] = _of_the_machine


def now() -> datetime:
    """An aware time in UTC."""
    return source()
