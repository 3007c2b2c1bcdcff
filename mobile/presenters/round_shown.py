"""What a round shows at each of its faces."""

from __future__ import annotations

from dataclasses import replace
from typing import Any
from uuid import UUID

from mobile.actions.land import field
from mobile.actions.round import Round
from mobile.actions.save_entry import Saved
from mobile.actions.start_round import Taken
from mobile.actions.strike import can_undo
from mobile.presenters.field_words import field_name
from mobile.presenters.figure import Keyed
from mobile.presenters.lines import ChoiceView, LineView, SaidView, SlotView, TextView, TypedView
from mobile.presenters.measures import Ask, Measure
from mobile.presenters.presenter import Presenter
from mobile.presenters.round_end import RoundEnd, round_end
from mobile.presenters.round_said import last_figures
from mobile.presenters.round_taken import asked
from mobile.presenters.round_view import Face, RoundView
from mobile.presenters.round_walk import planned, sketch_of, to_stop
from mobile.presenters.session import Session
from shared.languages import DECIMAL_MARK
from shared.words.bodies import Body


class RoundShown(Presenter):
    """The state of a round on the screen, and its view. ``RoundPresenter`` takes the taps."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.walked: Round | None = None
        self.field: UUID | None = None
        self.measures: tuple[Measure, ...] = ()
        self.at = 0
        self.bodies: list[Body] = []
        self.figures: dict[str, Keyed] = {}
        self.answers: dict[str, str] = {}
        self.once: dict[str, str] = {}
        self.active = ""
        self.is_plan = False
        self.asked_far = False
        self.asked_where = False
        self.saved: tuple[Saved, ...] = ()
        self.more = 0
        self.open: Taken | None = None
        """A round that could be gone on with."""
        self.taken = ""

    @property
    def face(self) -> Face:
        if self.walked is None:
            return "once"
        if self.stop is None:
            return "done"
        return "plan" if self.is_plan else "stop"

    @property
    def stop(self) -> int | None:
        """The stop being written, None once all are in."""
        walked = self.walked
        if walked is None:
            return None
        if walked.stops:
            return walked.next_stop
        nth = len(walked.done) + 1
        return nth if nth <= self._count() else None

    def _count(self) -> int:
        walked = self.walked
        if walked is not None and walked.stops:
            return len(walked.stops)
        ground = None if self.field is None else field(self.session.phone, self.session.enrolment, self.field)
        names: Any = tuple(one.name for one in self.measures)
        return planned(ground, names) + self.more

    def view(self) -> RoundView:
        shown = RoundView(
            face=self.face,
            title=self.say(f"measure.{self.measures[self.at].name}"),
            under=field_name(self.session, self.field),
            save=self.say("round.start"),
            back=self.say("back"),
            go_on=self.say("go_on"),
            notice=self.notice,
            rub_out=self.say("rub_out"),
            **self.turning(),
        )
        if self.face == "once":
            return replace(shown, choices=self._once_lines())
        if self.face == "done":
            return self._done(shown)
        return self._stop(shown)

    def _once_lines(self) -> tuple[LineView, ...]:
        lines: list[LineView] = []
        # What only this cover is asked comes first: under the long list of covers nobody would see it.
        for ask in sorted(self._once_asks(), key=lambda one: not one.of):
            lines.append(self._ask(ask, self.once.get(ask.key)))
            if ask.key == "frost" and self.once.get("frost", "none") != "none":
                lines.append(TextView("frost_caution", self.say("caution.hay"), bold=True))
        if self.open is not None:
            lines.insert(0, asked(self.session, self.open, self._count(), self.taken))
        if self.once.get("cover") == "other":
            lines.append(
                TypedView("other_text", self.say("round.which_other"), self.once.get("other_text", ""))
            )
        return tuple(lines)

    def _ask(self, ask: Ask, chosen: str | None) -> ChoiceView:
        return ChoiceView(
            ask.key,
            self.say(f"ask.{ask.key}.question") if ask.titled else "",
            tuple((one, self.say(f"ask.{ask.key}.{one.replace('-', '_')}")) for one in ask.options),
            (chosen,) if chosen else (),
            ask.across,
        )

    def _stop(self, shown: RoundView) -> RoundView:
        walked, stop = self.walked, self.stop
        assert walked is not None
        assert stop is not None
        measure = self.measures[self.at]
        last = self.at == len(self.measures) - 1
        name = self.say(f"measure.{measure.name}")
        return replace(
            shown,
            title=self.say("round.title", measure=name, stop=stop, count=self._count()),
            save=self.say("round.save", stop=stop)
            if last
            else self.say("round.next", measure=self.say(f"measure.{self.measures[self.at + 1].name}")),
            back=self.say("round.pause"),
            way=to_stop(self.session, walked, stop),
            said=self._said(),
            slots=self._slots(measure),
            choices=tuple(self._ask(ask, self.answers.get(ask.key)) for ask in measure.asks),
            mark=DECIMAL_MARK[self.session.language] if self._slot(measure).parts else "",
            extra=self.say("round.skip") if self.is_plan and walked.stops else "",
            sketch=sketch_of(self.session, walked, stop) if self.is_plan else shown.sketch,
        )

    def _slot(self, measure: Measure) -> Any:
        return next((slot for slot in measure.slots if slot.key == self.active), Keyed())

    def _slots(self, measure: Measure) -> tuple[SlotView, ...]:
        several = len(measure.slots) > 1
        views = []
        for slot in measure.slots:
            unit = self.say(f"unit.{slot.unit}")
            named = self.say("slot.named", slot=self.say(f"slot.{slot.key}"), unit=unit) if several else ""
            above = named or ("" if self.said else last_figures(self.session, self.field, measure.name))
            shown = self.figures[slot.key].shown(self.session.language)
            views.append(SlotView(slot.key, above, shown, "" if several else unit, slot.key == self.active))
        return tuple(views)

    def _said(self) -> SaidView | None:
        if self.said is None or not self.saved:
            return self.said
        return self.said if can_undo(self.session.phone, self.saved[0]) else replace(self.said, undo="")

    def _done(self, shown: RoundView) -> RoundView:
        assert self.walked is not None
        end = self._end()
        return replace(
            shown,
            title=self.say("round.done_title", measure=shown.title),
            save=self.say("round.finish"),
            extra=self.say("round.more", count=end.more) if end.more else "",
            back="",
            said=self._said(),
            rows=end.rows,
        )

    def _end(self) -> RoundEnd:
        assert self.walked is not None
        return round_end(self.session, self.walked)

    def _once_asks(self) -> tuple[Ask, ...]:
        asks = (ask for measure in self.measures for ask in measure.once)
        return tuple(ask for ask in asks if not ask.of or self.once.get("cover") in ask.of)
