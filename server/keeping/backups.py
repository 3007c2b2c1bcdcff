"""Backups made while the server runs, read back and checked, and how far each phone's lines are safe (W10)."""

from __future__ import annotations

import json
import os
import shutil
import sqlite3
from contextlib import closing
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from uuid import UUID

from django.conf import settings
from django.db import connection, transaction
from django.db.models import Q

from server.book.models import Receipt
from server.book.reads import taken
from server.keeping.checking import checked
from server.keeping.crossing import copied_out
from server.keeping.errors import NotSoFar
from server.keeping.names import BOOK, KEY
from server.people.models import Farm, Phone

MANIFEST = "backup.json"


@dataclass(frozen=True, slots=True)
class Backup:
    """A checked copy: its folder, and the last book number of each farm in it."""

    folder: Path
    numbers: dict[UUID, int]


def back_up(into: Path, now: datetime) -> Backup:
    """Copy the book into a new folder under ``into`` while others go on writing, read it back, check it, and mark
    what is safe by it. Raises ``BackupBroken``: then nothing is called safe."""
    folder = into / now.strftime("%Y-%m-%dT%H%M%SZ")
    folder.mkdir(parents=True)
    copy_book(folder / BOOK)
    numbers = checked(folder / BOOK)
    if settings.PLACE.key_file.exists():
        shutil.copy2(settings.PLACE.key_file, folder / KEY)
    if settings.PLACE.photos.exists():
        shutil.copytree(settings.PLACE.photos, folder / "photos", copy_function=_linked, dirs_exist_ok=True)
    told = {"made_at": now.isoformat(), "numbers": {str(farm): number for farm, number in numbers.items()}}
    (folder / MANIFEST).write_text(json.dumps(told, indent=1) + "\n", "utf-8")
    for farm, number in numbers.items():
        mark_safe(farm, number, now)
    return Backup(folder, numbers)


def copy_book(target: Path) -> None:
    """The book as one moment has it, whole, in a file of its own."""
    if connection.vendor != "sqlite":
        copied_out(target)
    else:
        _copy_file(Path(connection.settings_dict["NAME"]), target)
    _durable(target)


def _copy_file(source: Path, target: Path) -> None:
    """The database's own copy of a book in use."""
    with closing(sqlite3.connect(source)) as book, closing(sqlite3.connect(target)) as copy:
        book.backup(copy, pages=4_096, sleep=0.01)
        copy.execute("PRAGMA journal_mode=DELETE")


def _durable(file: Path) -> None:
    for place in (file, file.parent):
        handle = os.open(place, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _linked(source: str, target: str) -> str:
    """A photo never changes: a second name for it is a copy, where the disk is the same."""
    try:
        os.link(source, target)
    except OSError:
        shutil.copy2(source, target)
    return target


def mark_safe(farm: UUID, number: int, now: datetime) -> None:
    """A backup that was checked reaches this book number: say so to every phone of the farm (W10)."""
    with transaction.atomic():
        here = Farm.objects.select_for_update().get(id=farm)
        if number > here.number:
            raise NotSoFar(number, here.number)
        here.backed_up, here.backed_up_at = max(number, here.backed_up), now
        here.save(update_fields=("backed_up", "backed_up_at"))
    # A push locks its phone first and the farm after it: never hold the farm and wait for a phone.
    for phone in Phone.objects.filter(farm_id=farm, desk=False):
        Phone.objects.filter(id=phone.id).update(safe=_safe_line(phone, here.backed_up))


def _safe_line(phone: Phone, number: int) -> int:
    """The highest line up to which every line stands in the backup, none of them refused."""
    later = Q(number__gt=number)
    own = taken(phone.id).filter(later | Q(outcome="refused"))
    named = Receipt.objects.filter(phone_id=phone.id).filter(later | Q(was="refused"))
    first = [found.order_by("line").values_list("line", flat=True).first() for found in (own, named)]
    return min((line for line in first if line is not None), default=phone.line + 1) - 1
