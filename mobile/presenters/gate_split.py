"""Where one load goes, when it is not simply where all others go: to a pile, to another field, or shared out."""

from __future__ import annotations

from uuid import UUID

from mobile.presenters.figure import Keyed
from mobile.presenters.gate_load import Looked, shared_out
from mobile.presenters.gate_room import place_of, places, receiving
from mobile.presenters.lines import ChoiceView, FormView, LineView, SlotView
from mobile.presenters.load_page import LoadPage, refused
from mobile.presenters.session import Session
from shared.languages import DECIMAL_MARK, figure

MOST_PLACES = 2


class SplitPresenter(LoadPage):
    """The place that receives is chosen to begin with; a second one shares the load with it."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.chosen: tuple[UUID, ...] = ()
        self.first = Keyed(parts=True)

    def entered(self) -> None:
        super().entered()
        now = receiving(self.session)
        self.chosen = (now,) if now is not None else ()
        self.first = Keyed(parts=True)

    def view(self) -> FormView:
        yards = figure(self.session.language, self.yards()) if self.truck is not None else ""
        shared = len(self.chosen) == MOST_PLACES
        options = tuple((str(one.id), one.name) for one in places(self.session))
        chosen = tuple(str(one) for one in self.chosen)
        lines: tuple[LineView, ...] = (ChoiceView("to", self.say("split.where"), options, chosen, 2),)
        return FormView(
            title=self.say("split.title", truck=self.truck.label if self.truck else ""),
            under=self.say("split.under", yards=yards),
            lines=lines,
            notice=self.notice,
            slots=(self._slot(),) if shared else (),
            mark=DECIMAL_MARK[self.session.language] if shared else "",
            rub_out=self.say("rub_out"),
            pad=self.say("split.yards") if shared else "",
            back=self.say("back"),
            extra=self.say("seen.picked"),
            save=self.say("seen.clean"),
            **self.turning(),
        )

    def _slot(self) -> SlotView:
        first = place_of(self.session, self.chosen[0])
        named = self.say("split.to_first", place=first.name if first is not None else "")
        half = figure(self.session.language, self.yards() / 2)
        shown = self.first.shown(self.session.language) or half
        return SlotView("first", named, shown, self.say("unit.yd3"))

    def pick(self, key: str, name: str) -> None:
        place, self.notice = UUID(name), ""
        if place in self.chosen:
            self.chosen = tuple(one for one in self.chosen if one != place)
        else:
            self.chosen = (*self.chosen[-(MOST_PLACES - 1) :], place)
        self.changed()

    def key(self, key: str) -> None:
        self.first.key(key)
        self.notice = ""
        self.changed()

    def save(self) -> None:
        self._take("taken")

    def extra(self) -> None:
        self._take("taken_after_picking")

    def _take(self, outcome: str) -> None:
        assert self.truck is not None
        first = self.first.value
        if not self.chosen:
            self.notice = self.say("split.place_first")
        elif first is not None and first > self.yards():
            self.notice = self.say("split.too_much", yards=self.yards())
        else:
            barred = (refused(self.session, self.truck, one) for one in self.chosen)
            self.notice = next((why for why in barred if why), "")
        if self.notice:
            self.changed()
            return
        self.keep(Looked(outcome), shared_out(self.yards(), self.chosen, first))
