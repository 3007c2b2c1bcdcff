"""Pictures: files named by their SHA-256 beside the book, and which entries name them."""

from __future__ import annotations

import os
import shutil
import sqlite3
import time
from collections.abc import Sequence
from pathlib import Path

from mobile.photo_ports import PhotoKept, PhotoState
from mobile.storage.disk import Disk
from mobile.trouble import DiskFailed, DiskFull
from shared.words.entry import Photo

STRAY_AFTER_S = 2 * 86_400
"""A picture that no entry came to name is swept away after two days."""


class Photos:
    disk: Disk
    folder: Path

    def shelve(self, picture: Path, sha256: str) -> Path:
        self.folder.mkdir(exist_ok=True)
        place = self.photo_file(sha256)
        try:
            if picture != place:
                shutil.move(picture, place)
            for each in (place, self.folder):
                _force(each)
        except OSError as error:
            raise DiskFull() if error.errno == 28 else DiskFailed(str(error)) from error
        return place

    def photo_file(self, sha256: str) -> Path:
        return self.folder / sha256

    def photos(self, enrolment: int) -> tuple[PhotoKept, ...]:
        rows = self.disk.many(
            "SELECT sha256, bytes, type, state FROM photos WHERE enrolment = ? ORDER BY place, sha256",
            (enrolment,),
        )
        return tuple(PhotoKept(Photo(sha256, size, kind), state) for sha256, size, kind, state in rows)

    def mark_photo(self, enrolment: int, sha256: str, state: PhotoState) -> None:
        self.disk.write(
            lambda one: one.execute(
                "UPDATE photos SET state = ? WHERE enrolment = ? AND sha256 = ?", (state, enrolment, sha256)
            )
        )

    def sweep_photos(self) -> None:
        """Away with the files of pictures that no entry here names: those dropped with their entries, and those
        taken days ago and never saved."""
        if not self.folder.is_dir():
            return
        named = {sha256 for (sha256,) in self.disk.many("SELECT DISTINCT sha256 FROM photos")}
        for file in self.folder.iterdir():
            if file.name not in named and time.time() - file.stat().st_mtime > STRAY_AFTER_S:
                file.unlink(missing_ok=True)


def name_photos(connection: sqlite3.Connection, enrolment: int, place: int, photos: Sequence[Photo]) -> None:
    connection.executemany(
        "INSERT INTO photos (enrolment, sha256, bytes, type, place) VALUES (?, ?, ?, ?, ?)"
        " ON CONFLICT (enrolment, sha256) DO UPDATE SET place = excluded.place",
        [(enrolment, one.sha256, one.bytes, one.type, place) for one in photos],
    )


def send_photos_again(connection: sqlite3.Connection, enrolment: int) -> None:
    """A server that was put back, or another enrolment, may lack pictures that were sent: it is asked again."""
    connection.execute(
        "UPDATE photos SET state = 'waiting' WHERE enrolment = ? AND state = 'sent'", (enrolment,)
    )


def forget_photos_of_dropped(connection: sqlite3.Connection, enrolment: int) -> None:
    connection.execute(
        "DELETE FROM photos WHERE enrolment = ? AND state = 'sent'"
        " AND NOT EXISTS (SELECT 1 FROM entries WHERE entries.place = photos.place)",
        (enrolment,),
    )


def _force(path: Path) -> None:
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
