"""A page of lines with keys at its foot: first run, who writes, what I wrote, hand in, work, note and their like."""

from __future__ import annotations

from typing import Any

from mobile.presenters.lines import FormView
from mobile.screens.filling import fill, show_slots
from mobile.screens.presented import Presented, layout, say
from mobile.widgets.look import look

layout(__file__)


class Form(Presented):
    """Where the text is large, or the lines would be squeezed by the pad, the pad is a step of its own."""

    def __init__(self, presenter: Any, **more: Any) -> None:
        self.on_pad = False
        self.shown: FormView | None = None
        super().__init__(presenter, **more)

    def fresh(self) -> None:
        self.on_pad = False

    def render(self, view: FormView) -> None:
        if self.shown is not None and (self.shown.title != view.title or not view.slots):
            self.on_pad = False
        self.shown = view
        ids = self.ids
        ids.head.title, ids.head.under = view.title, view.under
        say(ids.said, view.said)
        ids.notice.text, ids.caution.text, ids.foot_line.text = view.notice, view.caution, view.foot
        ids.list.further, ids.list.back_up, ids.list.folds = view.further, view.back_up, view.tight
        ids.pad.mark, ids.pad.rub_out = view.mark, view.rub_out
        show_slots(ids.slots, view.slots, self.presenter.pick_slot)
        fill(ids.list, view.lines, self.name, self.presenter)
        must = self._steps and not self.on_pad and not view.pad
        ids.back.text, ids.extra.text = view.back, "" if self.on_pad else view.extra
        ids.pad_key.text = "" if self.on_pad else view.pad
        ids.save.text = view.go_on if must else view.save
        self._hide(view)

    @property
    def _steps(self) -> bool:
        """Whether the pad is a step of its own."""
        view = self.shown
        if view is None or not view.slots:
            return False
        return bool(view.pad) or (bool(view.lines) and (look.large or len(view.lines) > 1))

    def _hide(self, view: FormView) -> None:
        ids = self.ids
        pad = bool(view.slots) and (self.on_pad or not self._steps)
        lines = not (self._steps and self.on_pad)
        has = {
            ids.said: view.said is not None,
            ids.head: view.said is None and not (pad and look.large),
            ids.notice: bool(view.notice),
            ids.caution: bool(view.caution) and lines,
            ids.list: lines and (bool(view.lines) or not pad),
            ids.slots: pad,
            ids.pad: pad,
            ids.foot_line: bool(view.foot),
            ids.foot: bool(view.back or view.extra or view.save),
        }
        ids.page.hide(*(part for part, shown in has.items() if not shown))

    def go_on(self) -> None:
        view = self.shown
        if self._steps and not self.on_pad and view is not None and not view.pad:
            self.to_pad()
        else:
            self.presenter.save()

    def to_pad(self) -> None:
        self.on_pad = True
        self.refresh()

    def pad_away(self) -> bool:
        """Back from the pad to the lines; False where there was no pad to leave."""
        if not self.on_pad:
            return False
        self.on_pad = False
        self.refresh()
        return True
