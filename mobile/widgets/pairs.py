"""Lines in two columns, for a screen too short for one."""

from __future__ import annotations

from typing import Any

from kivy.uix.widget import Widget

from mobile.widgets.look import look
from mobile.widgets.row import Row
from mobile.widgets.ruled import Blank, Ledger, Ruled


class Pairs(Ledger):
    """Two lines side by side have the height of the taller; what room is left is shared out among them."""

    MOST = 1.5

    def __init__(self, rows: list[Widget], room: float, **more: Any) -> None:
        self.room = room
        super().__init__(**more)
        for at in range(0, len(rows), 2):
            line = Ruled(orientation="horizontal", size_hint_y=None, height=look.target)
            for row in rows[at : at + 2]:
                row.size_hint_y = 1
                row.paired = True
                row.bind(need=self._share)
                line.add_widget(row)
            if len(rows[at : at + 2]) == 1:
                line.add_widget(Blank())
            self.add_widget(line)
        self._share()

    def _share(self, *_: object) -> None:
        lines = list(reversed(self.children))
        needs = [
            max((row.need for row in line.children if isinstance(row, Row)), default=0) for line in lines
        ]
        spare = max(0.0, self.room - sum(needs) - look.rule * (len(lines) + 1)) / max(1, len(lines))
        for line, need in zip(lines, needs, strict=True):
            line.height = max(need, min(need + spare, look.target * self.MOST))
