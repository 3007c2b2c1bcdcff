"""A server put back from a backup: a new era, said plainly in each farm's book (contract, W13, I13)."""

from __future__ import annotations

import json
import os
import shutil
import sqlite3
from contextlib import closing
from datetime import datetime
from pathlib import Path

from django.conf import settings
from django.db import connection

from server.keeping.backups import MANIFEST
from server.keeping.checking import checked
from server.keeping.errors import BackupBroken, BackupElsewhere, BookInUse
from server.keeping.names import BOOK, KEY
from server.people.ids import new_era
from server.people.models import Farm


def put_back(backup: Path, now: datetime) -> None:
    """Put the data folder back from a backup; what was there is kept beside it. The server must not be running.

    Raises ``BackupBroken``, ``BookInUse``; the data folder is as it was then."""
    if connection.vendor != "sqlite":
        raise BackupElsewhere
    if not (backup / BOOK).is_file() or not (backup / MANIFEST).is_file():
        raise BackupBroken(f"{backup} holds no backup")
    checked(backup / BOOK)
    connection.close()
    place = settings.PLACE
    _nobody_has(place.book)
    aside = place.folder / f"before-{now.strftime('%Y-%m-%dT%H%M%SZ')}"
    aside.mkdir(parents=True)
    for name in (BOOK, f"{BOOK}-wal", f"{BOOK}-shm"):
        if (place.folder / name).exists():
            shutil.move(place.folder / name, aside / name)
    shutil.copy2(backup / BOOK, place.book)
    if (backup / KEY).exists():
        shutil.copy2(backup / KEY, place.key_file)
    if (backup / "photos").exists():
        shutil.copytree(backup / "photos", place.photos, copy_function=_copied, dirs_exist_ok=True)


def _copied(source: str, target: str) -> str:
    """A photo of the backup in its place. On one disk both may be names of the same file: then it is there."""
    if not (os.path.exists(target) and os.path.samefile(source, target)):
        shutil.copy2(source, target)
    return target


def _nobody_has(book: Path) -> None:
    """Leaving the write-ahead log is only granted to somebody who has the book alone."""
    if not book.exists():
        return
    try:
        with closing(sqlite3.connect(book, timeout=0)) as alone:
            alone.execute("PRAGMA journal_mode=DELETE").fetchone()
            alone.execute("BEGIN EXCLUSIVE")
            alone.rollback()
    except sqlite3.OperationalError:
        raise BookInUse from None


def new_eras(backup: Path) -> tuple[str, list[Farm]]:
    """On the restored tables: another era for each farm, so that every phone's copy is known to be of another book.
    Answers with when the backup was made, and the farms."""
    made_at: str = json.loads((backup / MANIFEST).read_text("utf-8"))["made_at"]
    farms = list(Farm.objects.order_by("name"))
    for farm in farms:
        Farm.objects.filter(id=farm.id).update(era=new_era())
    return made_at, farms
