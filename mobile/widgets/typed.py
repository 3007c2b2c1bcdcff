"""A line that is typed on the phone's own keyboard."""

from __future__ import annotations

from typing import Any

from kivy.metrics import dp
from kivy.properties import StringProperty
from kivy.uix.textinput import TextInput

from mobile.widgets.look import look


class Typed(TextInput):
    """``name`` is what journeys and the report call it."""

    name = StringProperty("")

    def __init__(self, **more: Any) -> None:
        super().__init__(
            **{
                "multiline": False,
                "font_name": look.bold,
                "font_size": look.label,
                "foreground_color": look.ink,
                "background_color": look.paper,
                "background_normal": "",
                "background_active": "",
                "cursor_color": look.ink,
                "cursor_width": dp(3),
                "selection_color": (*look.ghost[:3], 0.35),
                "hint_text_color": look.ghost,
                "size_hint_y": None,
                "height": look.target,
                "write_tab": False,
                **more,
            }
        )
        self.bind(height=self._middle, line_height=self._middle)
        self._middle()

    def _middle(self, *_: object) -> None:
        """One line stands in the middle of its height."""
        air = max(dp(8), (self.height - self.line_height) / 2) if not self.multiline else dp(12)
        self.padding = (look.margin, air)
