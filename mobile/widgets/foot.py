"""The keys at the foot of a page, under the thumb, and the line below them."""

from __future__ import annotations

from typing import Any

from kivy.properties import StringProperty

from mobile.widgets.key import Key
from mobile.widgets.look import look
from mobile.widgets.measure import widest_word
from mobile.widgets.ruled import Ledger, Ruled, Sheet
from mobile.widgets.words import Words


class Foot(Ledger):
    """Keys side by side, as wide as their words ask; under each other where they would not fit."""

    def __init__(self, **more: Any) -> None:
        self.keys: list[Key] = []
        super().__init__(**more)
        self.bind(width=self._lay)

    def add_widget(self, widget: Any, *more: Any, **named: Any) -> None:
        if isinstance(widget, Key) and widget not in self.keys:
            self.keys.append(widget)
            widget.bind(text=self._lay, size_sp=self._lay)
            self._lay()
        elif not isinstance(widget, Key):
            super().add_widget(widget, *more, **named)

    def only(self, *keys: Key) -> None:
        """Show these keys."""
        if self.keys != list(keys):
            self.keys = list(keys)
            self._lay()

    def _lay(self, *_: object) -> None:
        for key in self.keys:
            if key.parent is not None:
                key.parent.remove_widget(key)
        self.clear_widgets()
        keys = [key for key in self.keys if key.text]
        for row in self._rows(keys):
            self._in_a_row(row, [self._wants(key) for key in row])

    def _rows(self, keys: list[Key]) -> list[list[Key]]:
        """As many beside each other as fit."""
        rows: list[list[Key]] = [[]]
        for key in keys:
            room = self.width - look.rule * len(rows[-1])
            if rows[-1] and sum(self._wants(one) for one in [*rows[-1], key]) > room:
                rows.append([])
            rows[-1].append(key)
        return [row for row in rows if row]

    def _in_a_row(self, keys: list[Key], wants: list[float]) -> None:
        line = Ruled(orientation="horizontal", size_hint_y=None, height=look.target)

        def high(*_: object) -> None:
            line.height = max([look.target, *(key.word.texture_size[1] + look.margin * 0.5 for key in keys)])

        spare = max(0.0, self.width - look.rule * (len(keys) - 1) - sum(wants))
        heavy = [key for key in keys if key.heavy] or keys
        for key, want in zip(keys, wants, strict=True):
            key.size_hint = (None, 1)
            key.width = want + (spare / len(heavy) if key in heavy else 0)
            key.word.bind(texture_size=high)
            line.add_widget(key)
        high()
        super().add_widget(line)

    @staticmethod
    def _wants(key: Key) -> float:
        font = look.bold if key.bold or key.heavy else look.sans
        return max(look.target, widest_word(key.text, font, key.size_sp or look.text) + look.margin)


class FootLine(Sheet):
    """One line at the very foot: what waits, who writes."""

    text = StringProperty("")

    def __init__(self, **more: Any) -> None:
        self.words = Words()
        super().__init__(**{"padding": (look.margin, look.margin * 0.4), **more})
        self.add_widget(self.words)
        self.bind(text=self.words.setter("text"))
