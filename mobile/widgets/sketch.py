"""The land drawn to scale, north up: outlines, hatched buffers, numbered stops, you."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import lru_cache
from typing import Any

from kivy.clock import Clock
from kivy.core.text import Label as CoreLabel
from kivy.graphics import Color, Ellipse, Line, Rectangle, StencilPop, StencilPush, StencilUnUse, StencilUse
from kivy.metrics import dp
from kivy.properties import BooleanProperty, ColorProperty, NumericProperty, ObjectProperty
from kivy.uix.widget import Widget

from mobile.widgets.look import look
from mobile.widgets.ruled import ground

SLIP = dp(12)
"""So far a finger slips in a tap. Common practice, no source."""


@lru_cache(maxsize=512)
def _written(text: str, size: float, face: str) -> Any:
    """Words as a texture: they are drawn again with every step of a finger."""
    label = CoreLabel(text=text, font_size=size, font_name=face)
    label.refresh()
    return label.texture


def _between(one: tuple[float, float], other: tuple[float, float]) -> float:
    return math.hypot(other[0] - one[0], other[1] - one[1])


class Sketch(Widget):
    """``land`` has shapes, buffers, stops, you and north in metres. ``zoom`` 1 shows all of it, ``middle`` is the spot
    in the middle of the glass, None the middle of the land. ``moves``: it is dragged and pinched, and tells with
    ``on_moved`` (middle, zoom) and ``on_spot`` (where it was tapped) what should come of it."""

    land = ObjectProperty(None, allownone=True)
    zoom = NumericProperty(1)
    middle = ObjectProperty(None, allownone=True)
    moves = BooleanProperty(False)
    paper = ColorProperty()
    __events__ = ("on_moved", "on_spot")

    def __init__(self, **more: Any) -> None:
        self.touches: list[Any] = []
        self.went = 0.0
        self.frame = (0.0, 0.0, 1.0)
        super().__init__(**{"paper": look.paper, **more})
        ground(self, "paper")
        self._anew = Clock.create_trigger(self._draw, -1)
        self.bind(pos=self._anew, size=self._anew, land=self._anew, zoom=self._anew, middle=self._anew)

    def on_moved(self, middle: tuple[float, float], zoom: float) -> None: ...
    def on_spot(self, spot: tuple[float, float]) -> None: ...

    def on_touch_down(self, touch: Any) -> bool:
        if not self.moves or not self.collide_point(*touch.pos):
            return bool(super().on_touch_down(touch))
        touch.grab(self)
        self.touches.append(touch)
        self.went = 0.0 if len(self.touches) == 1 else dp(100)
        return True

    def on_touch_move(self, touch: Any) -> bool:
        if touch.grab_current is not self:
            return bool(super().on_touch_move(touch))
        self.went += abs(touch.dx) + abs(touch.dy)
        if self.went > SLIP:
            self._pinch(touch) if len(self.touches) == 2 else self._drag(touch)
        return True

    def on_touch_up(self, touch: Any) -> bool:
        if touch.grab_current is not self:
            return bool(super().on_touch_up(touch))
        touch.ungrab(self)
        self.touches.remove(touch)
        if self.went <= SLIP:
            self.dispatch("on_spot", self.spot(touch.pos))
        return True

    def spot(self, at: tuple[float, float]) -> tuple[float, float]:
        """The spot of the land that lies under a place of the glass."""
        middle_x, middle_y, scale = self.frame
        return middle_x + (at[0] - self.center_x) / scale, middle_y + (at[1] - self.center_y) / scale

    def _drag(self, touch: Any) -> None:
        middle_x, middle_y, scale = self._frame()
        self.dispatch("on_moved", (middle_x - touch.dx / scale, middle_y - touch.dy / scale), self.zoom)

    def _pinch(self, touch: Any) -> None:
        """What lay between the fingers stays between them."""
        other = next(one for one in self.touches if one is not touch)
        apart, before = _between(touch.pos, other.pos), _between(touch.ppos, other.pos)
        if before < 1:
            return
        by = apart / before
        middle_x, middle_y, scale = self._frame()
        held_x, held_y = ((a + b) / 2 for a, b in zip(touch.ppos, other.pos, strict=True))
        now_x, now_y = ((a + b) / 2 for a, b in zip(touch.pos, other.pos, strict=True))
        spot_x = middle_x + (held_x - self.center_x) / scale
        spot_y = middle_y + (held_y - self.center_y) / scale
        scale *= by
        middle = (spot_x - (now_x - self.center_x) / scale, spot_y - (now_y - self.center_y) / scale)
        self.dispatch("on_moved", middle, self.zoom * by)

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
        middle_x, middle_y = self.middle or ((low_x + high_x) / 2, (low_y + high_y) / 2)
        return middle_x, middle_y, min(across, up) * self.zoom

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
        for reach in self.land.setbacks:
            self._dashes(reach)
        for buffer in self.land.buffers:
            self._kept_off(buffer)
        for shape in self.land.shapes:
            Line(points=self._flat(shape.points), close=True, width=dp(3 if shape.heavy else 1.6))
        for shape in self.land.shapes:
            if shape.name:
                x, y = self._name_at(shape)
                self._word(shape.name, (x, y), look.ink, look.paper)
                if shape.under:
                    self._word(shape.under, (x, y - dp(24)), look.ink, look.paper, face=look.sans)

    def _dashes(self, ring: Any) -> None:
        """A dashed ring. Kivy's own dashes come out only at a width of 1, which is nothing on fine glass."""
        corners = [self.at(point) for point in ring]
        dash, drawn, left = dp(7), True, dp(7)
        for (ax, ay), (bx, by) in zip(corners, (*corners[1:], corners[0]), strict=True):
            long, gone = _between((ax, ay), (bx, by)), 0.0
            while gone < long:
                step = min(left, long - gone)
                if drawn:
                    along = [(gone / long), (gone + step) / long]
                    ends = [
                        part for share in along for part in (ax + (bx - ax) * share, ay + (by - ay) * share)
                    ]
                    Line(points=ends, width=dp(1), cap="none")
                gone, left = gone + step, left - step
                if left <= 0:
                    drawn, left = not drawn, dash

    def _kept_off(self, ring: Any) -> None:
        """What leaves keep off: a cross where it is a point, a line of its own where it is one or a ring."""
        if len(ring) == 1:
            x, y = self.at(ring[0])
            r = dp(6)
            Line(points=[x - r, y - r, x + r, y + r], width=dp(1.2))
            Line(points=[x - r, y + r, x + r, y - r], width=dp(1.2))
        else:
            Line(points=self._flat(ring), close=len(ring) > 2, width=dp(1))

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
        self,
        text: str,
        at: tuple[float, float],
        ink: Any,
        paper: Any = None,
        size: float = 18,
        face: str = "",
    ) -> None:
        texture = _written(text, dp(size), face or look.bold)
        wide, high = texture.size
        where = (at[0] - wide / 2, at[1] - high / 2)
        if paper is not None:
            Color(*paper)
            Rectangle(pos=(where[0] - dp(3), where[1]), size=(wide + dp(6), high))
        Color(*ink)
        Rectangle(texture=texture, pos=where, size=(wide, high))

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
