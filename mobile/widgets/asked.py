"""A question with its choices below it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from kivy.properties import NumericProperty, StringProperty

from mobile.widgets.choices import Choices
from mobile.widgets.look import look
from mobile.widgets.ruled import Ledger, Sheet
from mobile.widgets.words import Words


class Asked(Ledger):
    """``question`` is left out where the choices speak for themselves."""

    question = StringProperty("")
    prefix = StringProperty("")
    most = NumericProperty(3)
    __events__ = ("on_pick",)

    def __init__(self, **more: Any) -> None:
        self.words = Words(font_name=look.bold)
        self.sheet = Sheet(padding=(look.margin, look.margin * 0.5, look.margin, look.margin * 0.3))
        self.sheet.add_widget(self.words)
        self.choices = Choices()
        self.choices.bind(on_pick=lambda _, name: self.dispatch("on_pick", name))
        super().__init__(**more)
        self.add_widget(self.choices)
        self.bind(question=self._write, prefix=self._write, most=self._write)
        self._write()

    def _write(self, *_: object) -> None:
        self.words.text = self.question
        self.choices.prefix, self.choices.most = self.prefix, self.most
        if self.question and self.sheet.parent is None:
            self.add_widget(self.sheet, index=1)
        elif not self.question and self.sheet.parent is not None:
            self.remove_widget(self.sheet)

    def offer(self, words: Sequence[tuple[str, str]], chosen: str | Sequence[str] = ()) -> None:
        self.choices.offer(words, chosen)

    def on_pick(self, name: str) -> None: ...
