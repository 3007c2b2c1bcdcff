"""Marks drawn for us: wrong, and the arrow that points the way. Each always stands beside a word."""

from __future__ import annotations

from math import cos, radians, sin
from typing import Any

from kivy.graphics import Color, Line, Mesh
from kivy.metrics import dp
from kivy.properties import ColorProperty, NumericProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from mobile.widgets.look import look
from mobile.widgets.words import Words


class WrongMark(Widget):
    """A square struck through twice."""

    ink = ColorProperty()

    def __init__(self, **more: Any) -> None:
        super().__init__(
            **{"ink": look.wrong, "size_hint": (None, None), "size": (look.text, look.text), **more}
        )
        self.bind(pos=self._draw, size=self._draw, ink=self._draw)
        self._draw()

    def _draw(self, *_: object) -> None:
        self.canvas.clear()
        x, y, side = self.x, self.center_y - self.width / 2, self.width
        with self.canvas:
            Color(*self.ink)
            Line(rectangle=(x, y, side, side), width=dp(1.3))
            for run in ((0, 0, 1, 1), (0, 1, 1, 0)):
                inset = 0.22
                points = [
                    x + side * (inset + run[0] * (1 - 2 * inset)),
                    y + side * (inset + run[1] * (1 - 2 * inset)),
                ]
                points += [
                    x + side * (inset + run[2] * (1 - 2 * inset)),
                    y + side * (inset + run[3] * (1 - 2 * inset)),
                ]
                Line(points=points, width=dp(1.8))


class Marked(BoxLayout):
    """The mark with its words to the right of it."""

    def __init__(self, words: Words, **more: Any) -> None:
        super().__init__(**{"spacing": look.text * 0.4, "size_hint_y": None, "height": words.height, **more})
        self.mark = WrongMark(pos_hint={"center_y": 0.5})
        self.words = words
        self.add_widget(self.mark)
        self.add_widget(words)
        words.bind(height=self.setter("height"))


class Arrow(Widget):
    """Points ``turn_deg`` to the right of straight ahead."""

    turn_deg = NumericProperty(0)
    ink = ColorProperty()
    SHAPE = (
        (0.0, 0.5),
        (0.36, 0.06),
        (0.13, 0.06),
        (0.13, -0.5),
        (-0.13, -0.5),
        (-0.13, 0.06),
        (-0.36, 0.06),
    )

    def __init__(self, **more: Any) -> None:
        super().__init__(**{"ink": look.ink, **more})
        self.bind(pos=self._draw, size=self._draw, turn_deg=self._draw, ink=self._draw)
        self._draw()

    def _draw(self, *_: object) -> None:
        self.canvas.clear()
        side = min(self.width, self.height)
        angle = radians(self.turn_deg)
        corners = [
            (
                self.center_x + side * (x * cos(angle) + y * sin(angle)),
                self.center_y + side * (y * cos(angle) - x * sin(angle)),
            )
            for x, y in self.SHAPE
        ]
        with self.canvas:
            Color(*self.ink)
            for piece in ((0, 1, 6), (2, 3, 4, 5)):
                flat = [part for at in piece for part in (*corners[at], 0, 0)]
                Mesh(vertices=flat, indices=list(range(len(piece))), mode="triangle_fan")
