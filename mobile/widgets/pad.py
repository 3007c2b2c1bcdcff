"""The pad: 1 2 3 on top, keys as large as a glove needs."""

from __future__ import annotations

from typing import Any

from kivy.properties import StringProperty

from mobile.widgets.key import Key
from mobile.widgets.look import look
from mobile.widgets.ruled import Blank, RuledGrid


class Pad(RuledGrid):
    """Tells each key by ``on_key``: a digit, ``mark`` for the decimal mark, ``rub``. ``mark`` is the language's
    decimal mark, empty where the figure has none."""

    mark = StringProperty("")
    rub_out = StringProperty("")
    __events__ = ("on_key",)

    def __init__(self, **more: Any) -> None:
        super().__init__(**{"cols": 4, **more})
        self.rub = Key(name="pad.rub", bold=True, size_hint_y=None)
        self.point = Key(name="pad.mark", bold=True, size_hint_y=None, size_sp=look.figure * 1.1)
        self.hole = Blank(size_hint_y=None, height=look.target)
        self.rub.bind(on_release=lambda _: self.dispatch("on_key", "rub"))
        self.point.bind(on_release=lambda _: self.dispatch("on_key", "mark"))
        self.bind(mark=self._lay, rub_out=self._lay)
        self._lay()

    def _lay(self, *_: object) -> None:
        self.clear_widgets()
        self.rub.text, self.point.text = self.rub_out, self.mark
        last = self.point if self.mark else self.hole
        for row in (("1", "2", "3", self.rub), ("4", "5", "6", "0"), ("7", "8", "9", last)):
            for one in row:
                self.add_widget(self._digit(one) if isinstance(one, str) else one)

    def _digit(self, digit: str) -> Key:
        key = Key(name=f"pad.{digit}", text=digit, bold=True, size_sp=look.figure * 1.1, size_hint_y=None)
        key.bind(on_release=lambda _: self.dispatch("on_key", digit))
        return key

    def on_key(self, key: str) -> None: ...
