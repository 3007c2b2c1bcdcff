"""What can be tapped, for tests that drive the real window from outside.

With ``--report FILE`` a JSON line is appended whenever the screen has settled into something new:
``{"screen": name, "things": [{"id", "label", "x", "y", "w", "h", "dead"}], "words": [text]}``. ``x`` and ``y`` are a
thing's centre in window pixels from the top left, as a pointer has them; things that are scrolled out of sight are left
out. ``words`` are all that stands on the glass to be read.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from kivy.core.window import Window
from kivy.uix.label import Label
from kivy.uix.scrollview import ScrollView
from kivy.uix.widget import Widget

from mobile.widgets.tap import Tap
from mobile.widgets.typed import Typed

Box = tuple[float, float, float, float]


class Report:
    """``look`` once a frame: a screen that was the same for three frames is settled."""

    def __init__(self, file: Path) -> None:
        self.file = file
        self.seen: dict[str, Any] = {}
        self.told: dict[str, Any] = {}
        self.frames = 0

    def look(self, screen: str) -> None:
        things = [_told(widget, box) for widget, box in tappable()]
        now = {"screen": screen, "things": things, "words": list(words())}
        self.frames = self.frames + 1 if now == self.seen else 0
        self.seen = now
        if self.frames == 3 and now != self.told:
            self.told = now
            with self.file.open("a", encoding="utf-8") as lines:
                lines.write(json.dumps(now, ensure_ascii=False) + "\n")


def tappable() -> Iterator[tuple[Any, Box]]:
    """Everything on the glass that has a name and can be seen, with its box in window pixels."""
    for child in Window.children:
        yield from _within(child, (0.0, 0.0, float(Window.width), float(Window.height)))


def words() -> Iterator[str]:
    """All texts on the glass, from the last drawn to the first."""
    for child in Window.children:
        yield from (one.text for one in child.walk(restrict=True) if isinstance(one, Label) and one.text)


def _within(widget: Widget, clip: Box) -> Iterator[tuple[Any, Box]]:
    x, y = widget.to_window(*widget.pos)
    seen = _cut((x, y, x + widget.width, y + widget.height), clip)
    named = isinstance(widget, (Tap, Typed)) and widget.name and not getattr(widget, "inert", False)
    if named and seen[3] - seen[1] > 1 and seen[2] - seen[0] > 1:
        yield widget, seen
    for child in widget.children:
        yield from _within(child, seen if isinstance(widget, ScrollView) else clip)


def _cut(box: Box, clip: Box) -> Box:
    return max(box[0], clip[0]), max(box[1], clip[1]), min(box[2], clip[2]), min(box[3], clip[3])


def _told(widget: Any, box: Box) -> dict[str, Any]:
    inside = [one.text for one in widget.walk(restrict=True) if isinstance(one, Label) and one.text]
    return {
        "id": widget.name,
        "label": " / ".join(inside) if isinstance(widget, Tap) else widget.text,
        "x": round((box[0] + box[2]) / 2),
        "y": round(Window.height - (box[1] + box[3]) / 2),
        "w": round(box[2] - box[0]),
        "h": round(box[3] - box[1]),
        "dead": bool(getattr(widget, "dead", False)),
    }
