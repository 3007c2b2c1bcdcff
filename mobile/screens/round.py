"""Round: one stop after the other, a figure or a choice at each."""

from __future__ import annotations

from typing import Any

from mobile.presenters.round_view import RoundView
from mobile.screens.filling import fill, show_slots
from mobile.screens.presented import Presented, layout, say
from mobile.widgets.look import look

layout(__file__)


class Round(Presented):
    """Where the text is large a stop is written in steps: what was just said, the figures, the choices."""

    def __init__(self, presenter: Any, **more: Any) -> None:
        self.step = ""
        self.shown: RoundView | None = None
        super().__init__(presenter, **more)

    def fresh(self) -> None:
        self.step = ""

    def render(self, view: RoundView) -> None:
        before, self.shown = self.shown, view
        anew = before is None or (view.face, view.title) != (before.face, before.title)
        if anew or (view.notice and before is not None and view.notice != before.notice):
            self.step = ""
        if self.step not in self._steps(view):
            self.step = self._steps(view)[0]
        ids = self.ids
        ids.head.title, ids.head.under = view.title, view.under
        say(ids.said, view.said)
        ids.notice.text = view.notice
        if view.way is not None:
            ids.way.steps, ids.way.to = view.way.steps, view.way.to
            ids.way.pointing, ids.way.turn_deg = view.way.turn_deg is not None, view.way.turn_deg or 0
        ids.sketch.land = view.sketch if view.face == "plan" else None
        ids.pad.mark, ids.pad.rub_out = view.mark, view.rub_out
        show_slots(ids.slots, view.slots, self.presenter.pick_slot)
        self._ask(view)
        self._foot(view)
        self._hide(view)

    def _ask(self, view: RoundView) -> None:
        ids = self.ids
        ids.list.further, ids.list.back_up = view.further, view.back_up
        at_once = view.face == "stop" and not look.large
        fill(ids.choices if at_once else ids.list, view.choices or view.rows, "round", self.presenter)

    def _steps(self, view: RoundView) -> list[str]:
        """The steps of a stop in the layout for large text; one step for all of it else."""
        if view.face != "stop" or not look.large:
            return ["all"]
        steps = ["said"] if view.said is not None or view.notice else []
        return steps + (["slots"] if view.slots else []) + (["choices"] if view.choices else []) or ["all"]

    def _foot(self, view: RoundView) -> None:
        last = self.step == self._steps(view)[-1]
        self.ids.save.text = view.save if last else view.go_on
        self.ids.back.text = view.back
        self.ids.extra.text = view.extra if last else ""

    def _hide(self, view: RoundView) -> None:
        ids = self.ids
        step = self.step
        at_stop = view.face == "stop"
        has = {
            ids.said: view.said is not None and step in ("all", "said"),
            ids.head: view.said is None and not view.notice and not (look.large and step == "slots"),
            ids.way: view.way is not None and step in ("all", "slots") and not (view.notice and at_stop),
            ids.notice: bool(view.notice) and step in ("all", "said"),
            ids.sketch: view.face == "plan",
            ids.list: view.face in ("once", "done") or step == "choices",
            ids.slots: at_stop and bool(view.slots) and step in ("all", "slots"),
            ids.choices: at_stop and bool(view.choices) and step == "all",
            ids.pad: at_stop and bool(view.slots) and step in ("all", "slots"),
            ids.air: at_stop and (step == "said" or (step == "all" and not view.slots)),
        }
        ids.page.hide(*(part for part, shown in has.items() if not shown))

    def go_on(self) -> None:
        after = self._beside(1)
        if after:
            self.step = after
            self.refresh()
        else:
            self.presenter.save()

    def go_back(self) -> None:
        before = self._beside(-1)
        if before:
            self.step = before
            self.refresh()
        else:
            self.presenter.back()

    def _beside(self, by: int) -> str:
        """The step after this one or before it; empty where there is none."""
        if self.shown is None:
            return ""
        steps = self._steps(self.shown)
        at = steps.index(self.step) + by
        return steps[at] if 0 <= at < len(steps) else ""
