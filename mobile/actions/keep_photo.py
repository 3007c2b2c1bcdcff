"""Keep a picture that an entry is going to name."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from pathlib import Path
from typing import Literal

from mobile.ports import Phone
from mobile.trouble import PhotoNotPicture, PhotoTooLarge
from shared.words.entry import Photo

MOST_BYTES = 12 * 1_048_576
PictureType = Literal["image/jpeg", "image/png", "image/webp"]


def take_photo(phone: Phone, to: Path, done: Callable[[Photo | None, Exception | None], None]) -> None:
    """Take a picture with the camera into ``to`` and keep it; ``done`` gets the photo for ``NewEntry``, None where
    the person gave up, or a ``PhotoTrouble`` or ``BookTrouble``."""

    def taken(picture: Path | None) -> None:
        if picture is None:
            done(None, None)
            return
        try:
            photo = keep_photo(phone, picture)
        except Exception as error:  # what went wrong is the screen's to tell
            done(None, error)
            return
        done(photo, None)

    phone.camera.take(to, taken)


def keep_photo(phone: Phone, picture: Path) -> Photo:
    """Move a picture into the phone's storage under its SHA-256. It is known by its content, whatever it is called.
    Raises ``PhotoNotPicture``, ``PhotoTooLarge`` or a ``BookTrouble``."""
    size = picture.stat().st_size
    if size > MOST_BYTES:
        raise PhotoTooLarge(size, MOST_BYTES)
    content = picture.read_bytes()
    kind = picture_type(content)
    if kind is None:
        raise PhotoNotPicture
    sha256 = hashlib.sha256(content).hexdigest()
    phone.book.shelve(picture, sha256)
    return Photo(sha256, len(content), kind)


def picture_type(content: bytes) -> PictureType | None:
    """What a picture is, by its first bytes; None for what is none."""
    if content.startswith(b"\xff\xd8\xff"):
        return "image/jpeg"
    if content.startswith(b"\x89PNG\r\n\x1a\n"):
        return "image/png"
    if content[:4] == b"RIFF" and content[8:12] == b"WEBP":
        return "image/webp"
    return None
