"""Figures to be keyed in, side by side as many as their names allow."""

from __future__ import annotations

from typing import Any

from kivy.properties import NumericProperty

from mobile.widgets.figure import Figure
from mobile.widgets.look import look
from mobile.widgets.measure import widest_word
from mobile.widgets.ruled import Blank, Ruled

MOST_ACROSS = 3


class Slots(Ruled):
    """``lay`` the figures; no name is broken within a word for want of room."""

    across = NumericProperty(0)

    def __init__(self, **more: Any) -> None:
        self.figures: list[Figure] = []
        super().__init__(**more)
        self.bind(width=self._lay)

    def put(self, figures: list[Figure]) -> None:
        self.figures = figures
        for figure in figures:
            figure.bind(last=self._lay)
        self._lay()

    def _fits(self, across: int) -> bool:
        room = (self.width - look.rule * (across - 1)) / across - 2 * look.margin
        words = max((widest_word(one.last, look.sans, look.text) for one in self.figures), default=0)
        digits = max(
            (widest_word(one.figure or "000", look.bold, look.figure) for one in self.figures), default=0
        )
        return across == 1 or max(words, digits) <= room

    def _lay(self, *_: object) -> None:
        count = len(self.figures)
        across = next((n for n in range(min(count, MOST_ACROSS), 0, -1) if self._fits(n)), 1)
        if count == 4 and across == MOST_ACROSS:
            across = 2
        for figure in self.figures:
            if figure.parent is not None:
                figure.parent.remove_widget(figure)
        self.clear_widgets()
        for at in range(0, count, across):
            line = Ruled(orientation="horizontal")
            for figure in self.figures[at : at + across]:
                line.add_widget(figure)
            for _ in range(across - len(self.figures[at : at + across])):
                line.add_widget(Blank())
            self.add_widget(line)
