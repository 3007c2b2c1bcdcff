"""From the tap on *Save stop* to the frame that shows what it means, against one bare frame of the same screen and one
in which the same words are only set anew; a book of 50,000 entries against one of 500, turn by turn: the app started,
*Here* and *What I wrote* opened, a page further and one half-way down, scrolled, and what turning pages takes of
memory. All of it painted off screen."""

from __future__ import annotations

import gc
import os
import statistics
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import timedelta
from pathlib import Path
from typing import Any
from uuid import UUID

from tests.bench.measure import seconds, tell
from tests.mobile import conftest  # noqa: F401 - settles Kivy

SMALL, LARGE = 500, 50_000
ROUNDS, WARM, TAPS = 2, 2, 7
"""Ten stops a round, of which the first are not counted and the last ends it."""
TURNS = 2
PAGES = 40
A_DAY = 60
PAGE_BYTES = os.sysconf("SC_PAGE_SIZE")


def run() -> None:
    saved()
    book()


def painted() -> None:
    """One turn of the loop with a frame, to its last pixel: without *finish* the painting of one frame would be counted
    to the next that sets a text."""
    from kivy.base import EventLoop
    from kivy.core.window import Window
    from kivy.graphics.opengl import glFinish

    Window.canvas.ask_update()
    EventLoop.idle()
    glFinish()


# a tap


@dataclass
class Taps:
    taps: list[float] = field(default_factory=list)
    worked: list[float] = field(default_factory=list)
    frames: list[float] = field(default_factory=list)
    worded: list[float] = field(default_factory=list)


def saved() -> None:
    into = Taps()
    for _ in range(ROUNDS):
        with tempfile.TemporaryDirectory(prefix="goodground-bench-") as folder:
            _walked(Path(folder), into)
    tap, frame = statistics.median(into.taps), statistics.median(into.frames)
    what = "a tap to its saved sentence"
    tell(what, tap, "a bare frame", frame, "none")
    tell(what, tap, "a frame that sets the same words", statistics.median(into.worded), "2 times or less")
    quarter = statistics.quantiles(into.taps, n=4)
    print(
        f"  half of the taps within {quarter[0] * 1e3:.0f} to {quarter[2] * 1e3:.0f} ms; of the processor "
        f"{statistics.median(into.worked) * 1e3:.0f} ms each; six frames of a 60 Hz glass are 100 ms",
        flush=True,
    )


def _walked(folder: Path, into: Taps) -> None:
    from tests.mobile.screens.scenes import stop
    from tests.mobile.stage import Stage

    stage = Stage(folder).joined()
    with stage:
        stop(stage)
        for turn in range(WARM + TAPS):
            _stop(stage, 30 + turn, into if turn >= WARM else Taps())
    stage.phone.book.close()


def _stop(stage: Any, height: int, into: Taps) -> None:
    from tests.mobile.screens.scenes import choose

    stage.hand.key_in(str(height))
    choose(stage, "round.heads.none")
    painted()
    into.frames.append(seconds(painted))
    _, box = stage.hand.find("round.save")
    before = _texts(stage)
    began = time.thread_time()
    into.taps.append(seconds(lambda: _tap((box[0] + box[2]) / 2, (box[1] + box[3]) / 2)))
    into.worked.append(time.thread_time() - began)
    assert stage.says(f"{height} in.")
    into.worded.append(_set_anew(stage, before))
    stage.hand.settle()
    stage.clock.pass_ms(30_000)


def _texts(stage: Any) -> dict[Any, str]:
    from kivy.uix.label import Label

    return {one: one.text for one in stage.app.manager.current_screen.walk() if isinstance(one, Label)}


def _set_anew(stage: Any, before: dict[Any, str]) -> float:
    """A frame in which each text that the tap changed is changed again, and nothing else."""
    changed = [one for one, text in _texts(stage).items() if text and before.get(one) != text]

    def act() -> None:
        for one in changed:
            one.text = f"{one.text} "
        painted()

    return seconds(act)


def _tap(x: float, y: float) -> None:
    from kivy.tests.common import UnitTestTouch

    touch = UnitTestTouch(x, y)
    touch.touch_down()
    touch.touch_up()
    painted()


# a large book


@dataclass
class Measured:
    started: list[float] = field(default_factory=list)
    here: list[float] = field(default_factory=list)
    opened: list[float] = field(default_factory=list)
    turned: list[float] = field(default_factory=list)
    halfway: list[float] = field(default_factory=list)
    entry: list[float] = field(default_factory=list)
    scrolled: list[float] = field(default_factory=list)
    grown: list[float] = field(default_factory=list)


