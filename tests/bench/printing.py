"""A long register set by the maker as the server starts it: pages, seconds of the processor, and the most memory that
its processes took. GOODGROUND_BENCH_LINES is how many loads it has (20,000 make some 500 pages)."""

from __future__ import annotations

import os
import resource
import tempfile
import time
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

from tests.bench.laid import lay

LINES = int(os.environ.get("GOODGROUND_BENCH_LINES", "20000"))
AT_ONCE = 2_000


def run() -> None:
    with tempfile.TemporaryDirectory(prefix="goodground-bench-") as folder:
        os.environ["GOODGROUND_DATA"] = folder
        lay(Path(folder))
        made(Path(folder))


def made(folder: Path) -> Path:
    from server.people import clock
    from server.registers import maker, printings
    from server.registers.models import Printing
    from server.registers.printings import Asker, Wanted
    from tests.server.ground import found
    from tests.server.web.farmyard import Farmyard

    now = datetime.now(UTC)
    yard = Farmyard.of(found("Broad Rise", now), now)
    first = date(now.year - 5, 1, 1)
    for start in range(0, LINES, AT_ONCE):
        yard.write_all(
            [
                yard.draft(
                    yard.load_body(yard.ground.fields[place % 2]),
                    done_at=first + timedelta(days=place * 5 * 365 // LINES),
                )
                for place in range(start, min(LINES, start + AT_ONCE))
            ]
        )
    printings.starter = lambda: None
    wanted = Wanted("leaf_intake", first, now.date(), "en", LINES)
    printings.ask(yard.ground.fresh(), Asker(yard.ground.owner.id), wanted, clock.now())
    began = time.perf_counter(), used()
    maker.make_all()
    took = time.perf_counter() - began[0], used() - began[1]
    one = Printing.objects.get()
    most = max(resource.getrusage(who).ru_maxrss for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN))
    print(
        f"  {one.lines:,} lines on {one.pages} pages, {one.size / 1e6:.1f} MB: {took[0]:.0f} s, "
        f"{took[1]:.0f} s of the processor; the largest process took {most / 1024:.0f} MB",
        flush=True,
    )
    return printings.file_of(one)


def used() -> float:
    told = os.times()
    return told.user + told.system + told.children_user + told.children_system
