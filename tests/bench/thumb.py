"""A repeat load at the gate: the time of a practised thumb, reckoned, with the app's own answer, measured.

The way from key to key is measured on the glass, in both sizes of phone: from *what was seen* of the load before to the
truck, to the fill, to what is seen now. The time of a way is Fitts's law in the form of MacKenzie (1992), *Fitts' law
as a research and design tool in human-computer interaction*: ``a + b log2(D / W + 1)``, D the distance and W the
smaller side of the key. ``a`` and ``b`` are assumptions of our own for a wet glove, slower than what is published of
bare fingers: 0.2 s and 0.2 s a bit. To that comes one act of the mind before the last tap, which says what was seen:
1.35 s (Card, Moran and Newell 1980, the keystroke-level model; from memory). How long the looking itself takes is not
in it. Nobody was timed with a watch.
"""

from __future__ import annotations

import math
import statistics
import tempfile
from pathlib import Path
from typing import Any

from tests.bench.measure import seconds
from tests.mobile import conftest  # noqa: F401 - settles Kivy

REACH_S, BIT_S, MIND_S = 0.2, 0.2, 1.35
AIM_S = 5.0
MM_PER_DP = 25.4 / 160
FRAME_S = 1 / 60
SIZES = ((360, 740), (412, 915))
LOADS = 12


def run() -> None:
    from kivy.core.window import Window

    for size in SIZES:
        Window.size = size
        with tempfile.TemporaryDirectory(prefix="goodground-bench-") as folder:
            _loads(Path(folder), f"{size[0]}x{size[1]}")


def _loads(folder: Path, size: str) -> None:
    from tests.mobile.farmland import TRUCKS
    from tests.mobile.screens.scenes import gate_ready
    from tests.mobile.stage import Stage

    ways: list[float] = []
    answers: list[float] = []
    whole: list[float] = []
    stage = Stage(folder).joined()
    with stage:
        gate_ready(stage)
        thumb: tuple[float, float] | None = None
        for load in range(LOADS):
            names = (f"gate.truck.{TRUCKS[load % 2]}", "gate.fill.100", "gate.seen.clean")
            reached, answered = [], []
            for name in names:
                box = stage.hand.find(name)[1]
                middle = (box[0] + box[2]) / 2, (box[1] + box[3]) / 2
                if thumb is not None:
                    reached.append(reach_s(math.dist(thumb, middle), min(box[2] - box[0], box[3] - box[1])))
                    ways.append(math.dist(thumb, middle) * MM_PER_DP)
                answered.append(seconds(lambda at=middle: _tap(*at)))
                thumb = middle
                stage.hand.settle()
            stage.clock.pass_ms(240_000)
            if len(reached) == len(names):
                whole.append(sum(reached) + MIND_S + sum(answered))
                answers += answered
        assert len(stage.bodies("load")) == LOADS
    stage.phone.book.close()
    answer, load_s = statistics.median(answers), statistics.median(whole)
    print(
        f"  a repeat load on {size}: three taps, ways of {min(ways):.0f} to {max(ways):.0f} mm, "
        f"{load_s:.1f} s by the model with the app's answers in it (the slowest of {len(whole)}: {max(whole):.1f} s); "
        f"an answer {answer * 1e3:.0f} ms, {answer / FRAME_S:.1f} frames of 60 Hz; aim: under {AIM_S:.0f} s",
        flush=True,
    )


def reach_s(distance: float, width: float) -> float:
    return REACH_S + BIT_S * math.log2(distance / width + 1)


def _tap(x: float, y: float) -> Any:
    from kivy.tests.common import UnitTestTouch

    from tests.bench.tap import painted

    touch = UnitTestTouch(x, y)
    touch.touch_down()
    touch.touch_up()
    painted()
