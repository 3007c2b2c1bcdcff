"""Here: the field you stand in, what is next in it, and what can be written."""

from __future__ import annotations

from mobile.presenters.here import HereView
from mobile.screens.filling import fill
from mobile.screens.presented import Presented, layout, say

layout(__file__)


class Here(Presented):
    def render(self, view: HereView) -> None:
        ids = self.ids
        ids.head.title, ids.head.under = view.title, view.under
        say(ids.said, view.said)
        if view.due is not None:
            ids.due.job, ids.due.why, ids.due.cant = view.due.job, view.due.why, view.due.cant
        ids.list.further, ids.list.back_up = view.further, view.back_up
        fill(ids.list, view.rows, "here", self.presenter)
        ids.gate.text = view.gate
        ids.note.text, ids.wrote.text, ids.more.text = view.foot
        ids.waiting.text = view.waiting
        ids.notice.text = view.notice
        hidden = [ids.said] if view.said is None else []
        hidden += [] if view.notice else [ids.notice]
        hidden += [ids.due] if view.due is None else []
        hidden += [] if view.gate else [ids.gate]
        ids.page.hide(*hidden)
