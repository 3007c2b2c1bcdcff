"""A whole page: parts one under the other, some of them shown only when there is something to say."""

from __future__ import annotations

from typing import Any

from kivy.uix.widget import Widget

from mobile.widgets.foot import Foot
from mobile.widgets.look import look
from mobile.widgets.ruled import Ruled
from mobile.widgets.said import Said
from mobile.widgets.scroll import Scroll


class Page(Ruled):
    """``hide`` takes parts away; the others keep their order."""

    def __init__(self, **more: Any) -> None:
        self.parts: list[Widget] = []
        super().__init__(**more)

    def add_widget(self, widget: Widget, *more: Any, **named: Any) -> None:
        if widget not in self.parts:
            self.parts.append(widget)
        super().add_widget(widget, *more, **named)

    def hide(self, *hidden: Widget) -> None:
        """Where the text is large only the foot and what was just said stand still: the rest is read on."""
        shown = [part for part in self.parts if part not in hidden]
        flowing = next((part for part in shown if isinstance(part, Scroll)), None) if look.large else None
        for scroll in self.parts:
            if isinstance(scroll, Scroll) and scroll is not flowing:
                scroll.flow([], [])
        if flowing is not None:
            shown = self._let_flow(flowing, shown)
        if shown != list(reversed(self.children)):
            self.clear_widgets()
            for part in shown:
                if part.parent is not None:
                    part.parent.remove_widget(part)
                self.add_widget(part)

    def _let_flow(self, scroll: Scroll, shown: list[Widget]) -> list[Widget]:
        """Hand what moves to the scroll; what stands still is left."""
        moving = [part for part in shown if not isinstance(part, (Foot, Said))]
        at = moving.index(scroll)
        for part in moving:
            if part is not scroll and part.parent is self:
                self.remove_widget(part)
        scroll.flow(moving[:at], moving[at + 1 :])
        return [part for part in shown if part is scroll or part not in moving]
