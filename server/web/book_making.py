"""The farm's book is made beside whoever asked for it, in a thread of the server's own; the last one made is kept.

It lies in the data folder, a file for each farm and language, and is whole or not there. How far one is that is
being made is known to this process alone: after a stop it is asked for again.
"""

from __future__ import annotations

import logging
import os
import threading
from concurrent.futures import Executor, ThreadPoolExecutor
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from uuid import UUID
from zoneinfo import ZoneInfo

from django.conf import settings
from django.db import close_old_connections, connections, transaction

from server.people.clock import now
from server.people.models import Farm
from server.web.farm_book import farm_book

worker: Executor = ThreadPoolExecutor(1, "farm-books")
log = logging.getLogger(__name__)
Key = tuple[UUID, str]


@dataclass(frozen=True, slots=True)
class Making:
    """A book that is being made: ``done`` of ``of`` fields are set; ``failed`` where it came to nothing."""

    begun_at: datetime
    done: int = 0
    of: int = 0
    failed: bool = False


_under_way: dict[Key, Making] = {}
_lock = threading.Lock()


def file_of(farm: UUID, language: str) -> Path:
    return Path(settings.PLACE.folder) / "reports" / str(farm) / f"book-{language}.pdf"


def under_way(farm: UUID, language: str) -> Making | None:
    with _lock:
        return _under_way.get((farm, language))


def begin(farm: UUID, language: str) -> None:
    """Have a book made, unless one is being made."""
    with _lock:
        running = _under_way.get((farm, language))
        if running is not None and not running.failed:
            return
        _under_way[farm, language] = Making(now())
    transaction.on_commit(lambda: worker.submit(_in_its_own_thread, farm, language))


def _in_its_own_thread(farm: UUID, language: str) -> None:
    close_old_connections()
    try:
        make(farm, language)
    finally:
        connections.close_all()


def make(farm: UUID, language: str) -> None:
    """Make the book and put it in the place of the last one; where that fails the last one stays."""
    key = (farm, language)
    try:
        row = Farm.objects.get(id=farm)
        today = now().astimezone(ZoneInfo(row.zone)).date()
        made = farm_book(row, language, today, lambda done, of: _moved(key, done, of))
        _kept(file_of(farm, language), made)
    except Exception:
        log.exception("the book of farm %s could not be made", farm)
        _moved(key, failed=True)
    else:
        with _lock:
            _under_way.pop(key, None)


def _moved(key: Key, done: int | None = None, of: int | None = None, failed: bool = False) -> None:
    with _lock:
        was = _under_way.get(key) or Making(now())
        _under_way[key] = replace(
            was, done=was.done if done is None else done, of=was.of if of is None else of, failed=failed
        )


def _kept(file: Path, made: bytes) -> None:
    file.parent.mkdir(parents=True, exist_ok=True)
    beside = file.with_suffix(".part")
    beside.write_bytes(made)
    os.replace(beside, file)
