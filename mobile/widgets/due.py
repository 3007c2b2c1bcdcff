"""The heaviest block of a page: what is next in this field, and beside it *can't today*."""

from __future__ import annotations

from typing import Any

from kivy.properties import StringProperty
from kivy.uix.widget import Widget

from mobile.widgets.key import Key
from mobile.widgets.look import look
from mobile.widgets.measure import widest_word
from mobile.widgets.ruled import Ledger
from mobile.widgets.tap import Cell
from mobile.widgets.words import Words


class Due(Ledger):
    """``job`` in large, ``why`` below it; ``cant`` the word of the key that puts it off."""

    job = StringProperty("")
    why = StringProperty("")
    cant = StringProperty("")
    __events__ = ("on_open", "on_put_off")

    def __init__(self, **more: Any) -> None:
        self.what = Words(font_name=look.bold, font_size=look.title)
        self.below = Words()
        self.block = Cell(
            heavy=True,
            orientation="vertical",
            padding=(look.margin, look.margin * 0.6),
            name="due",
            size_hint_y=None,
        )
        self.key = Key(heavy=True, name="cant", size_hint_x=None, size_hint_y=None)
        self.block.bind(on_release=lambda _: self.dispatch("on_open"), ink=self._ink)
        self.key.bind(on_release=lambda _: self.dispatch("on_put_off"))
        super().__init__(
            **{
                "orientation": "vertical" if look.large else "horizontal",
                "rules": look.paper,
                "spacing": look.rule,
                **more,
            }
        )
        self.bind(job=self._write, why=self._write, cant=self._write)
        self.what.bind(height=self._grow)
        self.below.bind(height=self._grow)
        self._write()

    def _ink(self, *_: object) -> None:
        self.what.color = self.below.color = self.block.ink

    def _write(self, *_: object) -> None:
        self.clear_widgets()
        self.block.clear_widgets()
        self.what.text, self.below.text, self.key.text = self.job, self.why, self.cant
        parts = [Widget(), self.what, self.below, Widget()] if self.why else [Widget(), self.what, Widget()]
        for part in parts:
            self.block.add_widget(part)
        self.add_widget(self.block)
        if self.cant:
            self.key.size_hint_x = 1 if look.large else None
            self.key.width = max(
                look.target, widest_word(self.cant, look.bold, look.text) + look.margin * 1.2
            )
            self.add_widget(self.key)
        self._ink()
        self._grow()

    def _grow(self, *_: object) -> None:
        words = self.what.height + (self.below.height if self.why else 0)
        high = max(look.target, words + look.margin * 1.2)
        self.block.height = high
        self.key.height = look.target if look.large else high

    def on_open(self) -> None: ...
    def on_put_off(self) -> None: ...
