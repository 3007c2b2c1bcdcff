"""Choices as full keys: one row of cells, or one under the other where the text is large."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from kivy.properties import BooleanProperty, NumericProperty, StringProperty

from mobile.widgets.key import Key
from mobile.widgets.look import look
from mobile.widgets.measure import widest_word
from mobile.widgets.ruled import Blank, RuledGrid


class Choices(RuledGrid):
    """``offer`` the words by name; ``on_pick`` tells the name that was tapped. ``most`` is the most in a row;
    fewer stand in a row where a word would be broken."""

    prefix = StringProperty("")
    most = NumericProperty(3)
    dead = BooleanProperty(False)
    __events__ = ("on_pick",)

    def __init__(self, **more: Any) -> None:
        self.keys: dict[str, Key] = {}
        super().__init__(**{"cols": 1, "row_default_height": look.target, **more})
        self.bind(width=self._lay)

    def offer(self, words: Sequence[tuple[str, str]], chosen: str | Sequence[str] = ()) -> None:
        picked = (chosen,) if isinstance(chosen, str) else tuple(chosen)
        if [name for name, _ in words] != list(self.keys):
            self.keys = {name: self._key(name) for name, _ in words}
        for name, text in words:
            key = self.keys[name]
            key.text, key.chosen, key.bold, key.dead = text, name in picked, name in picked, self.dead
        self._lay()

    def _key(self, name: str) -> Key:
        key = Key(name=f"{self.prefix}.{name}" if self.prefix else name, size_hint_y=None, height=look.target)
        key.bind(on_release=lambda _: self.dispatch("on_pick", name))
        return key

    def _lay(self, *_: object) -> None:
        across = self._across()
        self.clear_widgets()
        self.cols = max(1, across)
        for key in self.keys.values():
            self.add_widget(key)
        for _ in range(-len(self.keys) % max(1, across)):
            self.add_widget(Blank())
        self.bind_heights()

    def bind_heights(self) -> None:
        for key in self.keys.values():
            key.word.bind(texture_size=self._row_heights)
        self._row_heights()

    def _row_heights(self, *_: object) -> None:
        """A row is as high as its highest word needs, never under a target."""
        keys = list(self.keys.values())
        for at in range(0, len(keys), self.cols):
            row = keys[at : at + self.cols]
            high = max([look.target, *(key.word.texture_size[1] + look.margin for key in row)])
            for key in row:
                key.height = high
        self.rows_minimum = {at // self.cols: keys[at].height for at in range(0, len(keys), self.cols)}

    def _across(self) -> int:
        count = min(len(self.keys), int(self.most))
        longest = max((widest_word(key.text, look.bold, look.text) for key in self.keys.values()), default=0)
        while count > 1 and longest + look.margin > (self.width - look.rule * (count - 1)) / count:
            count -= 1
        if count > 1 and len(self.keys) <= int(self.most) and count < len(self.keys):
            count = 1 if len(self.keys) == 3 else count
        return count

    def on_pick(self, name: str) -> None: ...
