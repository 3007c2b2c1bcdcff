"""What was just saved and what it means, on black, with undo while that can be had."""

from __future__ import annotations

from typing import Any

from kivy.properties import BooleanProperty, StringProperty

from mobile.widgets.key import Key
from mobile.widgets.look import look
from mobile.widgets.marks import Marked
from mobile.widgets.measure import widest_word
from mobile.widgets.ruled import Ledger
from mobile.widgets.tap import Cell
from mobile.widgets.words import Words


class Said(Ledger):
    """``text`` what it means; ``undo`` the key's word, empty once it is too late. ``wrong`` adds the drawn mark."""

    text = StringProperty("")
    undo = StringProperty("")
    wrong = BooleanProperty(False)
    __events__ = ("on_take_back",)

    def __init__(self, **more: Any) -> None:
        self.words = Words(font_name=look.bold)
        self.marked = Marked(self.words)
        self.telling = Cell(heavy=True, padding=(look.margin, look.margin * 0.4), name="said")
        self.key = Key(name="undo", heavy=True, size_hint_x=None)
        self.key.bind(on_release=lambda _: self.dispatch("on_take_back"))
        super().__init__(
            **{"orientation": "vertical" if look.large else "horizontal", "rules": look.paper, **more}
        )
        self.bind(text=self._write, undo=self._write, wrong=self._write)
        self.words.bind(height=self._grow)
        self._write()

    def _write(self, *_: object) -> None:
        self.clear_widgets()
        self.telling.clear_widgets()
        self.marked.clear_widgets()
        self.words.text = self.text
        self.words.color = self.telling.ink
        self.words.size_hint_y = None
        self.telling.add_widget(self._marked() if self.wrong else self.words)
        self.words.pos_hint = self.marked.pos_hint = {"center_y": 0.5}
        self.add_widget(self.telling)
        if self.undo:
            self.key.text = self.undo
            self.key.size_hint_x = 1 if look.large else None
            self.key.width = max(
                look.target, widest_word(self.undo, look.bold, look.text) + look.margin * 1.5
            )
            self.add_widget(self.key)
        self._grow()

    def _marked(self) -> Marked:
        self.marked.mark.ink = self.telling.alarm
        self.words.color = self.telling.alarm
        self.marked.add_widget(self.marked.mark)
        self.marked.add_widget(self.words)
        return self.marked

    def _grow(self, *_: object) -> None:
        high = max(look.target, self.words.texture_size[1] + look.margin)
        self.telling.size_hint_y = self.key.size_hint_y = None
        self.telling.height = high
        self.key.height = look.target if look.large else high

    def on_take_back(self) -> None: ...
