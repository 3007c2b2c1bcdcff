"""The land drawn to scale, north up: outlines, hatched buffers, numbered stops, you."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from kivy.core.text import Label as CoreLabel
from kivy.graphics import Color, Ellipse, Line, Rectangle, StencilPop, StencilPush, StencilUnUse, StencilUse
from kivy.metrics import dp
from kivy.properties import ColorProperty, NumericProperty, ObjectProperty
from kivy.uix.widget import Widget

from mobile.widgets.look import look
from mobile.widgets.ruled import ground


class Sketch(Widget):
    """``land`` has shapes, buffers, stops, you and north in metres. ``zoom`` 1 shows all of it."""

    land = ObjectProperty(None, allownone=True)
    zoom = NumericProperty(1)
    paper = ColorProperty()

    def __init__(self, **more: Any) -> None:
        super().__init__(**{"paper": look.paper, **more})
        ground(self, "paper")
        self.middle = (0.0, 0.0)
        self.bind(pos=self._draw, size=self._draw, land=self._fresh, zoom=self._draw)

    def _fresh(self, *_: object) -> None:
        self._draw()

    def _corners(self) -> Iterator[tuple[float, float]]:
        for shape in self.land.shapes:
            yield from shape.points
        for stop in self.land.stops:
            yield stop.x_m, stop.y_m
        if self.land.you is not None:
            yield self.land.you

    def _frame(self) -> tuple[float, float, float]:
        """The middle of the land in metres and pixels a metre."""
        corners = list(self._corners()) or [(0.0, 0.0)]
        low_x, high_x = min(x for x, _ in corners), max(x for x, _ in corners)
        low_y, high_y = min(y for _, y in corners), max(y for _, y in corners)
        air = dp(34)
        across = max(1.0, self.width - 2 * air) / max(high_x - low_x, 10)
        up = max(1.0, self.height - 2 * air) / max(high_y - low_y, 10)
        return (
            (low_x + high_x) / 2 + self.middle[0],
            (low_y + high_y) / 2 + self.middle[1],
            min(across, up) * self.zoom,
        )

    def _draw(self, *_: object) -> None:
        self.canvas.clear()
        if self.land is None or self.width < 2:
            return
        self.frame = self._frame()
        with self.canvas:
            StencilPush()
            Rectangle(pos=self.pos, size=self.size)
            StencilUse()
            self._draw_land()
            self._draw_stops()
            self._draw_you()
            self._draw_north()
            StencilUnUse()
            Rectangle(pos=self.pos, size=self.size)
            StencilPop()

    def at(self, point: tuple[float, float]) -> tuple[float, float]:
        middle_x, middle_y, scale = self.frame
        return self.center_x + (point[0] - middle_x) * scale, self.center_y + (point[1] - middle_y) * scale

    def _flat(self, points: Any) -> list[float]:
        return [part for point in points for part in self.at(point)]

    def _draw_land(self) -> None:
        Color(*look.ink)
        for buffer in self.land.buffers:
            Line(points=self._flat(buffer), close=True, width=dp(1), dash_length=6, dash_offset=5)
        for shape in self.land.shapes:
            Line(points=self._flat(shape.points), close=True, width=dp(3 if shape.heavy else 1.6))
        for shape in self.land.shapes:
            if shape.name:
                self._word(shape.name, self._name_at(shape), look.ink, look.paper)

    def _name_at(self, shape: Any) -> tuple[float, float]:
        """The middle of a shape, or beside you where you stand in it."""
        xs, ys = [x for x, _ in shape.points], [y for _, y in shape.points]
        x, y = self.at(((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2))
        if self.land.you is not None:
            your_x, your_y = self.at(self.land.you)
            if abs(your_x - x) < dp(80) and abs(your_y - y) < dp(30):
                y = your_y + dp(34)
        return x, y

    def _word(
        self, text: str, at: tuple[float, float], ink: Any, paper: Any = None, size: float = 18
    ) -> None:
        label = CoreLabel(text=text, font_size=dp(size), font_name=look.bold)
        label.refresh()
        wide, high = label.texture.size
        where = (at[0] - wide / 2, at[1] - high / 2)
        if paper is not None:
            Color(*paper)
            Rectangle(pos=(where[0] - dp(3), where[1]), size=(wide + dp(6), high))
        Color(*ink)
        Rectangle(texture=label.texture, pos=where, size=(wide, high))

    def _draw_stops(self) -> None:
        places = [self.at((stop.x_m, stop.y_m)) for stop in self.land.stops]
        if len(places) > 1:
            Color(*look.ghost)
            Line(points=[part for place in places for part in place], width=dp(1))
        for stop, (x, y) in zip(self.land.stops, places, strict=True):
            r = dp(19 if stop.next else 15)
            black = stop.next
            Color(*(look.ink if black else look.paper))
            Ellipse(pos=(x - r, y - r), size=(2 * r, 2 * r))
            Color(*look.ink)
            Line(circle=(x, y, r), width=dp(1.6))
            self._word(stop.number, (x, y), look.paper if black else look.ink)
            if stop.done:
                Line(points=[x - r, y - r * 0.1, x + r, y + r * 0.1], width=dp(1.4))

    def _draw_you(self) -> None:
        if self.land.you is None:
            return
        x, y = self.at(self.land.you)
        Color(*look.ink)
        reach = max(dp(12), self.land.you_r_m * self.frame[2])
        Line(circle=(x, y, reach), width=dp(1.2), dash_length=4, dash_offset=4)
        Ellipse(pos=(x - dp(7), y - dp(7)), size=(dp(14), dp(14)))

    def _draw_north(self) -> None:
        x, y = self.right - dp(24), self.top - dp(52)
        Color(*look.ink)
        Line(points=[x, y - dp(14), x, y + dp(18)], width=dp(1.6))
        Line(points=[x - dp(7), y + dp(8), x, y + dp(20), x + dp(7), y + dp(8)], width=dp(1.6))
        self._word(self.land.north, (x, y + dp(34)), look.ink)
