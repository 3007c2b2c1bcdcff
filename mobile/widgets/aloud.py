"""A long press reads a sentence aloud, where the phone has a voice; then it is no tap."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from kivy.clock import Clock
from kivy.metrics import dp
from kivy.uix.label import Label
from kivy.uix.textinput import TextInput
from kivy.uix.widget import Widget

from mobile.widgets.tap import SPOKEN, Tap

LONG_S = 0.8
STILL_DP = 20


class Aloud:
    """``root`` gives the screen that stands; ``speak`` says a text and answers whether there is a voice."""

    def __init__(self, root: Callable[[], Widget | None], speak: Callable[[str], bool]) -> None:
        self._root = root
        self._speak = speak
        self._waits: Any = None
        self._from = (0.0, 0.0)

    @property
    def waits(self) -> bool:
        """A thumb lies still and has not lain long enough."""
        return self._waits is not None

    def down(self, touch: Any) -> None:
        self.let_go()
        self._from = touch.pos
        self._waits = Clock.schedule_once(lambda _: self._held(touch), LONG_S)

    def moved(self, touch: Any) -> None:
        if max(abs(a - b) for a, b in zip(touch.pos, self._from, strict=True)) > dp(STILL_DP):
            self.let_go()

    def let_go(self) -> None:
        if self._waits is not None:
            self._waits.cancel()
            self._waits = None

    def _held(self, touch: Any) -> None:
        self._waits = None
        root = self._root()
        text = "" if root is None else said_at(root, *touch.pos)
        if text and self._speak(text):
            touch.ud[SPOKEN] = True


def said_at(root: Widget, x: float, y: float) -> str:
    """The words of the piece of paper that lies at a place on the glass; empty where a finger writes or none stand."""
    for one in root.walk(restrict=True):
        if isinstance(one, TextInput) and _holds(one, x, y):
            return ""
    found = [
        one
        for one in root.walk(restrict=True)
        if isinstance(one, Label) and one.text.strip() and _holds(_paper(one), x, y)
    ]
    if not found:
        return ""
    paper = _paper(min(found, key=lambda one: _paper(one).width * _paper(one).height))
    told = [one.text for one in paper.walk(restrict=True) if isinstance(one, Label) and one.text.strip()]
    return " ".join(_ended(text.strip()) for text in told)


def _ended(text: str) -> str:
    """A voice pauses where a sentence ends."""
    return text if text[-1] in ".?!…" else f"{text}."


def _paper(label: Label) -> Widget:
    """The tappable piece that a text is of, or the text alone."""
    one: Any = label
    while one is not None and one.parent is not one:
        if isinstance(one, Tap):
            return one
        one = one.parent
    return label


def _holds(widget: Widget, x: float, y: float) -> bool:
    if widget.get_parent_window() is None:
        return False
    left, foot = widget.to_window(widget.x, widget.y)
    return bool(left <= x <= left + widget.width and foot <= y <= foot + widget.height)
