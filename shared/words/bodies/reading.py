"""Entries about entries: queries and answers, the evening reading, corrections and strikes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal
from uuid import UUID

from shared.errors import Unsound
from shared.words.bodies.body import Body

UNDONE_AT_ONCE = "slip, undone at once"
"""The reason of a strike that undoes what was saved seconds before; such pairs print as one counted line."""


@dataclass(frozen=True, slots=True)
class Query(Body):
    """A question to whoever made an entry: a stock one's key, own words, or both."""

    ask: str | None = None
    text: str | None = None

    def check(self) -> None:
        if not self.ask and not self.text:
            raise Unsound("missing_key", "body.ask", "a query asks something")


@dataclass(frozen=True, slots=True)
class Answer(Body):
    """What was answered to a query, which the envelope names."""

    ask: str | None = None
    text: str | None = None


@dataclass(frozen=True, slots=True)
class Reading(Body):
    """The manager's mark on entries. ``opened`` says whether each was opened, or all were read together."""

    entries: tuple[UUID, ...]
    mark: Literal["initialled", "taken_as_is", "put_by"]
    opened: bool
    why: str | None = None

    def check(self) -> None:
        if self.mark == "put_by" and not self.why:
            raise Unsound("missing_key", "body.why", "an entry is put by with a reason")


@dataclass(frozen=True, slots=True)
class Correction(Body):
    """A whole replacement body for the entry that the envelope names, which is of the kind ``of``."""

    of: str
    body: Body
    why: str


@dataclass(frozen=True, slots=True)
class Strike(Body):
    """The entry that the envelope names, of the kind ``of``, is ruled out."""

    of: str
    why: str
