"""A hand on the glass, in the test's own process: real hit-testing through the window, stepping the real loop."""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import Any

from kivy.base import EventLoop
from kivy.clock import Clock
from kivy.core.window import Window
from kivy.lang import Builder
from kivy.tests.common import UnitTestTouch

from mobile.widgets.report import tappable


def wake() -> None:
    """The window and the loop, once."""
    EventLoop.ensure_window()
    if EventLoop.status != "started":
        EventLoop.start()
    Clock._max_fps = 0


class Hand:
    def frames(self, count: int = 3) -> None:
        """One turn of the loop each: clock, input, layout. Nothing is painted: a shot paints for itself."""
        for _ in range(count):
            Clock.tick()
            EventLoop.dispatch_input()
            Builder.sync()
            Clock.tick_draw()
            Builder.sync()

    def until(self, happened: Callable[[], bool], seconds: float = 10.0) -> None:
        end = time.monotonic() + seconds
        while not happened():
            assert time.monotonic() < end, "it never happened"
            self.frames(1)

    def settle(self) -> None:
        """Until layout and texture have come to rest."""
        before: Any = None
        for _ in range(60):
            self.frames(1)
            now = [(widget.name, box) for widget, box in tappable()]
            if now == before:
                return
            before = now

    def find(self, name: str) -> tuple[Any, tuple[float, float, float, float]]:
        found = [(widget, box) for widget, box in tappable() if widget.name == name]
        assert found, f"{name} is not on the glass, which has {sorted(self.names())}"
        return found[0]

    def names(self) -> set[str]:
        return {widget.name for widget, _ in tappable()}

    def tap(self, name: str) -> None:
        """A tap on the middle of what is seen of it."""
        _, box = self.find(name)
        self.tap_at((box[0] + box[2]) / 2, (box[1] + box[3]) / 2)

    def tap_at(self, x: float, y: float) -> None:
        touch = UnitTestTouch(x, y)
        touch.touch_down()
        self.frames(1)
        touch.touch_up()
        self.settle()

    def reach(self, name: str) -> None:
        """A tap on something that may be further down: read on until it is wholly there."""
        for _ in range(12):
            seen = [(widget, box) for widget, box in tappable() if widget.name == name]
            if seen and seen[0][1][3] - seen[0][1][1] >= seen[0][0].height - 2:
                break
            self.tap("further")
        self.tap(name)

    def key_in(self, figure: str) -> None:
        for digit in figure:
            self.tap("pad.mark" if digit in ".," else f"pad.{digit}")

    def type(self, name: str, text: str) -> None:
        """Typed on the phone's own keyboard, letter by letter."""
        self.reach(name)
        for letter in text:
            Window.dispatch("on_textinput", letter)
            self.frames(1)
        self.settle()
