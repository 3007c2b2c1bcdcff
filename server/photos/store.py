"""Files of photos on disk: pieces written where they belong, the whole renamed into its place (contract, W14)."""

from __future__ import annotations

import hashlib
import os
from pathlib import Path
from uuid import UUID

from django.conf import settings

AT_ONCE = 1 << 20
SIGNS = ((b"\xff\xd8\xff", "image/jpeg"), (b"\x89PNG\r\n\x1a\n", "image/png"))


def folder(farm: UUID) -> Path:
    place: Path = settings.PLACE.photos / str(farm)
    return place


def path(farm: UUID, sha256: str) -> Path:
    """Where a whole photo lies."""
    return folder(farm) / sha256[:2] / sha256


def part(farm: UUID, sha256: str) -> Path:
    """Where one lies that is on its way."""
    return folder(farm) / "on_the_way" / sha256


def write(farm: UUID, sha256: str, offset: int, piece: bytes) -> None:
    """Put a piece where it belongs, durably; what was written behind it by a request that broke off goes."""
    file = part(farm, sha256)
    file.parent.mkdir(parents=True, exist_ok=True)
    with open(file, "r+b" if file.exists() else "w+b") as open_file:
        open_file.seek(offset)
        open_file.truncate()
        open_file.write(piece)
        open_file.flush()
        os.fsync(open_file.fileno())


def digest(farm: UUID, sha256: str) -> str:
    """The SHA-256 of what has come."""
    out = hashlib.sha256()
    with open(part(farm, sha256), "rb") as file:
        while piece := file.read(AT_ONCE):
            out.update(piece)
    return out.hexdigest()


def kind(farm: UUID, sha256: str) -> str | None:
    """What the first bytes say it is, None where they say none of the three."""
    with open(part(farm, sha256), "rb") as file:
        first = file.read(16)
    if first[:4] == b"RIFF" and first[8:12] == b"WEBP":
        return "image/webp"
    return next((name for sign, name in SIGNS if first.startswith(sign)), None)


def keep(farm: UUID, sha256: str) -> None:
    """Rename the whole into its place; after this it is there even if the power goes."""
    target = path(farm, sha256)
    target.parent.mkdir(parents=True, exist_ok=True)
    os.replace(part(farm, sha256), target)
    place = os.open(target.parent, os.O_RDONLY)
    try:
        os.fsync(place)
    finally:
        os.close(place)


def forget(farm: UUID, sha256: str) -> None:
    """Away with what is on its way."""
    part(farm, sha256).unlink(missing_ok=True)
