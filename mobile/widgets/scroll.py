"""A stretch that may be longer than the screen, read on by a tap: nobody has to drag with a wet glove."""

from __future__ import annotations

from typing import Any

from kivy.metrics import dp
from kivy.properties import BooleanProperty, ColorProperty, StringProperty
from kivy.uix.scrollview import ScrollView
from kivy.uix.widget import Widget

from mobile.widgets.key import Key
from mobile.widgets.look import look
from mobile.widgets.pairs import Pairs
from mobile.widgets.row import Row
from mobile.widgets.ruled import Ledger, Ruled, ground


class Window(ScrollView):
    """What is seen of it."""

    paper = ColorProperty()

    def __init__(self, **more: Any) -> None:
        super().__init__(**{"paper": look.paper, "do_scroll_x": False, "bar_width": dp(6), **more})
        self.bar_color = self.bar_inactive_color = look.ink
        ground(self, "paper")


class Scroll(Ruled):
    """``lines`` holds what is read. Where it is longer than its room a key below turns to the next stretch and,
    at the end, back to the top. ``further`` and ``back_up`` are the key's words. ``folds``: on a short screen
    the lines stand in two columns before anything has to be turned. ``before`` and ``after`` are parts of the
    page that go along with the lines where the text is large."""

    further = StringProperty("")
    back_up = StringProperty("")
    folds = BooleanProperty(False)

    def __init__(self, **more: Any) -> None:
        self.rows: list[Widget] = []
        self.line_keys: list[object] | None = None
        self.before: list[Widget] = []
        self.after: list[Widget] = []
        super().__init__(**more)
        self.view = Window()
        self.lines = Ledger(padding=(0, 0, 0, look.rule))
        self.view.add_widget(self.lines)
        self.turn = Key(name="further", size_hint_y=None, height=look.target, bold=True)
        self.turn.bind(on_release=self._turn)
        super().add_widget(self.view)
        self.lines.bind(height=self._fit)
        self.view.bind(height=self._fit, scroll_y=self._word)
        self.bind(height=self._arrange, further=self._word, back_up=self._word)

    def fill(self, widgets: list[Widget]) -> None:
        self.rows = widgets
        self._arrange()

    def flow(self, before: list[Widget], after: list[Widget]) -> None:
        if (before, after) != (self.before, self.after):
            self.before, self.after = before, after
            self._arrange()

    def _arrange(self, *_: object) -> None:
        for row in self.rows:
            if row.parent is not None:
                row.parent.remove_widget(row)
            row.size_hint_y = None
            if isinstance(row, Row):
                row.paired = False
        self.lines.clear_widgets()
        rows: list[Widget] = self.rows
        if self._must_fold():
            rows = [self._folded(self.rows)]
        for widget in [*self.before, *rows, *self.after]:
            if widget.parent is not None:
                widget.parent.remove_widget(widget)
            self.lines.add_widget(widget)
        self._fit()

    def _must_fold(self) -> bool:
        if not self.folds or look.large or not all(isinstance(row, Row) for row in self.rows):
            return False
        return len(self.rows) * (look.target + look.rule) > self.height

    def _folded(self, rows: list[Widget]) -> Pairs:
        return Pairs(rows, self.height)

    def _fit(self, *_: object) -> None:
        over = self.lines.height > self.height + look.rule + 1
        if over and self.turn.parent is None:
            super().add_widget(self.turn)
        elif not over and self.turn.parent is not None:
            super().remove_widget(self.turn)
            self.view.scroll_y = 1
        self._word()

    def _word(self, *_: object) -> None:
        self.turn.text = self.back_up if self._at_end() else self.further

    def _hidden(self) -> float:
        return max(0.0, self.lines.height - self.view.height)

    def _at_end(self) -> bool:
        return self.view.scroll_y * self._hidden() <= dp(2)

    def _turn(self, *_: object) -> None:
        """The first line that is not wholly seen comes to the top; from the end it goes back to the top."""
        hidden = self._hidden()
        if self._at_end() or hidden <= 0:
            self.view.scroll_y = 1
            return
        seen_from = self.view.scroll_y * hidden
        cut = max((row.top for row in self._leaves() if row.y < seen_from - 1), default=seen_from)
        step = self.view.height - (cut - seen_from)
        if step < self.view.height * 0.3:
            step = self.view.height * 0.8
        self.view.scroll_y = max(0.0, (seen_from - step) / hidden)

    def _leaves(self) -> list[Widget]:
        return list(self.lines.children)

    def to_top(self) -> None:
        self.view.scroll_y = 1
