"""The head of a page: its title, a line under it, a double rule."""

from __future__ import annotations

from typing import Any

from kivy.properties import StringProperty

from mobile.widgets.look import look
from mobile.widgets.ruled import Blank, Ledger, Sheet
from mobile.widgets.words import Title, Words


class Head(Ledger):
    """``title`` in the serif; ``under`` is left out where it is empty."""

    title = StringProperty("")
    under = StringProperty("")

    def __init__(self, **more: Any) -> None:
        self.heading = Title()
        self.below = Words()
        self.sheet = Sheet(padding=(look.margin, look.margin * 0.5), spacing=0)
        self.sheet.add_widget(self.heading)
        super().__init__(**more)
        self.add_widget(self.sheet)
        self.add_widget(Blank(size_hint_y=None, height=look.rule * 1.5))
        self.bind(title=self._write, under=self._write)
        self._write()

    def _write(self, *_: object) -> None:
        self.heading.text, self.below.text = self.title, self.under
        if self.under and self.below.parent is None:
            self.sheet.add_widget(self.below)
        elif not self.under and self.below.parent is not None:
            self.sheet.remove_widget(self.below)
