"""One phone: the real storage on a real file, the real actions and transport, and what it has shown as saved."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import Any

from mobile.ports import Phone
from mobile.storage.disk import Disk
from shared.sync.outbox import Pace
from tests.mobile.kit import a_phone
from tests.simulation.network import Network
from tests.simulation.server_end import Crash, ServerEnd

APP, OLD_APP = "0.1.0", "0.0.9"
NAMES_UNDONE = """
DROP INDEX entries_by_named;
DROP TRIGGER entries_never_rewritten;
ALTER TABLE entries DROP COLUMN names;
CREATE TRIGGER entries_never_rewritten BEFORE UPDATE OF id ON entries
    BEGIN SELECT RAISE(ABORT, 'an entry is never written again'); END;
PRAGMA user_version = 2;
"""


class Handset:
    """``farms`` are the enrolments of this phone by farm. ``shown`` are the shas shown as saved and not lost with
    the phone itself."""

    def __init__(self, folder: Path, server: ServerEnd, name: str, seed: int) -> None:
        self.folder, self.server, self.name, self.seed = folder, server, name, seed
        self.network = Network(server)
        self.farms: dict[int, int] = {}
        self.paces: dict[int, Pace] = {}
        self.image: bytes | None = None
        self.app = APP
        self.phone: Phone = self._made()

    def _made(self) -> Phone:
        phone = a_phone(self.folder, self.server, self.network.between, self.seed, self.name)  # type: ignore[arg-type]
        phone.server.app = self.app  # type: ignore[attr-defined]
        return phone

    def wear(self, app: str) -> None:
        """Another version of the app from here on."""
        self.app = app
        self.phone.server.app = app  # type: ignore[attr-defined]

    @property
    def file(self) -> Path:
        return self.folder / f"{self.name}.sqlite"

    def restart(self) -> None:
        """As after a kill: only what is on the disk is there."""
        self.phone.book.close()
        self.seed += 100
        clock = self.phone.clock
        self.phone = replace(self._made(), clock=clock, receiver=self.phone.receiver)
        self.paces = {}

    def renew_from_an_older_app(self) -> None:
        """The storage as the app before looking up by names left it; this app brings it up as it starts."""
        self.phone.book.close()
        with closing(sqlite3.connect(self.file)) as connection:
            connection.executescript(NAMES_UNDONE)
        self.restart()

    def keep_image(self) -> None:
        self.disk.one("PRAGMA wal_checkpoint(TRUNCATE)")
        self.image = self.file.read_bytes()

    def put_back(self) -> None:
        assert self.image is not None
        self.phone.book.close()
        for end in ("-wal", "-shm"):
            Path(f"{self.file}{end}").unlink(missing_ok=True)
        self.file.write_bytes(self.image)
        self.restart()

    @property
    def disk(self) -> Disk:
        return self.phone.book.disk  # type: ignore[attr-defined]

    def shas(self, farm: int) -> set[str]:
        """What is on the phone of this farm."""
        rows = self.disk.many("SELECT sha FROM entries WHERE enrolment = ?", (self.farms[farm],))
        return {sha for (sha,) in rows}

    def crash(self, commits: int, when: str) -> None:
        """At the commit after so many more: *before* it, *within* it, or *after* it."""
        left = [commits]
        disk = self.disk
        write = disk.write

        def crashing(work: Callable[[Any], Any]) -> Any:
            left[0] -= 1
            if left[0] >= 0:
                return write(work)
            if when == "before":
                raise Crash
            done = write(_broken_off(work) if when == "within" else work)
            if when == "after":
                raise Crash
            return done

        disk.write = crashing  # type: ignore[method-assign]

    def fill(self, full: bool) -> None:
        """A disk with no page left and no ballast to free, or with room again."""
        if full:
            (pages,) = self.disk.one("PRAGMA page_count") or (0,)
            self.disk.one(f"PRAGMA max_page_count = {pages}")
            self.disk.ballast.free()
        else:
            self.disk.one("PRAGMA max_page_count = 1000000")

    @contextmanager
    def locked(self) -> Iterator[None]:
        """Another connection writes, and this phone waits for nothing."""
        self.disk.one("PRAGMA busy_timeout = 0")
        with closing(sqlite3.connect(self.file, isolation_level=None)) as other:
            other.execute("BEGIN IMMEDIATE")
            yield
            other.execute("ROLLBACK")
        self.disk.one("PRAGMA busy_timeout = 10000")

    def settle(self) -> None:
        """Nothing armed any more."""
        self.network.faults = []
        self.disk.__dict__.pop("write", None)

    def set_clock(self, at: datetime) -> None:
        self.phone.clock.jump(at - self.phone.clock.now())  # type: ignore[attr-defined]


def _broken_off(work: Callable[[Any], Any]) -> Callable[[Any], Any]:
    def first(connection: Any) -> Any:
        work(connection)
        raise Crash

    return first
