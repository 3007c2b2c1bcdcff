"""A server's memory, settled: what was loaded at the start stays, and is not looked through again and again."""

from __future__ import annotations

import gc

YOUNG, MIDDLE, OLD = 50_000, 20, 50
"""A push makes tens of thousands of short-lived values; with Python's own thresholds a fifth of its time goes into
looking for cycles among them."""


def settle() -> None:
    gc.collect()
    gc.freeze()
    gc.set_threshold(YOUNG, MIDDLE, OLD)
