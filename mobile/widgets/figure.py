"""The figure being written, its unit beside it, the last one on its own line above."""

from __future__ import annotations

from typing import Any

from kivy.metrics import dp
from kivy.properties import BooleanProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from mobile.widgets.look import look
from mobile.widgets.marks import Marked
from mobile.widgets.measure import width
from mobile.widgets.tap import Cell
from mobile.widgets.words import Words

LINE_HIGH = 1.31
"""How high a line of the typeface is for its size."""


class Figure(Cell):
    """``last`` stands above; ``wrong`` takes its place in red where the figure can't be. ``small`` is for several
    figures side by side."""

    last = StringProperty("")
    wrong = StringProperty("")
    figure = StringProperty("")
    unit = StringProperty("")
    small = BooleanProperty(False)

    def __init__(self, **more: Any) -> None:
        self.above = Words()
        self.alarmed = Words()
        self.marked = Marked(self.alarmed)
        self.number = Words(font_name=look.bold, size_hint=(None, 1))
        self.units = Words(size_hint=(1, None))
        self.line = BoxLayout(spacing=look.text * 0.4, size_hint_y=1)
        super().__init__(**{"orientation": "vertical", "padding": (look.margin, dp(6)), "spacing": 0, **more})
        self.line.add_widget(self.number)
        self.line.add_widget(self.units)
        self.bind(
            last=self._write,
            wrong=self._write,
            figure=self._write,
            unit=self._write,
            ink=self._write,
            width=self._write,
            height=self._write,
        )
        self._write()

    def _write(self, *_: object) -> None:
        self.clear_widgets()
        self.above.text, self.above.color = self.last, self.ink
        self.alarmed.text, self.alarmed.color = self.wrong, self.alarm
        self.marked.mark.ink = self.alarm
        top: Widget = self.marked if self.wrong else self.above
        if self.wrong or self.last:
            self.add_widget(top)
        self.add_widget(self.line)
        self._set()

    def _fitting(self) -> float:
        """The large figure, or as large as the height left for it, never under 32 sp."""
        top = self.marked.height if self.wrong else self.above.height if self.last else 0
        room = (self.height - top - dp(14)) / LINE_HIGH
        return max(look.figure, min(look.big_figure, room))

    def _set(self) -> None:
        size = look.figure if self.small else self._fitting()
        self.number.font_size = size
        self.number.text = self.figure
        self.number.width = width(self.figure, look.bold, size) + 1 if self.figure else 0
        self.line.spacing = look.text * 0.4 if self.figure else 0
        self.units.font_size = look.text if self.small else look.figure * 0.85
        self.units.text = self.unit
        self.units.color = self.number.color = self.ink
        self.units.size_hint_y = 1
