"""A farm whose book is long beside one whose book is short, in the same file: their pushes and their pulls with nothing
new, turn by turn. GOODGROUND_BENCH_BOOK is how long the long one is (a million takes five minutes to lay)."""

from __future__ import annotations

import os
import statistics
import tempfile
from pathlib import Path
from typing import Any

from tests.bench.laid import BATCH, a_farm, a_phone, entry, filled, lay, sent
from tests.bench.measure import pair, tell
from tests.bench.push import turn_about

SHORT = 10_000
LONG = int(os.environ.get("GOODGROUND_BENCH_BOOK", "200000"))
PUSHED = 15_000
PULLS = 201


def run() -> None:
    with tempfile.TemporaryDirectory(prefix="goodground-bench-") as folder:
        lay(Path(folder))
        short, long = _farm("Short Book", SHORT), _farm("Long Book", LONG)
        _pulls(short[0], long[0])
        _pushes(short, long)


def _farm(name: str, entries: int) -> Any:
    ground, fields = a_farm(name)
    filled(ground, fields, entries)
    return ground, fields


def _pulls(short: Any, long: Any) -> None:
    """Before the pushes: what follows from a pushed entry would have to be made first."""
    several = [(phone, phone.pull_all()[1]) for phone in map(a_phone, (short, long))]
    (theirs, at), (ours, here) = several
    assert (theirs.pull(at).status_code, ours.pull(here).status_code) == (304, 304)
    mine, floor = pair(lambda: ours.pull(here), lambda: theirs.pull(at), PULLS)
    tell(f"pull with nothing new, {LONG:,} entries", mine, f"{SHORT:,}", floor, "1.3 times or less")


def _pushes(*grounds: Any) -> None:
    both = []
    for ground, fields in grounds:
        phone = a_phone(ground)
        phone.kept = [entry(phone.by, fields, 2 * LONG + place) for place in range(PUSHED)]
        bodies = [phone.body(first + 1, first + BATCH) for first in range(0, PUSHED, BATCH)]
        both.append([lambda phone=phone, body=body: sent(phone, body) for body in bodies])  # type: ignore[misc]
    floor, ours = map(statistics.median, turn_about(*both))
    tell(f"push onto {LONG:,} entries, a batch", ours, f"onto {SHORT:,}", floor, "1.3 times or less")
