"""A truck's line at the gate: the truck itself, and a key of its own that sends it back."""

from __future__ import annotations

from typing import Any

from kivy.metrics import dp
from kivy.properties import BooleanProperty, StringProperty
from kivy.uix.widget import Widget

from mobile.theme import TEXT_SP
from mobile.widgets.key import Key
from mobile.widgets.look import look
from mobile.widgets.marks import Marked
from mobile.widgets.measure import fitting, widest_word
from mobile.widgets.ruled import Ledger
from mobile.widgets.tap import Cell
from mobile.widgets.words import Words


class Truck(Ledger):
    """``wrong`` sets its line in red with the drawn mark: it was turned back."""

    label = StringProperty("")
    under = StringProperty("")
    back = StringProperty("")
    opened = BooleanProperty(False)
    wrong = BooleanProperty(False)
    name = StringProperty("")
    __events__ = ("on_open", "on_send_back")

    def __init__(self, **more: Any) -> None:
        self.named = Words(font_name=look.bold, font_size=look.label)
        self.told = Words()
        self.marked = Marked(self.told)
        self.cell = Cell(orientation="vertical", size_hint_y=None, padding=(look.margin, look.margin * 0.3))
        self.key = Key(size_hint_x=None, size_hint_y=None)
        self.cell.bind(on_release=lambda _: self.dispatch("on_open"), ink=self._ink, width=self._fit)
        self.key.bind(on_release=lambda _: self.dispatch("on_send_back"))
        super().__init__(**{"orientation": "horizontal", **more})
        self.bind(
            label=self._write, under=self._write, back=self._write, opened=self._write, wrong=self._write
        )
        self.bind(name=self._name)
        for words in (self.named, self.told):
            words.bind(height=self._grow)
        self._name()
        self._write()

    def _name(self, *_: object) -> None:
        self.cell.name, self.key.name = self.name, f"{self.name}.back"

    def _fit(self, *_: object) -> None:
        room = self.cell.width - 2 * look.margin
        self.named.font_size = fitting(self.label, look.bold, look.label, room, dp(TEXT_SP))

    def _ink(self, *_: object) -> None:
        self.named.color = self.cell.ink
        self.told.color = self.cell.alarm if self.wrong else self.cell.ink
        self.marked.mark.ink = self.cell.alarm

    def _write(self, *_: object) -> None:
        self.clear_widgets()
        self.cell.clear_widgets()
        self.marked.clear_widgets()
        self.named.text, self.told.text, self.key.text = self.label, self.under, self.back
        self.cell.chosen = self.opened
        parts: list[Widget] = [self.named]
        if self.under and self.wrong:
            self.marked.add_widget(self.marked.mark)
            self.marked.add_widget(self.told)
            parts.append(self.marked)
        elif self.under:
            parts.append(self.told)
        for part in (Widget(), *parts, Widget()):
            self.cell.add_widget(part)
        self.add_widget(self.cell)
        if self.back:
            self.key.width = max(look.target, widest_word(self.back, look.sans, look.text) + look.margin)
            self.add_widget(self.key)
        self._ink()
        self._fit()
        self._grow()

    def _grow(self, *_: object) -> None:
        told = self.told.height if self.under else 0
        high = max(
            look.target,
            self.named.height + told + look.margin * 0.6,
            self.key.word.texture_size[1] + look.margin,
        )
        self.cell.height = self.key.height = high

    def on_open(self) -> None: ...
    def on_send_back(self) -> None: ...
