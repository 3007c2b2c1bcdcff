"""Where a push of 500 goes, stage by stage, and the least that some of them take where nothing else is done."""

from __future__ import annotations

import hashlib
import sqlite3
import statistics
import tempfile
import time
from collections import defaultdict
from collections.abc import Callable, Sequence
from functools import wraps
from pathlib import Path
from types import ModuleType
from typing import Any

from tests.bench.laid import BATCH, a_farm, a_phone, entry, lay, sent
from tests.bench.measure import seconds
from tests.bench.push import _bare, _inserted

ENTRIES = 15_000
Taken = dict[str, list[float]]


def run() -> None:
    with tempfile.TemporaryDirectory(prefix="goodground-bench-") as folder:
        lay(Path(folder))
        ground, fields = a_farm("Fallow Rise")
        phone = a_phone(ground)
        phone.kept = [entry(phone.by, fields, place) for place in range(ENTRIES)]
        batches = [phone.kept[first : first + BATCH] for first in range(0, ENTRIES, BATCH)]
        bodies = [phone.body(first + 1, first + BATCH) for first in range(0, ENTRIES, BATCH)]
        bare, alone = _bare(Path(folder)), _RowsAlone(Path(folder))
        taken: Taken = defaultdict(list)
        _watched(taken)
        for body, batch in zip(bodies, batches, strict=True):
            taken["whole"].append(seconds(lambda: sent(phone, body)))  # noqa: B023
            taken["bare"].append(seconds(lambda: _inserted(bare, batch)))  # noqa: B023
            _floors(taken, alone, batch)
        bare.close()
        _told({name: statistics.median(times) * 1e3 for name, times in taken.items()})


def _watched(taken: Taken) -> None:
    from django.db import connection

    from server.api.v1 import views
    from server.book import writes as book
    from server.intake import keeping, writes

    for module, name in (
        *((views, one) for one in ("push_body", "accept")),
        *((writes, one) for one in ("read_push", "lines_read", "locked", "looked_up", "judge", "settle")),
        *((writes, "_heard"), (keeping, "append"), (book, "insert"), (book, "chained_on")),
    ):
        _watch(taken, module, name)
    connection._commit = _timed(taken["commit"], connection._commit)  # type: ignore[attr-defined]


def _watch(taken: Taken, module: ModuleType, name: str) -> None:
    setattr(module, name, _timed(taken[name], getattr(module, name)))


def _timed(times: list[float], act: Callable[..., Any]) -> Callable[..., Any]:
    @wraps(act)
    def timed(*told: Any, **how: Any) -> Any:
        began = time.perf_counter()
        try:
            return act(*told, **how)
        finally:
            times.append(time.perf_counter() - began)

    return timed


class _RowsAlone:
    """The ledger's rows with their three unique indexes in a file of SQLite's own."""

    TABLE = """
        PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL;
        CREATE TABLE book (farm, number, phone, line, outcome, code, detail, at, sha, raw BLOB, entry, head, chain);
        CREATE UNIQUE INDEX by_number ON book (farm, number);
        CREATE UNIQUE INDEX by_entry ON book (farm, entry);
        CREATE UNIQUE INDEX by_line ON book (phone, line);
    """

    def __init__(self, folder: Path) -> None:
        self.file = sqlite3.connect(folder / "rows.sqlite3", isolation_level=None)
        self.file.executescript(self.TABLE)
        self.number = 0

    def rows(self, batch: Sequence[bytes]) -> list[tuple[Any, ...]]:
        said, out = "5" * 64, []
        for raw in batch:
            self.number += 1
            at, n = "2026-06-01 12:00:00.000000", self.number
            out.append(
                ("f" * 32, n, "a" * 32, n, "kept", None, None, at, said, raw, raw[7:43].decode(), said, said)
            )
        return out

    def insert(self, rows: list[tuple[Any, ...]]) -> None:
        self.file.execute("BEGIN IMMEDIATE")
        self.file.executemany(f"INSERT INTO book VALUES ({','.join('?' * 13)})", rows)
        self.file.execute("COMMIT")


def _floors(taken: Taken, alone: _RowsAlone, batch: Sequence[bytes]) -> None:
    """The least of three stages: rows written by SQLite itself, lines read by the compiled decoder, digests taken."""
    from server.intake import decoding

    rows = alone.rows(batch)
    taken["rows alone"].append(seconds(lambda: alone.insert(rows)))
    kinds = [raw[decoding._KIND_AT : raw.find(b'"', decoding._KIND_AT)] for raw in batch]
    pairs = [(decoding._ENTRIES[kind], raw) for kind, raw in zip(kinds, batch, strict=True)]
    taken["read alone"].append(seconds(lambda: [decoding._encode(read(raw)) == raw for read, raw in pairs]))
    taken["digests alone"].append(seconds(lambda: [_three_digests(raw) for raw in batch]))


def _three_digests(raw: bytes) -> str:
    """Of the bytes, of the phone's chain, of the farm's: of 632, 128 and about 250 bytes."""
    for one in (raw, raw[:128], raw[:250]):
        told = hashlib.sha256(one).hexdigest()
    return told


def _told(ms: dict[str, float]) -> None:
    stages = (
        ("the body: length, digest, inflating", ms["push_body"], None),
        ("lines split and their digests taken", ms["read_push"], None),
        ("lines read", ms["lines_read"], ms["read alone"]),
        ("phone and farm locked", ms["locked"], None),
        ("looked up: ids, shas, fields, people", ms["looked_up"], None),
        ("judged, the phone's chain", ms["judge"], None),
        ("numbered, the farm's chain", ms["append"] - ms["insert"], None),
        ("rows written and committed", ms["insert"] + ms["commit"], ms["rows alone"]),
        ("answers made", ms["settle"] - ms["append"], None),
        ("phone and clock noted", ms["_heard"], None),
        ("request, token, answer", ms["whole"] - ms["accept"] - ms["push_body"], None),
    )
    whole, bare = ms["whole"], ms["bare"]
    for name, took, floor in stages:
        least = f", alone {floor:.1f} ms" if floor is not None else ""
        print(f"  {name}: {took:.1f} ms of {whole:.1f}{least}", flush=True)
    print(f"  the three digests of each line, alone: {ms['digests alone']:.1f} ms")
    least = ms["rows alone"] + ms["read alone"] + ms["digests alone"]
    told = f"a push is {bare / whole:.2f} of its speed, the three floors alone {bare / least:.2f}"
    print(f"  bare SQLite {bare:.1f} ms: {told}")
