"""A line of the ledger: what it is on the left, what it last was on the right; below it where both don't fit."""

from __future__ import annotations

from typing import Any

from kivy.metrics import dp
from kivy.properties import BooleanProperty, NumericProperty, StringProperty
from kivy.uix.widget import Widget

from mobile.theme import TEXT_SP
from mobile.widgets.look import look
from mobile.widgets.marks import Marked
from mobile.widgets.measure import fitting, width
from mobile.widgets.tap import Cell
from mobile.widgets.words import Words


class Row(Cell):
    """A tap anywhere on it. ``wrong`` sets the value in red with the drawn mark; ``struck`` rules the label through,
    ``value_struck`` the value;
    ``stacked`` keeps the value under the label even where both would fit. ``need`` is the least height it can have."""

    label = StringProperty("")
    value = StringProperty("")
    wrong = BooleanProperty(False)
    struck = BooleanProperty(False)
    value_struck = BooleanProperty(False)
    stacked = BooleanProperty(False)
    paired = BooleanProperty(False)
    need = NumericProperty(0)

    def __init__(self, **more: Any) -> None:
        self.named = Words(font_name=look.bold, font_size=look.label)
        self.last = Words()
        self.marked = Marked(self.last)
        super().__init__(
            **{"size_hint_y": None, "padding": (look.margin, look.margin * 0.5), "spacing": 0, **more}
        )
        self.bind(
            label=self._write,
            value=self._write,
            wrong=self._write,
            struck=self._write,
            value_struck=self._write,
            width=self._write,
            paired=self._lay,
            ink=self._ink,
        )
        self.named.bind(texture_size=self._grow)
        self.last.bind(texture_size=self._grow)
        self._write()

    def _write(self, *_: object) -> None:
        room = self.width - 2 * look.margin
        self.named.font_size = fitting(self.label, look.bold, look.label, room, dp(TEXT_SP))
        self.named.text, self.last.text = self.label, self.value
        self.named.struck, self.last.struck = self.struck, self.value_struck
        self._ink()
        self._lay()

    def _ink(self, *_: object) -> None:
        self.named.color = self.faint if self.struck else self.ink
        self.last.color = self.alarm if self.wrong else self.faint if self.value_struck else self.named.color
        self.marked.mark.ink = self.alarm

    def _lay(self, *_: object) -> None:
        """Side by side where both fit on a line, else one under the other."""
        self.clear_widgets()
        self.marked.clear_widgets()
        beside = self._fits_beside()
        self.orientation = "horizontal" if beside else "vertical"
        for words in (self.named, self.last):
            words.size_hint = (1, 1) if beside else (1, None)
        self.last.halign = "right" if beside else "left"
        if beside:
            self.named.size_hint_x = None
            self.named.width = width(self.label, self.named.font_name, self.named.font_size) + 1
        for piece in self._pieces(beside):
            self.add_widget(piece)
        self.named._grow()
        self.last._grow()
        self._grow()

    def _fits_beside(self) -> bool:
        if self.stacked or self.paired or self.wrong or look.large:
            return False
        label = width(self.label, self.named.font_name, self.named.font_size)
        value = width(self.value, self.last.font_name, self.last.font_size)
        return bool(label + look.margin + value <= self.width - 2 * look.margin)

    def _pieces(self, beside: bool) -> list[Widget]:
        pieces: list[Widget] = [self.named]
        if self.value:
            pieces.append(self.last)
            if self.wrong:
                self.marked.add_widget(self.marked.mark)
                self.marked.add_widget(self.last)
                pieces[1] = self.marked
        return pieces if beside else [Widget(), *pieces, Widget()]

    def _grow(self, *_: object) -> None:
        stack = self.orientation == "vertical"
        words = self.named.texture_size[1] + (self.last.texture_size[1] if stack and self.value else 0)
        self.need = max(look.target, words + look.margin)
        if self.size_hint_y is None:
            self.height = self.need
