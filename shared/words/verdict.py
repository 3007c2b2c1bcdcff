"""What the desk tells a phone about entries: marks, queries."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal
from uuid import UUID

from shared.words.moment import Moment

Mark = Literal["unread", "initialled", "query", "held", "put_by"]


@dataclass(frozen=True, slots=True)
class Verdict:
    """How one of this phone's entries stands at the desk. ``id`` is the entry's (its handle where held)."""

    id: UUID
    number: int
    mark: Mark
    outcome: str
    code: str | None
    struck: bool = False
    corrected_by: UUID | None = None


@dataclass(frozen=True, slots=True)
class Asked:
    """A query that has not been answered: ``id`` is the query entry's, ``about`` the entry asked about."""

    id: UUID
    about: UUID
    to: UUID
    ask: str | None
    text: str | None
    asked_at: Moment
    answered: bool = False
