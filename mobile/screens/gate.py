"""Gate: every truck in its place, a load in three taps."""

from __future__ import annotations

from mobile.presenters.gate_view import GateView
from mobile.screens.filling import fill
from mobile.screens.presented import Presented, layout, say
from mobile.widgets.look import look

layout(__file__)


class Gate(Presented):
    """The chips come up at the foot, under the thumb; the trucks keep their places above."""

    def render(self, view: GateView) -> None:
        ids = self.ids
        ids.head.title, ids.head.under = view.title, view.under
        say(ids.said, view.said)
        ids.notice.text, ids.caution.text, ids.foot_line.text = view.notice, view.caution, view.foot
        ids.ground.label, ids.ground.value = view.ground.room, view.ground.under
        ids.ground.wrong = view.ground.wrong
        ids.list.further, ids.list.back_up = view.further, view.back_up
        fill(ids.list, view.lines, "gate", self.presenter)
        self._load(view)
        ids.back.text, ids.extra.text, ids.save.text = view.back, view.extra, view.save
        ids.count.text = view.count
        self._hide(view)

    def _load(self, view: GateView) -> None:
        if view.load is None:
            return
        ids = self.ids
        ids.truck.label, ids.truck.value = view.load.truck, view.load.under
        ids.fills.offer(view.load.fills.options, view.load.fills.chosen)
        ids.seen.choices.dead = view.load.dead
        ids.seen.offer(view.load.seen.options, view.load.seen.chosen)

    def _hide(self, view: GateView) -> None:
        ids = self.ids
        load = view.load is not None
        alone = load and look.large
        has = {
            ids.said: view.said is not None and not load,
            ids.head: view.said is None and not load,
            ids.notice: bool(view.notice),
            ids.caution: bool(view.caution) and not load,
            ids.ground: not alone,
            ids.list: not alone,
            ids.air: alone,
            ids.truck: load,
            ids.fills: load,
            ids.seen: load,
            ids.foot_line: bool(view.foot) and not load,
            ids.foot: not load,
        }
        ids.page.hide(*(part for part, shown in has.items() if not shown))
