"""What the actions stand on: storage, server and device as protocols, and the values that cross them.

Storage, transport and device implement these; actions know nothing else of the world. Errors that an action's
caller can act on are in ``mobile.trouble``.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from functools import lru_cache
from pathlib import Path
from typing import Any, Literal, Protocol, TypeVar, runtime_checkable
from uuid import UUID

from mobile.photo_ports import PhotoServer, PhotoShelf
from mobile.replies import Link, Reply
from mobile.senses import NotShared, Senses, Sharing
from shared.wire import lines
from shared.wire.pull import Hello, Joined, JoinRequest, Page
from shared.wire.push import LineResult, PushAnswer
from shared.words.entry import Entry, Photo
from shared.words.farm import Farm
from shared.words.moment import Moment
from shared.words.place import Position

T = TypeVar("T")
Standing = Literal["live", "stopped", "forgotten", "copied"]
"""``stopped`` at the people page (bring the phone in), ``forgotten`` by a server that asks for a
joining slip, ``copied``: another phone writes under its number and it must enrol again."""
LineState = Literal["waiting", "kept", "held", "refused"]
KEPT_READ = 1_000
"""So many entries stay read: a day's and those on the screen, and no more however large the book."""


@dataclass(frozen=True, slots=True)
class Enrolment:
    """This phone in one farm. ``line`` is the last line written, ``handed`` the last that the server has
    answered for, ``pulled_line`` the last that the pulled copy knows of, ``safe`` the last in a backup."""

    id: int
    farm: Farm
    phone: UUID
    link: Link
    next_token: str | None = field(repr=False)
    standing: Standing
    line: int
    handed: int
    pulled_line: int
    safe: int
    cursor: str
    handed_at: Moment | None
    skew_ms: int
    nonce: str | None = field(repr=False)
    rolled_at: Moment | None

    @property
    def waiting(self) -> int:
        return self.line - self.handed


@dataclass(frozen=True, slots=True)
class NewLine:
    """An entry ready to be stored: its exact bytes and what the storage looks it up by."""

    id: UUID
    kind: str
    field: UUID | None
    round: UUID | None
    made_s: int
    raw: bytes
    photos: tuple[Photo, ...] = ()
    names: UUID | None = None


@lru_cache(maxsize=KEPT_READ)
def _read(raw: bytes) -> Entry:
    """Lines never change: the screens read the same ones over and over."""
    return lines.decode(raw)


@dataclass(frozen=True, slots=True)
class OwnLine:
    """An entry that this phone wrote. ``place`` tells them apart for ever; ``line`` is its number in the
    phone's sequence, another after enrolling again; ``number`` its place in the farm's book, once told."""

    place: int
    line: int
    id: UUID
    sha: str
    raw: bytes
    state: LineState
    number: int | None = None
    code: str | None = None
    detail: str | None = None

    @property
    def entry(self) -> Entry:
        return _read(self.raw)


@dataclass(frozen=True, slots=True)
class Batch:
    """The next lines to hand in: from line ``first``, after the head ``prev``, exact bytes."""

    phone: UUID
    first: int
    prev: str
    raws: tuple[bytes, ...]


@dataclass(frozen=True, slots=True)
class Draft:
    """Something begun and not finished, kept by name so that it survives a kill. ``tree`` None: drop it."""

    name: str
    tree: Mapping[str, Any] | None


