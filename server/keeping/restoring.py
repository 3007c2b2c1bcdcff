"""A server put back from a backup: a new era, said plainly in each farm's book (contract, W13, I13)."""

from __future__ import annotations

import json
import os
import shutil
import sqlite3
import tempfile
from contextlib import closing
from datetime import datetime
from pathlib import Path

from django.conf import settings
from django.core.management import call_command
from django.db import connection

from server.keeping.backups import MANIFEST, copy_book
from server.keeping.checking import checked
from server.keeping.crossing import copied_in
from server.keeping.errors import BookInUse, NoBackup
from server.keeping.names import BOOK, KEY
from server.people.ids import new_era
from server.people.models import Farm


def put_back(backup: Path, now: datetime) -> None:
    """Put book, key and photos back from a backup; what was there is kept beside it. The server must not be running.

    Raises ``NoBackup``, ``BackupBroken``, ``BookInUse``; all is as it was then."""
    if not (backup / BOOK).is_file() or not (backup / MANIFEST).is_file():
        raise NoBackup(str(backup), _one_below(backup))
    checked(backup / BOOK)
    place = settings.PLACE
    aside = place.folder / f"before-{now.strftime('%Y-%m-%dT%H%M%SZ')}"
    if connection.vendor == "sqlite":
        _file_back(backup, aside)
    else:
        _database_back(backup, aside)
    if (backup / KEY).exists():
        shutil.copy2(backup / KEY, place.key_file)
    if (backup / "photos").exists():
        shutil.copytree(backup / "photos", place.photos, copy_function=_copied, dirs_exist_ok=True)


def _one_below(folder: Path) -> str:
    """The newest backup under a folder that is none itself: most likely what was meant."""
    found = sorted(one.parent for one in folder.glob(f"*/{MANIFEST}")) if folder.is_dir() else []
    return str(found[-1] if found else folder / "2026-11-25T210000Z")


def _file_back(backup: Path, aside: Path) -> None:
    connection.close()
    place = settings.PLACE
    _nobody_has(place.book)
    aside.mkdir(parents=True)
    for name in (BOOK, f"{BOOK}-wal", f"{BOOK}-shm"):
        if (place.folder / name).exists():
            shutil.move(place.folder / name, aside / name)
    shutil.copy2(backup / BOOK, place.book)


def _database_back(backup: Path, aside: Path) -> None:
    """The backup's book in place of the database's, which is copied out first."""
    call_command("migrate", verbosity=0, interactive=False)
    _nobody_else_is_connected()
    aside.mkdir(parents=True)
    copy_book(aside / BOOK)
    with tempfile.TemporaryDirectory(prefix="goodground-restore-") as folder:
        copied_in(Path(shutil.copy2(backup / BOOK, folder)))


def _nobody_else_is_connected() -> None:
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT count(*) FROM pg_stat_activity WHERE datname = current_database()"
            " AND pid <> pg_backend_pid() AND backend_type = 'client backend'"
        )
        if cursor.fetchone()[0]:
            raise BookInUse


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
