"""The page and its rules: whatever stands in a ruled box is parted by rules of ink."""

from __future__ import annotations

from kivy.graphics import Color, Rectangle
from kivy.properties import ColorProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.gridlayout import GridLayout
from kivy.uix.widget import Widget

from mobile.widgets.look import look


def ground(widget: Widget, name: str) -> None:
    """Paint the widget's own rectangle in the colour of its property ``name``, and keep it so."""
    with widget.canvas.before:
        colour = Color(*getattr(widget, name))
        box = Rectangle(pos=widget.pos, size=widget.size)

    def move(*_: object) -> None:
        box.pos, box.size = widget.pos, widget.size

    widget.bind(pos=move, size=move, **{name: lambda _, value: setattr(colour, "rgba", value)})


class Blank(Widget):
    """Empty paper."""

    paper = ColorProperty()

    def __init__(self, **more: object) -> None:
        super().__init__(paper=look.paper, **more)
        ground(self, "paper")


class Sheet(BoxLayout):
    """A stretch of paper that is as high as what stands on it."""

    paper = ColorProperty()

    def __init__(self, **more: object) -> None:
        super().__init__(
            **{
                "orientation": "vertical",
                "paper": look.paper,
                "size_hint_y": None,
                "padding": (look.margin, look.margin * 0.6),
                "spacing": look.margin * 0.25,
                **more,
            }
        )
        ground(self, "paper")
        self.bind(minimum_height=self.setter("height"))


class Ruled(BoxLayout):
    """A column of ruled lines. ``fills`` is whether it takes the height that is left."""

    rules = ColorProperty()

    def __init__(self, **more: object) -> None:
        super().__init__(**{"orientation": "vertical", "spacing": look.rule, "rules": look.ink, **more})
        ground(self, "rules")


class Ledger(Ruled):
    """A column of ruled lines that is as high as they are."""

    def __init__(self, **more: object) -> None:
        super().__init__(**{"size_hint_y": None, **more})
        self.bind(minimum_height=self.setter("height"))


class RuledGrid(GridLayout):
    """Cells parted by rules, as high as its rows."""

    rules = ColorProperty()

    def __init__(self, **more: object) -> None:
        super().__init__(**{"spacing": look.rule, "rules": look.ink, "size_hint_y": None, **more})
        ground(self, "rules")
        self.bind(minimum_height=self.setter("height"))
