"""Map: the farm as this phone has it."""

from __future__ import annotations

from mobile.presenters.map import MapView
from mobile.screens.presented import Presented, layout

layout(__file__)


class Map(Presented):
    def render(self, view: MapView) -> None:
        ids = self.ids
        ids.head.title, ids.head.under = view.title, view.under
        ids.empty.text = view.empty
        ids.sketch.land, ids.sketch.zoom, ids.sketch.middle = view.land, view.zoom, view.middle
        ids.back.text, ids.wider.text, ids.closer.text = view.back, view.wider, view.closer
        ids.page.hide(*([] if view.empty else [ids.empty]))
