"""What can be tapped: rain is told from a thumb, and a row turns black under the thumb."""

from __future__ import annotations

from time import time
from typing import Any

from kivy.base import EventLoop
from kivy.properties import BooleanProperty, ColorProperty, StringProperty
from kivy.uix.behaviors import ButtonBehavior
from kivy.uix.boxlayout import BoxLayout

from mobile.widgets.look import look
from mobile.widgets.ruled import ground

SPOKEN = "spoken"
"""What a touch carries that was a long press and was read aloud (``mobile.widgets.aloud``)."""


class Tap(ButtonBehavior):
    """``name`` is what journeys and the report call it; ``dead`` takes no taps now, ``inert`` never.

    Rain on the glass makes touches that are too short, or several at once: both are ignored. A mouse makes
    neither, so a mouse is never ignored.
    """

    name = StringProperty("")
    dead = BooleanProperty(False)
    inert = BooleanProperty(False)
    shortest_s = 0.0

    def on_touch_down(self, touch: Any) -> bool:
        if self.inert:
            return False
        if self.dead and self.collide_point(*touch.pos):
            return True
        if touch.device != "mouse" and any(other is not touch for other in EventLoop.touches):
            return bool(self.collide_point(*touch.pos))
        return bool(super().on_touch_down(touch))

    def on_touch_up(self, touch: Any) -> bool:
        if touch.grab_current is self and self._is_no_tap(touch):
            touch.ungrab(self)
            self.state = "normal"
            return True
        return bool(super().on_touch_up(touch))

    def _is_no_tap(self, touch: Any) -> bool:
        """Rain, or a long press that was read aloud."""
        return bool(touch.ud.get(SPOKEN)) or (touch.device != "mouse" and self._is_rain(touch))

    def _is_rain(self, touch: Any) -> bool:
        ended = touch.time_end if touch.time_end > 0 else time()
        return bool(ended - touch.time_start < Tap.shortest_s)


class Cell(Tap, BoxLayout):
    """A piece of paper to tap. ``heavy`` is black, ``chosen`` turns it over, so does a thumb on it."""

    heavy = BooleanProperty(False)
    chosen = BooleanProperty(False)
    paper = ColorProperty()
    ink = ColorProperty()
    faint = ColorProperty()
    alarm = ColorProperty()

    def __init__(self, **more: Any) -> None:
        super().__init__(paper=look.paper, ink=look.ink, faint=look.ghost, alarm=look.wrong, **more)
        ground(self, "paper")
        self.bind(heavy=self._turn, chosen=self._turn, state=self._turn, dead=self._turn)
        self._turn()

    @property
    def is_black(self) -> bool:
        standing = bool(self.heavy != self.chosen)
        return not standing if self.state == "down" and self.heavy else standing or self.state == "down"

    def _turn(self, *_: object) -> None:
        black = self.is_black
        self.paper = look.ink if black else look.paper
        self.ink = look.paper if black else look.ink
        self.faint = look.ghost_on_ink if black else look.ghost
        self.alarm = look.wrong_on_ink if black else look.wrong
        if self.dead:
            self.ink = self.faint
