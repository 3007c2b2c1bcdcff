"""Entries with all that names or marks them, and all that those name: what a verdict or a status follows from."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from uuid import UUID

from server.book import reads as book
from server.book.models import Row
from server.status.models import Marking

BINDING = ("correction", "strike")
AT_ONCE = 500


def family_of(farm: UUID, about: Iterable[UUID], known: Iterable[Row] = ()) -> list[Row]:
    """The rows, closed under naming and marking, in book order. ``known`` are rows at hand, not read again."""
    rows: dict[UUID, Row] = {}
    here = {row.entry: row for row in known if row.entry is not None}
    asking, asked = set(about), set[UUID]()
    while asking:
        asked |= asking
        found = [row for some in _by(asking) for row in _around(farm, some, here, some)]
        rows |= {row.entry: row for row in found if row.entry is not None}
        linked = {row.entry for row in found} | {row.names for row in found if row.kind in BINDING}
        asking = {one for one in linked if one is not None} - asked
    return sorted(rows.values(), key=lambda row: row.number)


def telling_family(farm: UUID, known: Iterable[Row]) -> list[Row]:
    """These rows with all that may change what they say: what names them, what those name, and the marks on those that
    are held or speak of others. A mark on any other says only that somebody read it, and there are very many."""
    rows = {row.entry: row for row in known if row.entry is not None}
    asking, asked = set(rows), set[UUID]()
    while asking:
        asked |= asking
        waiting = {one for one in asking if one in rows and _waits(rows[one])}
        found = [row for some in _by(asking) for row in _around(farm, some, rows, waiting)]
        rows |= {row.entry: row for row in found if row.entry is not None}
        linked = {row.entry for row in found} | {row.names for row in found if row.kind in BINDING}
        asking = {one for one in linked if one is not None} - asked
    return sorted(rows.values(), key=lambda row: row.number)


def _waits(row: Row) -> bool:
    return row.outcome == "held" or row.kind in BINDING


def _by(several: set[UUID]) -> Iterator[list[UUID]]:
    ordered = sorted(several)
    return (ordered[start : start + AT_ONCE] for start in range(0, len(ordered), AT_ONCE))


def _around(
    farm: UUID, some: Sequence[UUID], known: Mapping[UUID, Row], marked: Collection[UUID]
) -> list[Row]:
    """The rows of some entries, what names them, and what marks those that are asked for in ``marked``."""
    asking = set(some)
    marks = asking.intersection(marked)
    readings: Iterable[UUID] = ()
    if marks:
        found = Marking.objects.filter(farm_id=farm, entry__in=marks)
        readings = found.values_list("reading", flat=True)
    wanted = {*asking, *readings}
    read = book.of_entries(farm, wanted - known.keys()) if wanted - known.keys() else []
    return [known[one] for one in wanted & known.keys()] + read + book.naming(farm, asking)