TOLD = {
    "started": "starting the app",
    "here": "opening Here",
    "opened": "opening What I wrote",
    "turned": "a page further down",
    "halfway": "a page half-way down",
    "entry": "an entry half-way down",
    "scrolled": "a frame while it is scrolled",
}


def book() -> None:
    from tests.mobile.stage import Stage

    of = {count: Measured() for count in (SMALL, LARGE)}
    with tempfile.TemporaryDirectory(prefix="goodground-bench-") as folder:
        stages = {}
        for count in of:
            (Path(folder) / str(count)).mkdir()
            stages[count] = Stage(Path(folder) / str(count)).joined()
            _filled(stages[count].phone, stages[count].enrolment, count)
        for turn in range(TURNS):
            for count in (SMALL, LARGE) if turn % 2 else (LARGE, SMALL):
                _turn(stages[count], of[count])
        for stage in stages.values():
            stage.phone.book.close()
    for name, what in TOLD.items():
        large, small = (statistics.median(getattr(of[count], name)) for count in (LARGE, SMALL))
        tell(f"{what}, {LARGE:,} entries", large, f"of {SMALL}", small, "1.2 times or less")
    grown = {count: statistics.median(one.grown) / 2**20 for count, one in of.items()}
    print(
        f"  memory grown over {PAGES} pages: {grown[LARGE]:.1f} MiB of {LARGE:,} entries, "
        f"{grown[SMALL]:.1f} MiB of {SMALL}; aim: flat",
        flush=True,
    )


def _turn(stage: Any, into: Measured) -> None:
    into.started.append(seconds(lambda: (stage.open(), painted())))
    stage.stand(80, 60)
    _times(into.here, 5, lambda: _shown(stage, "more", "here"))
    _times(into.opened, 5, lambda: _shown(stage, "here", "wrote"))
    screen = stage.app.manager.current_screen
    for at in range(10):
        into.scrolled.append(seconds(lambda at=at: _scrolled(screen, at)))
    presenter = stage.app.presenters["wrote"]
    before = _resident()
    for at in range(PAGES):
        if at % 10 == 0:
            _shown(stage, "here", "wrote")
        into.turned.append(seconds(lambda: (presenter.tap("older"), painted())))
    into.grown.append(_resident() - before)
    last = stage.phone.book.enrolments()[0].line
    middle = stage.phone.book.since(stage.enrolment, last - 60)[0].place - (last - 60) // 2
    presenter.befores = [None, middle]
    _times(into.halfway, 5, lambda: (presenter.changed(), painted()))
    old = stage.phone.book.written(stage.enrolment, middle, 1)[0].id
    _times(into.entry, 5, lambda: _entry(stage, old))
    stage.close()


def _times(into: list[float], count: int, act: Callable[[], object]) -> None:
    into += [seconds(act) for _ in range(count)]


def _shown(stage: Any, from_: str, name: str) -> None:
    stage.app.go(from_)
    stage.app.go(name)
    painted()


def _entry(stage: Any, id: UUID) -> None:
    stage.app.session.facts["entry"] = id
    _shown(stage, "wrote", "entry")


def _scrolled(screen: Any, at: int) -> None:
    screen.ids.list.view.scroll_y = 1 - at / 30
    painted()


def _resident() -> int:
    gc.collect()
    return int(Path("/proc/self/statm").read_text().split()[1]) * PAGE_BYTES


def _filled(phone: Any, enrolment: int, count: int) -> None:
    """The same entry over and over under ids of its own, sixty a day, as it would be stored."""
    from mobile.ports import NewLine
    from shared.wire import lines
    from shared.wire.scalars import written_moment
    from tests.mobile.kit import cover

    first = cover(phone, enrolment).entry
    assert first.made_at.utc is not None
    raw, id_was, made_was = lines.encode(first), str(first.id).encode(), first.made_at.text.encode()
    new = []
    for at in range(count):
        id = UUID(int=(7 << 76) + (2 << 62) + at)
        made = written_moment(first.made_at.utc - timedelta(days=(count - at) // A_DAY + 1)).encode()
        told = raw.replace(id_was, str(id).encode()).replace(made_was, made)
        new.append(NewLine(id, first.kind, None, None, 0, told))
    phone.book.save(enrolment, new)
    # All of it handed in and pulled since, as the entries of a season are.
    phone.book.disk.write(
        lambda one: one.execute("UPDATE enrolments SET handed = ?, pulled_line = ?", (count + 1, count + 1))
    )
