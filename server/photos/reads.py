"""Which photos are here, and how far others have come."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from uuid import UUID

from server.photos import store
from server.photos.models import Photo, Upload


@dataclass(frozen=True, slots=True)
class Coming:
    """A photo's size in bytes, and how many of them have come."""

    size: int
    offset: int

    @property
    def is_whole(self) -> bool:
        return self.offset == self.size


def coming(farm: UUID, sha256: str) -> Coming | None:
    """How far a photo has come, None where nothing of it is known here."""
    photo = Photo.objects.filter(farm_id=farm, sha256=sha256).first()
    if photo is not None:
        return Coming(photo.size, photo.size)
    upload = Upload.objects.filter(farm_id=farm, sha256=sha256).first()
    return Coming(upload.size, upload.offset) if upload is not None else None


def here(farm: UUID, shas: Iterable[str]) -> dict[str, Photo]:
    """Which of these photos have come whole."""
    return {one.sha256: one for one in Photo.objects.filter(farm_id=farm, sha256__in=list(shas))}


def file(farm: UUID, sha256: str) -> tuple[Path, str] | None:
    """The file of a photo and its type, None where it has not come."""
    photo = Photo.objects.filter(farm_id=farm, sha256=sha256).first()
    return (store.path(farm, sha256), photo.type) if photo is not None else None
