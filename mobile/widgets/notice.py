"""Something that is wrong, in red with the drawn mark, or something to know, in ink."""

from __future__ import annotations

from typing import Any

from kivy.properties import BooleanProperty, StringProperty

from mobile.widgets.look import look
from mobile.widgets.marks import Marked
from mobile.widgets.measure import fitting
from mobile.widgets.ruled import Sheet
from mobile.widgets.words import Words


class Notice(Sheet):
    """``text`` says what, where and what to do."""

    text = StringProperty("")
    wrong = BooleanProperty(True)
    bold = BooleanProperty(True)
    figure = BooleanProperty(False)

    def __init__(self, **more: Any) -> None:
        self.words = Words(font_name=look.bold)
        self.marked = Marked(self.words)
        super().__init__(**{"padding": (look.margin, look.margin * 0.6), **more})
        self.bind(text=self._write, wrong=self._write, bold=self._write, figure=self._write)
        self.bind(width=self._fit)
        self._write()

    def _write(self, *_: object) -> None:
        self.clear_widgets()
        self.marked.clear_widgets()
        self.words.text = self.text
        self.words.font_name = look.bold if self.bold or self.wrong else look.sans
        self.words.color = look.wrong if self.wrong else look.ink
        self._fit()
        if self.wrong:
            self.marked.add_widget(self.marked.mark)
            self.marked.add_widget(self.words)
            self.add_widget(self.marked)
        else:
            self.add_widget(self.words)

    def _fit(self, *_: object) -> None:
        """A figure is as large as its line is wide."""
        room = self.width - 2 * look.margin
        size = fitting(self.text, look.bold, look.big_figure, room, look.text) if self.figure else look.text
        self.words.font_size = size
