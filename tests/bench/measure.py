"""Times two things turn by turn and tells the ratio of their medians."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable

Act = Callable[[], object]


def seconds(act: Act) -> float:
    began = time.perf_counter()
    act()
    return time.perf_counter() - began


def pair(ours: Act, floor: Act, rounds: int = 7, before: Act = lambda: None) -> tuple[float, float]:
    """The medians of ours and of the floor, each round both, the order turned about; ``before`` is not timed."""
    mine, bare = [], []
    for turn in range(rounds):
        for which in (0, 1) if turn % 2 else (1, 0):
            before()
            (mine if which else bare).append(seconds(ours if which else floor))
    return statistics.median(mine), statistics.median(bare)


def tell(what: str, ours_s: float, floor: str, floor_s: float, aim: str, count: int = 1) -> None:
    """One line: what it takes, what the floor takes, how many times the floor that is, and the aim."""
    print(
        f"  {what}: {ours_s / count * 1e3:.3f} ms, {floor}: {floor_s / count * 1e3:.3f} ms, "
        f"{ours_s / floor_s:.2f} times the floor ({floor_s / ours_s:.2f} of its speed); aim: {aim}",
        flush=True,
    )
