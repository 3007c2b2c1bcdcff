"""An entry: one recorded fact, immutable once saved, made by one person at one place and time."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal
from uuid import UUID

from shared.words.bodies import Body
from shared.words.moment import Moment
from shared.words.place import Position

Outcome = Literal["kept", "held", "refused", "already"]


@dataclass(frozen=True, slots=True)
class Photo:
    """A picture that an entry names by the SHA-256 of its bytes."""

    sha256: str
    bytes: int
    type: Literal["image/jpeg", "image/png", "image/webp"]


@dataclass(frozen=True, slots=True)
class Entry:
    """The envelope and its body, read from the exact bytes that travel (contract, *Entry*).

    ``made_at`` is the phone's wall clock as the person saw it; ``boot`` and ``mono_ms`` its steady clock,
    None at the desk. ``done_at`` says when it was done if that is not when it was written. ``names`` is the
    entry that a correction, strike, answer or query speaks of. ``land`` is the version of the outline.
    """

    id: UUID
    kind: str
    edition: int
    made_at: Moment
    boot: UUID | None
    mono_ms: int | None
    done_at: Moment | date | None
    by: UUID
    done_by: UUID | str | None
    field: UUID | None
    part: UUID | None
    land: int | None
    at: Position | None
    round: UUID | None
    stop: int | None
    body: Body
    names: UUID | None
    sheets: tuple[str, ...]
    from_paper: bool
    photos: tuple[Photo, ...]


@dataclass(frozen=True, slots=True)
class Written:
    """An entry as it stands in a book: ``number`` is its place in the farm's book, None while it is only on
    its phone; ``line`` its place in its phone's own sequence; ``mark`` *initialled* and the like, None unread."""

    entry: Entry
    sha: str
    phone: UUID
    line: int
    number: int | None = None
    outcome: Outcome = "kept"
    arrived_at: Moment | None = None
    mark: str | None = None

    @property
    def rank(self) -> tuple[bool, int]:
        """Order of weight: book numbers first, a phone's own unsent lines last (contract, W2, W16)."""
        return (self.number is None, self.number if self.number is not None else self.line)
