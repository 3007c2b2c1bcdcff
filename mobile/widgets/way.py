"""The way to the next stop, folded to one line: an arrow that turns, and steps."""

from __future__ import annotations

from typing import Any

from kivy.properties import BooleanProperty, NumericProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from mobile.widgets.look import look
from mobile.widgets.marks import Arrow
from mobile.widgets.tap import Cell
from mobile.widgets.words import Words


class Way(Cell):
    """``steps`` in large, ``to`` below it; ``pointing`` is False where nobody knows the way."""

    steps = StringProperty("")
    to = StringProperty("")
    turn_deg = NumericProperty(0)
    pointing = BooleanProperty(True)

    def __init__(self, **more: Any) -> None:
        self.arrow = Arrow(
            size_hint=(None, None), size=(look.target * 0.62, look.target * 0.62), pos_hint={"center_y": 0.5}
        )
        self.counted = Words(font_name=look.bold, font_size=look.label)
        self.named = Words()
        self.column = BoxLayout(orientation="vertical")
        super().__init__(
            **{
                "size_hint_y": None,
                "height": look.target,
                "padding": (look.margin, 0),
                "spacing": look.margin,
                **more,
            }
        )
        self.bind(
            steps=self._write, to=self._write, turn_deg=self._write, pointing=self._write, ink=self._write
        )
        for words in (self.counted, self.named):
            words.bind(height=self._grow)
        self._write()

    def _write(self, *_: object) -> None:
        self.clear_widgets()
        self.column.clear_widgets()
        self.arrow.turn_deg, self.arrow.ink = self.turn_deg, self.ink
        self.counted.text, self.named.text = self.steps, self.to
        self.counted.color = self.named.color = self.ink
        if self.pointing:
            self.add_widget(self.arrow)
        for part in (Widget(), self.counted, self.named, Widget()):
            self.column.add_widget(part)
        self.add_widget(self.column)
        self._grow()

    def _grow(self, *_: object) -> None:
        self.height = max(look.target, self.counted.height + self.named.height + look.margin * 0.5)