class Book(PhotoShelf, Protocol):
    """The phone's own storage. Every change is durable when the call returns, or it raises a ``BookTrouble``
    and nothing of it was stored. Each thread has a connection of its own."""

    def enrolments(self) -> tuple[Enrolment, ...]: ...
    def enrolment(self, enrolment: int) -> Enrolment: ...
    def enrol(self, joined: Joined, link: Link) -> Enrolment:
        """A farm joined for the first time or again: what is kept for it is numbered anew from 1 (W4b)."""
        ...

    def restand(self, enrolment: int, standing: Standing) -> None: ...
    def keep_nonce(self, enrolment: int, nonce: str) -> None: ...
    def keep_next_token(self, enrolment: int, token: str) -> None: ...
    def use_token(self, enrolment: int, token: str, at: datetime) -> None:
        """``token`` from now on, with none waiting."""
        ...

    def save(self, enrolment: int, new: Sequence[NewLine], draft: Draft | None = None) -> tuple[OwnLine, ...]:
        """All of these entries, their places in the phone's chain and the draft in one durable commit."""
        ...

    def written(self, enrolment: int, before: int | None = None, limit: int = 50) -> tuple[OwnLine, ...]:
        """Own entries, newest first, those before the place ``before``."""
        ...

    def own(self, enrolment: int, entry: UUID) -> OwnLine | None: ...
    def speaking_of(self, enrolment: int, entries: Sequence[UUID]) -> tuple[OwnLine, ...]:
        """These own entries with all that names them: corrections, strikes, and what names those."""
        ...

    def since(self, enrolment: int, line: int) -> tuple[OwnLine, ...]:
        """Own entries from this line on, oldest first."""
        ...

    def unpulled(self, enrolment: int) -> tuple[OwnLine, ...]:
        """Own entries that the pulled copy can't know yet, oldest first; not those held or refused."""
        ...

    def needing_hand(self, enrolment: int) -> tuple[OwnLine, ...]:
        """Own entries that were held or refused, newest first."""
        ...

    def batch(self, enrolment: int, most_lines: int, most_bytes: int) -> Batch | None:
        """None: nothing waits. Raises ``LineGone`` where the next line or the head before it was dropped."""
        ...

    def head(self, enrolment: int, line: int) -> str | None: ...
    def settle(
        self, enrolment: int, results: Sequence[LineResult], safe: int, at: datetime, skew_ms: int
    ) -> None: ...
    def put_back(self, enrolment: int, expect: int) -> bool:
        """Hand in again from line ``expect``. False where that line is no longer here."""
        ...

    def store_page(self, enrolment: int, page: Page, as_of_line: int) -> None:
        """A page and its cursor in one commit. With its last page the copy knows own lines to ``as_of_line``,
        and what an older copy had that this one has not is gone."""
        ...

    def pull_anew(self, enrolment: int) -> None:
        """Begin the pulled copy again. The old one is read until the new one is whole."""
        ...

    def heard(self, enrolment: int, at: datetime, skew_ms: int | None, as_of_line: int) -> None:
        """The server had nothing new: the copy knows own lines to ``as_of_line``."""
        ...

    def rows(self, enrolment: int, kind: str) -> tuple[Mapping[str, Any], ...]: ...
    def values(self, enrolment: int, kind: str) -> tuple[Any, ...]:
        """The rows of a kind as the frozen values of ``shared.wire.pull.ROWS``."""
        ...

    def row(self, enrolment: int, kind: str, id: str) -> Mapping[str, Any] | None: ...
    def draft(self, enrolment: int, name: str) -> Mapping[str, Any] | None: ...
    def keep_draft(self, enrolment: int, draft: Draft) -> None: ...
    def setting(self, name: str) -> str | None: ...
    def keep_setting(self, name: str, value: str | None) -> None: ...
    def worked_out(self, key: Hashable, work: Callable[[], T]) -> T:
        """What ``work`` reckons from this book alone, reckoned again only after something was written to it."""
        ...

    def is_tight(self) -> bool:
        """Whether the ballast had to be freed: the disk is all but full."""
        ...


class Server(PhotoServer, Protocol):
    """The server's end of the contract. Never raises for what the network or the server does."""

    def hello(self, link: Link) -> Reply[Hello]: ...
    def enrol(self, link: Link, request: JoinRequest) -> Reply[Joined]: ...
    def enrol_again(self, link: Link, nonce: str) -> Reply[Joined]: ...
    def roll(self, link: Link, nonce: str) -> Reply[str]: ...
    def push(self, link: Link, body: bytes) -> Reply[PushAnswer]: ...
    def changes(self, link: Link, since: str, limit: int) -> Reply[Page]: ...


NoFix = Literal["no_receiver", "not_allowed", "searching", "silent", "too_old"]
"""Why there is no position: no receiver in this phone, the person did not allow it, no fix yet, nothing heard
from the receiver, the last fix is too old to go by."""


@dataclass(frozen=True, slots=True)
class Fix:
    """Where the receiver says the phone is now, or why it can't. ``course_deg`` from north, while moving."""

    position: Position | None
    why: NoFix | None = None
    course_deg: float | None = None
    age_ms: int = 0


class Receiver(Protocol):
    def start(self) -> None: ...
    def stop(self) -> None: ...
    def fix(self) -> Fix: ...


@runtime_checkable
class Placeable(Protocol):
    """A receiver that is where it is put: on the desktop a click on the map is the position."""

    def put(self, point: tuple[float, float]) -> None:
        """Latitude and longitude."""
        ...


class Clock(Protocol):
    """``now`` is the wall clock with its offset, as the person sees it; ``steady_ms`` never jumps."""

    boot: UUID

    def now(self) -> datetime: ...
    def steady_ms(self) -> int: ...


class Chance(Protocol):
    def bytes(self, count: int) -> bytes: ...
    def share(self) -> float:
        """Evenly between 0 and 1."""
        ...


class Camera(Protocol):
    def take(self, to: Path, done: Callable[[Path | None], None]) -> None:
        """Take a picture into ``to``, 2,048 px at its longer side at most; ``done`` gets it, or None where the
        person gave up or there is no camera."""
        ...


class Connectivity(Protocol):
    def is_online(self) -> bool:
        """False only where it is certain that nothing can be reached."""
        ...

    def is_metered(self) -> bool:
        """Whether what is sent may cost something: a phone's own data, not Wi-Fi."""
        ...


class Haptics(Protocol):
    def buzz(self, seconds: float = 0.08) -> None: ...


@dataclass(frozen=True, slots=True)
class Phone:
    """Everything that an action may stand on, handed over by ``main``."""

    book: Book
    server: Server
    receiver: Receiver
    clock: Clock
    chance: Chance
    camera: Camera
    connectivity: Connectivity
    haptics: Haptics
    sharing: Sharing = field(default_factory=NotShared)
    senses: Senses = field(default_factory=Senses)
    app: str = "0.1.0"
    platform: str = "linux"
    label: str = ""
