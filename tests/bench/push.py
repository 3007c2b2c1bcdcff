"""Pushes of 500 spread over five fields, with all of the contract done, through the real URL table and the real book
on disk: against bare SQLite batches, a stock view of the REST framework, and PostgreSQL's own floor where
GOODGROUND_DATABASE_URL names one. GOODGROUND_BENCH_BOOK is how long the large book is (a million takes minutes)."""

from __future__ import annotations

import gzip
import hashlib
import sqlite3
import statistics
import tempfile
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

from tests.bench import stock
from tests.bench.laid import BATCH, a_farm, a_phone, entry, lay, sent
from tests.bench.measure import seconds, tell

ENTRIES = 10_000
FEW = 5_000
Act = Callable[[], object]


def run() -> None:
    with tempfile.TemporaryDirectory(prefix="goodground-bench-") as folder:
        lay(Path(folder))
        ground, fields = a_farm("Fallow Rise")
        phone = a_phone(ground)
        phone.kept = [entry(phone.by, fields, place) for place in range(ENTRIES)]
        bodies = [phone.body(first + 1, first + BATCH) for first in range(0, ENTRIES, BATCH)]
        _against_bare(Path(folder), phone, bodies)
        _wire(phone.kept, bodies)
        _fold(Path(folder), ground, phone.kept)
        _ten(ground, fields)
        _against_stock(ground, fields)


def turn_about(ours: Sequence[Act], floor: Sequence[Act]) -> tuple[list[float], list[float]]:
    """Each of ours beside its floor, the order turned about."""
    mine: list[float] = []
    bare: list[float] = []
    for place, (one, other) in enumerate(zip(ours, floor, strict=True)):
        both = ((one, mine), (other, bare))
        for act, times in both if place % 2 else reversed(both):
            times.append(seconds(act))
    return mine, bare


def _against_bare(folder: Path, phone: Any, bodies: Sequence[bytes]) -> None:
    from django.db import connection

    bare = _bare(folder)
    batches = [phone.kept[first : first + BATCH] for first in range(0, ENTRIES, BATCH)]
    ours, floor = turn_about(
        [lambda body=body: sent(phone, body) for body in bodies],  # type: ignore[misc]
        [lambda batch=batch: _inserted(bare, batch) for batch in batches],  # type: ignore[misc]
    )
    told = statistics.median(floor)
    name = f"push of {ENTRIES:,} in batches of {BATCH}, {connection.vendor}, a batch"
    tell(name, statistics.median(ours), "bare SQLite", told, "0.35 of its speed or better, compiled")
    again = statistics.median([seconds(lambda body=body: sent(phone, body)) for body in bodies])  # type: ignore[misc]
    tell("the same sent again, a batch", again, "bare SQLite", told, "none stated")
    if connection.vendor == "postgresql":
        copied = statistics.median([seconds(lambda batch=batch: _copied(batch)) for batch in batches])  # type: ignore[misc]
        tell(
            "the push on PostgreSQL",
            statistics.median(ours),
            "its own COPY, then INSERT",
            copied,
            "0.25 of its speed",
        )
    bare.close()


def _wire(kept: Sequence[bytes], bodies: Sequence[bytes]) -> None:
    plain = sum(map(len, kept)) / len(kept)
    packed = sum(len(gzip.compress(body, 1)) for body in bodies) / len(kept)
    print(
        f"  bytes an entry on the wire: {packed:.0f} gzipped (level 1), {plain:.0f} plain; aim: 130 or less"
    )


def _fold(folder: Path, ground: Any, kept: Sequence[bytes]) -> None:
    """The first look at a farm after so many new entries."""
    from server.people import clock
    from server.status.following import followed

    bare = _bare(folder)
    floor = seconds(lambda: [_inserted(bare, kept[at : at + BATCH]) for at in range(0, len(kept), BATCH)])
    ours = seconds(lambda: followed(ground.farm.id, clock.now()))
    tell(f"fold of {len(kept):,} entries, each", ours, "bare SQLite", floor, "none stated", len(kept))
    bare.close()


def _ten(ground: Any, fields: Sequence[Any]) -> None:
    """Ten new entries in one request, beside a request that does nothing."""
    phone = a_phone(ground)
    phone.kept = [entry(phone.by, fields, ENTRIES + place) for place in range(310)]
    bodies = [phone.body(first + 1, first + 10) for first in range(0, 310, 10)]
    ours, floor = turn_about(
        [lambda body=body: sent(phone, body) for body in bodies],  # type: ignore[misc]
        [lambda: phone.client.get("/api/v1/hello/")] * len(bodies),
    )
    tell(
        "ten new entries, one request",
        statistics.median(ours),
        "a view that does nothing",
        statistics.median(floor),
        "none stated",
    )


def _against_stock(ground: Any, fields: Sequence[Any]) -> None:
    phone = a_phone(ground)
    phone.kept = [entry(phone.by, fields, 20_000 + place) for place in range(FEW)]
    bodies = [phone.body(first + 1, first + BATCH) for first in range(0, FEW, BATCH)]
    view = stock.view(ground.farm.id)
    theirs = [stock.request(phone.kept[first : first + BATCH]) for first in range(0, FEW, BATCH)]
    ours, floor = turn_about(
        [lambda body=body: sent(phone, body) for body in bodies],  # type: ignore[misc]
        [lambda one=one: view(one) for one in theirs],  # type: ignore[misc]
    )
    told = statistics.median(floor)
    tell(
        f"push of {FEW:,}, a batch",
        statistics.median(ours),
        "stock ListSerializer and bulk_create",
        told,
        "10 times as fast",
    )


def _bare(folder: Path) -> sqlite3.Connection:
    for end in ("", "-wal", "-shm"):
        (folder / f"bare.sqlite3{end}").unlink(missing_ok=True)
    bare = sqlite3.connect(folder / "bare.sqlite3", isolation_level=None)
    bare.executescript(
        "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; CREATE TABLE line (sha TEXT, raw BLOB)"
    )
    return bare


def _inserted(bare: sqlite3.Connection, batch: Sequence[bytes]) -> None:
    """The same bytes with their sha and nothing else, one commit a batch: the floor of a durable server."""
    bare.execute("BEGIN IMMEDIATE")
    places = ",".join(["(?,?)"] * len(batch))
    values = [value for one in batch for value in (hashlib.sha256(one).hexdigest(), one)]
    bare.execute(f"INSERT INTO line VALUES {places}", values)
    bare.execute("COMMIT")


def _copied(batch: Sequence[bytes]) -> None:
    """PostgreSQL's own floor: COPY into a table of this transaction, then INSERT … SELECT where it is new."""
    from django.db import connection, transaction

    with transaction.atomic(), connection.cursor() as cursor:
        cursor.execute("CREATE TABLE IF NOT EXISTS bench_line (sha text PRIMARY KEY, raw bytea)")
        cursor.execute("CREATE TEMP TABLE coming (sha text, raw bytea) ON COMMIT DROP")
        with cursor.copy("COPY coming FROM STDIN (FORMAT BINARY)") as copy:
            copy.set_types(["text", "bytea"])
            for one in batch:
                copy.write_row((hashlib.sha256(one).hexdigest(), one))
        cursor.execute(
            "INSERT INTO bench_line SELECT sha, raw FROM coming ON CONFLICT (sha) DO NOTHING RETURNING sha"
        )
        cursor.fetchall()
