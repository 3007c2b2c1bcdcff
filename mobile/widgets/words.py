"""Text on the page: it wraps to its width and is as high as it needs."""

from __future__ import annotations

from kivy.properties import BooleanProperty
from kivy.uix.label import Label

from mobile.widgets.look import look


class Words(Label):
    """A paragraph, 18 sp."""

    struck = BooleanProperty(False)

    def __init__(self, **more: object) -> None:
        settled = {
            "font_name": look.sans,
            "font_size": look.text,
            "color": look.ink,
            "halign": "left",
            "valign": "middle",
        }
        super().__init__(**{"size_hint_y": None, **settled, **more})
        self.bind(width=self._wrap, texture_size=self._grow)
        self._wrap()

    def _wrap(self, *_: object) -> None:
        self.text_size = (max(1, self.width), None)

    def on_struck(self, *_: object) -> None:
        """Ruled through: it stays readable."""
        self.strikethrough = self.struck

    def _grow(self, *_: object) -> None:
        if self.size_hint_y is None:
            self.height = self.texture_size[1] if self.text else 0


class Bold(Words):
    """A label to read at arm's length, 22 sp."""

    def __init__(self, **more: object) -> None:
        super().__init__(**{"font_name": look.bold, "font_size": look.label, **more})


class Title(Words):
    """A title in the serif."""

    def __init__(self, **more: object) -> None:
        super().__init__(**{"font_name": look.serif, "font_size": look.title, **more})


class Figures(Words):
    """A figure that counts, 32 sp at least."""

    def __init__(self, **more: object) -> None:
        super().__init__(**{"font_name": look.bold, "font_size": look.figure, **more})
