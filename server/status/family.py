"""Entries with all that names or marks them, and all that those name: what a verdict or a status follows from."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from uuid import UUID

from server.book import reads as book
from server.book.models import Row
from server.status.models import Marking

BINDING = ("correction", "strike")
AT_ONCE = 500


def family_of(farm: UUID, about: Iterable[UUID]) -> list[Row]:
    """The rows, closed under naming and marking, in book order."""
    rows: dict[UUID, Row] = {}
    asking, asked = set(about), set[UUID]()
    while asking:
        asked |= asking
        found = [row for some in _by(asking) for row in _around(farm, some)]
        rows |= {row.entry: row for row in found if row.entry is not None}
        linked = {row.entry for row in found} | {row.names for row in found if row.kind in BINDING}
        asking = {one for one in linked if one is not None} - asked
    return sorted(rows.values(), key=lambda row: row.number)


def _by(several: set[UUID]) -> Iterator[list[UUID]]:
    ordered = sorted(several)
    return (ordered[start : start + AT_ONCE] for start in range(0, len(ordered), AT_ONCE))


def _around(farm: UUID, some: Iterable[UUID]) -> list[Row]:
    asking = set(some)
    readings = Marking.objects.filter(farm_id=farm, entry__in=asking).values_list("reading", flat=True)
    return book.of_entries(farm, {*asking, *readings}) + book.naming(farm, asking)
