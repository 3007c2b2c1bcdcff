"""What the photo actions stand on: where pictures lie on the phone, and the server's end of handing them in."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Literal, Protocol

from mobile.replies import Link, Reply
from shared.words.entry import Photo

PhotoState = Literal["waiting", "sent", "damaged", "refused"]


@dataclass(frozen=True, slots=True)
class PhotoKept:
    """A picture that an entry names. ``damaged``: its bytes on the phone are no longer those that were taken;
    ``refused``: the server will not have it. Neither is tried again; the entry stands."""

    photo: Photo
    state: PhotoState


class PhotoShelf(Protocol):
    """The part of the phone's storage that keeps pictures."""

    def shelve(self, picture: Path, sha256: str) -> Path:
        """Move a picture to its place, durably. Only then may an entry name it."""
        ...

    def photo_file(self, sha256: str) -> Path: ...
    def photos(self, enrolment: int) -> tuple[PhotoKept, ...]:
        """All that own entries name, in the order they were written."""
        ...

    def mark_photo(self, enrolment: int, sha256: str, state: PhotoState) -> None: ...


class PhotoServer(Protocol):
    """The part of the server that takes pictures, a piece at a time. Each answers with how many bytes are there."""

    def photo_offset(self, link: Link, sha256: str) -> Reply[int]:
        """Settled with None where it has never heard of this picture."""
        ...

    def announce_photo(self, link: Link, photo: Photo) -> Reply[int]: ...
    def send_piece(self, link: Link, sha256: str, offset: int, piece: bytes) -> Reply[int]: ...
