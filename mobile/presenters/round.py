"""Round: what is asked once, one stop after the other, how it came out."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal
from typing import Any
from uuid import UUID

from mobile.actions.finish_round import finish_round
from mobile.actions.land import field
from mobile.actions.round import Round, round_in_progress
from mobile.actions.save_entry import Saved
from mobile.actions.save_stop import save_stop, undo_stop
from mobile.actions.start_round import start_round
from mobile.actions.strike import UNDO_MS, undo
from mobile.presenters.figure import Keyed
from mobile.presenters.lines import ChoiceView, LineView, SaidView, SlotView, TypedView
from mobile.presenters.measures import MEASURES, Ask, Measure
from mobile.presenters.presenter import Presenter
from mobile.presenters.round_end import RoundEnd, round_end
from mobile.presenters.round_said import last_figures, meaning_of
from mobile.presenters.round_view import Face, RoundView
from mobile.presenters.round_walk import field_name, laid_stops, planned, sketch_of, to_stop
from mobile.presenters.session import Session
from mobile.trouble import BookTrouble, UndoTooLate
from shared.errors import GoodgroundError
from shared.languages import DECIMAL_MARK
from shared.words.bodies import Body

FAR = Decimal(2)
"""A figure twice the last one, or less than half of it, is asked about once."""


class RoundPresenter(Presenter):
    """``facts["round"]`` of the session says where and what: a field and the measures."""

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
        self.saved: tuple[Saved, ...] = ()
        self.more = 0

    # coming and going

    def entered(self) -> None:
        wanted: dict[str, Any] | None = self.session.facts.pop("round", None)
        going = round_in_progress(self.session.phone, self.session.enrolment)
        if wanted is None:
            self.walked = going
            if going is not None:
                self._take_up(going.field, going.measures)
            return
        self.walked = None
        self.said, self.saved, self.more = None, (), 0
        self._take_up(wanted["field"], wanted["measures"])
        same = going is not None and (going.field, going.measures) == (self.field, tuple(wanted["measures"]))
        if same and going is not None and going.next_stop is not None:
            self.walked = going
        elif not self._once_asks():
            self._start()

    def _take_up(self, field_id: UUID, measures: Sequence[str]) -> None:
        self.field = field_id
        self.measures = tuple(MEASURES[name] for name in measures)
        self.once = {}
        for measure in self.measures:
            kept = json.loads(self.session.phone.book.setting(f"asked.{measure.name}") or "{}")
            self.once |= {ask.key: kept[ask.key] for ask in measure.once if kept.get(ask.key) in ask.options}
        self._blank()

    def _blank(self) -> None:
        """An empty stop. What was chosen at the last one is not carried over: a copied answer proves nothing."""
        self.at, self.bodies = 0, []
        self._blank_measure()

    def _blank_measure(self) -> None:
        measure = self.measures[self.at]
        self.figures = {slot.key: Keyed(slot.parts) for slot in measure.slots}
        self.answers = {}
        self.active = measure.slots[0].key if measure.slots else ""
        self.asked_far = False
        self.notice = ""

    def _once_asks(self) -> tuple[Ask, ...]:
        return tuple(ask for measure in self.measures for ask in measure.once)

    def tick(self) -> None:
        self.changed()

    def back(self) -> None:
        if self.is_plan:
            self.is_plan = False
            self.changed()
        else:
            self.session.go("here")

    # what is shown

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
        lines: list[LineView] = [self._ask(ask, self.once.get(ask.key)) for ask in self._once_asks()]
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
            above = named or last_figures(self.session, self.field, measure.name)
            shown = self.figures[slot.key].shown(self.session.language)
            views.append(SlotView(slot.key, above, shown, "" if several else unit, slot.key == self.active))
        return tuple(views)

    def _said(self) -> SaidView | None:
        if self.said is None or not self.saved:
            return self.said
        since_ms = self.session.phone.clock.steady_ms() - self.saved[0].steady_ms
        return self.said if since_ms <= UNDO_MS else replace(self.said, undo="")

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

    # what is tapped

    def key(self, key: str) -> None:
        if not self.active:
            return
        self.figures[self.active].key(key)
        self.asked_far, self.notice = False, ""
        self.changed()

    def pick_slot(self, key: str) -> None:
        self.active = key
        self.changed()

    def pick(self, key: str, name: str) -> None:
        if self.face == "once":
            self.once[key] = name
        else:
            self.answers[key] = name
        self.notice = ""
        self.changed()

    def write(self, key: str, text: str) -> None:
        self.once[key] = text

    def turn_plan(self) -> None:
        self.is_plan = not self.is_plan
        self.changed()

    def save(self) -> None:
        if self.face == "once":
            self._start()
        elif self.face == "done":
            self._finish()
        elif self.is_plan:
            self.is_plan = False
        else:
            self._save_measure()
        self.changed()

    def extra(self) -> None:
        """More stops, where those that are in can't say."""
        self.more += max(1, self._end().more)
        self._lay_more()
        self.changed()

    def _lay_more(self) -> None:
        walked = self.walked
        assert walked is not None
        ground = field(self.session.phone, self.session.enrolment, walked.field)
        if walked.stops and ground is not None:
            from mobile.actions.more_stops import more_stops

            names: Any = walked.measures
            extra = laid_stops(self.session, ground, names, self.more)
            self.walked = more_stops(self.session.phone, self.session.enrolment, extra)
            self.more = 0
        self._blank()

    def _start(self) -> None:
        asks = self._once_asks()
        missing = next((ask for ask in asks if ask.needed and ask.key not in self.once), None)
        if missing is not None:
            self.notice = self.say("round.say_first", question=self.say(f"ask.{missing.key}.question"))
            return
        if self.once.get("cover") == "other" and not self.once.get("other_text", "").strip():
            self.notice = self.say("round.which_other")
            return
        ground = None if self.field is None else field(self.session.phone, self.session.enrolment, self.field)
        names: Any = tuple(one.name for one in self.measures)
        try:
            assert self.field is not None
            laid = laid_stops(self.session, ground, names) if ground is not None else ()
            self.walked = start_round(
                self.session.phone, self.session.enrolment, self.field, names, laid, self.once
            )
            self._remember()
        except GoodgroundError as error:
            self.notice = self.session.trouble(error)
            return
        self._blank()

    def _remember(self) -> None:
        for measure in self.measures:
            kept = {ask.key: self.once[ask.key] for ask in measure.once if ask.key in self.once}
            self.session.phone.book.keep_setting(f"asked.{measure.name}", json.dumps(kept))

    def _save_measure(self) -> None:
        measure = self.measures[self.at]
        self.notice = self._missing(measure) or self._far(measure)
        if self.notice:
            return
        values = {key: keyed.value for key, keyed in self.figures.items()}
        assert self.walked is not None
        self.bodies.append(measure.body(values, {**self.walked.asked, **self.answers}))
        if self.at + 1 < len(self.measures):
            self.at += 1
            self._blank_measure()
            return
        self._save_stop()

    def _missing(self, measure: Measure) -> str:
        for slot in measure.slots:
            if slot.needed and self.figures[slot.key].value is None:
                self.active = slot.key
                return self.say("round.figure_first", figure=self.say(f"slot.{slot.key}"))
        for ask in measure.asks:
            if ask.needed and ask.key not in self.answers:
                return self.say("round.say_first", question=self.say(f"ask.{ask.key}.question"))
        return ""

    def _far(self, measure: Measure) -> str:
        """A figure far from the last one asks once; saved again it stands."""
        if not measure.slots or self.asked_far or self.walked is None:
            return ""
        slot = measure.slots[0]
        now, last = self.figures[slot.key].value, self._last(measure)
        if now is None or not last or now == 0 or max(now / last, last / now) <= FAR:
            return ""
        self.asked_far = True
        unit = self.say(f"unit.{slot.unit}")
        return self.say("round.far", now=now, last=last, unit=unit)

    def _last(self, measure: Measure) -> Decimal | None:
        """What this measure's first figure was at the last stop of this round."""
        for saved in reversed(self.saved):
            value = getattr(saved.entry.body, measure.slots[0].key, None)
            if isinstance(value, Decimal):
                return value
        return None

    def _save_stop(self) -> None:
        stop = self.stop
        assert stop is not None
        try:
            self.walked, self.saved = save_stop(self.session.phone, self.session.enrolment, stop, self.bodies)
        except (GoodgroundError, BookTrouble) as error:
            self.notice = self.session.trouble(error)
            self.bodies.pop()
            return
        self.session.saved()
        self.said = meaning_of(self.session, self.walked, self.saved)
        self._blank()

    def undo(self) -> None:
        if not self.saved:
            return
        try:
            for saved in self.saved:
                undo(self.session.phone, saved)
            stop = self.saved[0].entry.stop
            if stop is not None:
                self.walked = undo_stop(self.session.phone, self.session.enrolment, stop)
            self.said = SaidView(self.say("undone"))
        except UndoTooLate:
            self.said = SaidView(self.session.trouble(UndoTooLate()))
        except GoodgroundError as error:
            self.notice = self.session.trouble(error)
        self.saved = ()
        self._blank()
        self.changed()

    def _finish(self) -> None:
        try:
            finish_round(self.session.phone, self.session.enrolment)
        except GoodgroundError as error:
            self.notice = self.session.trouble(error)
            return
        self.walked = None
        self.said, self.saved = None, ()
        self.session.go("here")
