"""A key: one word, full size, in its cell."""

from __future__ import annotations

from typing import Any

from kivy.metrics import dp
from kivy.properties import BooleanProperty, NumericProperty, StringProperty

from mobile.theme import TEXT_SP
from mobile.widgets.look import look
from mobile.widgets.measure import fitting
from mobile.widgets.tap import Cell
from mobile.widgets.words import Words


class Key(Cell):
    """Its word stands in the middle and wraps; a word too wide for its cell is set smaller, never under 18 sp."""

    text = StringProperty("")
    bold = BooleanProperty(False)
    size_sp = NumericProperty(0)

    def __init__(self, **more: Any) -> None:
        self.word = Words(halign="center", size_hint_y=1)
        super().__init__(**{"padding": (look.margin * 0.4, 0), **more})
        if self.size_hint_y is None and "height" not in more:
            self.height = look.target
        self.add_widget(self.word)
        self.bind(text=self._write, ink=self._write, size=self._write, bold=self._write)
        self._write()

    def _write(self, *_: object) -> None:
        word = self.word
        word.font_name = look.bold if self.bold or self.heavy else look.sans
        full = self.size_sp or look.text
        word.font_size = fitting(
            self.text, word.font_name, full, self.width - 2 * self.padding[0], dp(TEXT_SP)
        )
        word.color = self.ink
        word.text = self.text
