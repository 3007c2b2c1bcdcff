"""The storage port, put together."""

from __future__ import annotations

import json
from collections.abc import Callable, Hashable, Mapping
from pathlib import Path
from typing import Any, TypeVar

from mobile.ports import Draft
from mobile.storage.disk import LOCK_WAIT_S, Disk
from mobile.storage.enrolments import Enrolments
from mobile.storage.outbox import Outbox
from mobile.storage.own_lines import OwnLines, keep_draft
from mobile.storage.photos import Photos
from mobile.storage.pulled import Pulled
from mobile.storage.remembered import Remembered, WorkedOut

T = TypeVar("T")


class PhoneBook(Enrolments, OwnLines, Outbox, Pulled, Photos):
    """``mobile.ports.Book`` on one SQLite file. May be used from any thread; ``close`` it at the end."""

    def __init__(self, file: Path, lock_wait_s: float = LOCK_WAIT_S) -> None:
        self.disk = Disk(file, lock_wait_s)
        self.folder = file.parent / f"{file.stem}.photos"
        self.remembered = Remembered()
        self._worked_out = WorkedOut()
        self.sweep_photos()

    def draft(self, enrolment: int, name: str) -> Mapping[str, Any] | None:
        found = self.disk.one("SELECT tree FROM drafts WHERE enrolment = ? AND name = ?", (enrolment, name))
        return None if found is None else json.loads(found[0])

    def keep_draft(self, enrolment: int, draft: Draft) -> None:
        self.disk.write(lambda connection: keep_draft(connection, enrolment, draft))

    def setting(self, name: str) -> str | None:
        def read() -> str | None:
            found = self.disk.one("SELECT value FROM settings WHERE name = ?", (name,))
            return None if found is None else str(found[0])

        value: str | None = self.remembered.get(("setting", name), read)
        return value

    def keep_setting(self, name: str, value: str | None) -> None:
        if value is None:
            self.disk.write(lambda one: one.execute("DELETE FROM settings WHERE name = ?", (name,)))
        else:
            self.disk.write(
                lambda one: one.execute("INSERT OR REPLACE INTO settings VALUES (?, ?)", (name, value))
            )
        self.remembered.forget()

    def worked_out(self, key: Hashable, work: Callable[[], T]) -> T:
        found: T = self._worked_out.get(lambda: self.disk.changes, key, work)
        return found

    def is_tight(self) -> bool:
        return not self.disk.ballast.is_laid()

    def close(self) -> None:
        self.disk.close()
