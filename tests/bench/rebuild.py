"""``rebuild-status`` over the laid book, against reading every entry of it once: fetched and decoded, nothing else.

GOODGROUND_BENCH_ENTRIES is how many entries (a million); laying them takes a quarter of an hour and more, once."""

from __future__ import annotations

import os
import shutil
import sys
import tempfile
from datetime import UTC, datetime
from pathlib import Path

from tests.bench.laid import lay
from tests.bench.laid_book import book
from tests.bench.measure import seconds, tell


def run() -> None:
    laid = book()
    with tempfile.TemporaryDirectory(prefix="goodground-bench-") as folder:
        shutil.copytree(laid, folder, dirs_exist_ok=True)
        os.environ["GOODGROUND_DATA"] = folder
        lay(Path(folder))
        measured()


def measured() -> None:
    from server.book import reads
    from server.people.models import Farm
    from server.status.writes import rebuild

    farm = Farm.objects.get()

    def read() -> int:
        return sum(1 for _ in reads.all_written(reads.rows(farm.id)))

    def told(done: int, of: int) -> None:
        print(f"  {done:,} of {of:,}", end="\r", file=sys.stderr, flush=True)

    floor = seconds(read)
    ours = seconds(lambda: rebuild(farm, datetime.now(UTC), told))
    floor = (floor + seconds(read)) / 2
    tell(
        f"rebuild-status over {farm.number:,} rows, each", ours, "read bare", floor, "4 or less", farm.number
    )
