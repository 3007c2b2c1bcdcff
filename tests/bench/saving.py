"""What the phone does between a tap and *saved*, against a bare durable SQLite commit of the same bytes; and reading
a page of a large book against one of a small book."""

from __future__ import annotations

import sqlite3
import tempfile
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

from mobile.actions.save_entry import NewEntry, save_entries
from mobile.device.chance import SystemChance
from mobile.device.clock import SystemClock
from shared.words.bodies.walked import Cover
from tests.bench.measure import pair, tell
from tests.mobile.kit import Walked, cover, walked

SAVES = 400
LARGE = 20_000
BODY = Cover(cover="rye", height_in=Decimal(31), heads="none")


def a_phone(folder: Path) -> Walked:
    folder.mkdir()
    phone, server, farm, at = walked(folder)
    phone.receiver.stand("39.7012345", "-75.1009")
    return replace(phone, clock=SystemClock(), chance=SystemChance()), server, farm, at


def bare(file: Path, raw: bytes) -> sqlite3.Connection:
    floor = sqlite3.connect(file, isolation_level=None)
    floor.execute("PRAGMA journal_mode = WAL")
    floor.execute("PRAGMA synchronous = FULL")
    floor.execute("CREATE TABLE entries (id INTEGER PRIMARY KEY, raw BLOB)")
    floor.execute("INSERT INTO entries (raw) VALUES (?)", (raw,))
    return floor


def run() -> None:
    with tempfile.TemporaryDirectory(prefix="goodground-bench-") as folder:
        phone, _, _, at = a_phone(Path(folder) / "small")
        cover(phone, at)
        raw = phone.book.written(at, limit=1)[0].raw
        floor = bare(Path(folder) / "bare.sqlite", raw)

        def commit() -> None:
            floor.execute("BEGIN IMMEDIATE")
            floor.execute("INSERT INTO entries (raw) VALUES (?)", (raw,))
            floor.execute("COMMIT")

        ours, theirs = pair(lambda: cover(phone, at), commit, SAVES)
        tell("a saved entry", ours, "a bare durable commit", theirs, "1.5 times or less")
        floor.close()

        large, _, _, there = a_phone(Path(folder) / "large")
        for _ in range(LARGE // 500):
            save_entries(large, there, [NewEntry(body=BODY) for _ in range(500)])
        ours, theirs = pair(lambda: large.book.written(there), lambda: phone.book.written(at), 200)
        tell(f"the newest page of {LARGE:,} entries", ours, f"of {SAVES}", theirs, "1.2 times or less")
        middle = large.book.written(there, limit=1)[0].place - LARGE // 2
        ours, theirs = pair(lambda: large.book.written(there, middle), lambda: phone.book.written(at), 200)
        tell("a page half-way down", ours, f"the newest of {SAVES}", theirs, "1.2 times or less")
        large.book.close()
        phone.book.close()
