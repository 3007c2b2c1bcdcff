"""Lines that all stand on the page at once."""

from __future__ import annotations

from typing import Any

from kivy.uix.widget import Widget

from mobile.widgets.ruled import Ledger


class Stack(Ledger):
    """As a scroll is filled, but nothing in it is ever out of sight."""

    def __init__(self, **more: Any) -> None:
        self.rows: list[Widget] = []
        self.line_keys: list[object] | None = None
        super().__init__(**more)

    def fill(self, widgets: list[Widget]) -> None:
        self.clear_widgets()
        self.rows = widgets
        for widget in widgets:
            self.add_widget(widget)

    def to_top(self) -> None:
        """It is always whole."""
