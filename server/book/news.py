"""Lines just given their numbers, as the folds take them: the whole entry only where a fold asks for it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime
from functools import lru_cache
from uuid import UUID

from shared.wire.scalars import moment, written_moment
from shared.words.entry import Entry, Outcome, Written
from shared.words.moment import Moment


@lru_cache(maxsize=64)
def arrived(at: datetime) -> Moment:
    """The server's own time of arrival as a moment."""
    return moment(written_moment(at), "arrived_at")


@dataclass(frozen=True, slots=True)
class News:
    """A new row of the book. ``id`` is what it is known by; ``again``: it was held before; ``read``
    makes its entry, None where its bytes say none."""

    number: int
    phone: UUID
    line: int
    outcome: Outcome
    code: str | None
    sha: str
    id: UUID | None
    kind: str | None
    field: UUID | None
    names: UUID | None
    arrived_at: datetime
    again: bool
    read: Callable[[], Entry | None]

    def written(self) -> Written | None:
        entry = self.read()
        if entry is None or self.id is None:
            return None
        entry = entry if entry.id == self.id else replace(entry, id=self.id)
        at = arrived(self.arrived_at)
        return Written(entry, self.sha, self.phone, self.line, self.number, self.outcome, at)
