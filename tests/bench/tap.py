"""From the tap on *Save stop* to the frame that shows what it means, against one bare frame of the same screen; and
*What I wrote* of a book of 50,000 entries against one of 500: opened, turned a page, and what that takes of memory. All
of it painted off screen."""

from __future__ import annotations

import gc
import os
import statistics
import tempfile
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from uuid import UUID

from tests.bench.measure import seconds, tell
from tests.mobile import conftest  # noqa: F401 - settles Kivy

SMALL, LARGE = 500, 50_000
PAGES = 40
A_DAY = 60
PAGE_BYTES = os.sysconf("SC_PAGE_SIZE")


def run() -> None:
    saved()
    book()


def painted() -> None:
    from kivy.base import EventLoop
    from kivy.core.window import Window

    Window.canvas.ask_update()
    EventLoop.idle()


def saved() -> None:
    from tests.mobile.screens.scenes import choose, stop
    from tests.mobile.stage import Stage

    taps, frames = [], []
    with tempfile.TemporaryDirectory(prefix="goodground-bench-") as folder:
        stage = Stage(Path(folder)).joined()
        with stage:
            stop(stage)
            for height in range(30, 39):
                stage.hand.key_in(str(height))
                choose(stage, "round.heads.none")
                painted()
                frames.append(seconds(painted))
                _, box = stage.hand.find("round.save")
                taps.append(seconds(lambda box=box: _tap((box[0] + box[2]) / 2, (box[1] + box[3]) / 2)))
                assert stage.says(f"{height} in.")
        stage.phone.book.close()
    tell(
        "a tap to its saved sentence",
        statistics.median(taps),
        "a bare frame",
        statistics.median(frames),
        "none",
    )


def _tap(x: float, y: float) -> None:
    from kivy.tests.common import UnitTestTouch

    touch = UnitTestTouch(x, y)
    touch.touch_down()
    touch.touch_up()
    painted()


def book() -> None:
    of = {count: _turned(count) for count in (SMALL, LARGE)}
    for at, what in enumerate(
        ("opening What I wrote", "a page further down", "a frame while it is scrolled")
    ):
        tell(f"{what}, {LARGE:,} entries", of[LARGE][at], f"of {SMALL}", of[SMALL][at], "1.2 times or less")
    grown = {count: figures[3] / 2**20 for count, figures in of.items()}
    print(
        f"  memory grown over {PAGES} pages: {grown[LARGE]:.1f} MiB of {LARGE:,} entries, "
        f"{grown[SMALL]:.1f} MiB of {SMALL}; aim: flat",
        flush=True,
    )


def _turned(count: int) -> tuple[float, float, float, float]:
    """Medians of opening, of a page further and of a scrolled frame, and the bytes that turning pages took."""
    from tests.mobile.stage import Stage

    with tempfile.TemporaryDirectory(prefix="goodground-bench-") as folder:
        stage = Stage(Path(folder)).joined()
        _filled(stage.phone, stage.enrolment, count)
        with stage:
            assert stage.app is not None
            opened = [seconds(lambda: _opened(stage)) for _ in range(9)]
            screen = stage.app.manager.current_screen
            scrolled = [seconds(lambda at=at: _scrolled(screen, at)) for at in range(30)]
            presenter = stage.app.presenters["wrote"]
            turned, before = [], _resident()
            for at in range(PAGES):
                if at % 10 == 0:
                    stage.go("here")
                    stage.go("wrote")
                turned.append(seconds(lambda: (presenter.tap("older"), painted())))
            grown = _resident() - before
        stage.phone.book.close()
    return statistics.median(opened), statistics.median(turned), statistics.median(scrolled), grown


def _filled(phone, enrolment: int, count: int) -> None:  # type: ignore[no-untyped-def]
    """The same entry over and over under ids of its own, sixty a day, as it would be stored."""
    from mobile.ports import NewLine
    from shared.wire import lines
    from shared.wire.scalars import moment, written_moment
    from tests.mobile.kit import cover

    first = cover(phone, enrolment).entry
    assert first.made_at.utc is not None
    for start in range(0, count, 1_000):
        those = [
            replace(
                first,
                id=UUID(int=(7 << 76) + (2 << 62) + at),
                made_at=moment(
                    written_moment(first.made_at.utc - timedelta(days=(count - at) // A_DAY + 1)), "made_at"
                ),
            )
            for at in range(start, min(count, start + 1_000))
        ]
        phone.book.save(
            enrolment, [NewLine(one.id, one.kind, None, None, 0, lines.encode(one)) for one in those]
        )

    # All of it handed in and pulled since, as the entries of a season are.
    phone.book.disk.write(
        lambda one: one.execute("UPDATE enrolments SET handed = ?, pulled_line = ?", (count, count))
    )


def _opened(stage) -> None:  # type: ignore[no-untyped-def]
    stage.app.go("here")
    stage.app.go("wrote")
    painted()


def _scrolled(screen, at: int) -> None:  # type: ignore[no-untyped-def]
    screen.ids.list.view.scroll_y = 1 - at / 30
    painted()


def _resident() -> int:
    gc.collect()
    return int(Path("/proc/self/statm").read_text().split()[1]) * PAGE_BYTES
