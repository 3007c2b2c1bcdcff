"""Round: what is asked once, one stop after the other, how it came out."""

from __future__ import annotations

import json
from collections.abc import Sequence
from decimal import Decimal
from typing import Any
from uuid import UUID

from mobile.actions.finish_round import finish_round
from mobile.actions.land import field
from mobile.actions.more_stops import more_stops
from mobile.actions.round import round_in_progress
from mobile.actions.save_stop import save_stop, skip_stop, undo_stop
from mobile.actions.start_round import start_round
from mobile.actions.strike import undo
from mobile.presenters.buffer_words import stop_elsewhere
from mobile.presenters.figure import Keyed
from mobile.presenters.lines import SaidView
from mobile.presenters.measures import MEASURES, Measure
from mobile.presenters.round_said import meaning_of
from mobile.presenters.round_shown import RoundShown
from mobile.presenters.round_taken import ASK, GO_ON, unfinished
from mobile.presenters.round_walk import laid_stops
from mobile.trouble import BookTrouble, UndoTooLate
from shared.errors import GoodgroundError
from shared.words.field import Field

FAR = Decimal(2)
"""A figure twice the last one, or less than half of it, is asked about once."""


class RoundPresenter(RoundShown):
    """``facts["round"]`` of the session says where and what: a field and the measures."""

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
            return
        ground = self._ground()
        self.open = None if ground is None else unfinished(self.session, ground, wanted["measures"])
        if self.open is None and not self._once_asks():
            self._start()

    def _ground(self) -> Field | None:
        return None if self.field is None else field(self.session.phone, self.session.enrolment, self.field)

    def _take_up(self, field_id: UUID, measures: Sequence[str]) -> None:
        self.field = field_id
        self.measures = tuple(MEASURES[name] for name in measures)
        self.once, self.open, self.taken = {}, None, ""
        for measure in self.measures:
            kept = json.loads(self.session.phone.book.setting(f"asked.{measure.name}") or "{}")
            self.once |= {ask.key: kept[ask.key] for ask in measure.once if kept.get(ask.key) in ask.options}
        self._blank()

    def _blank(self) -> None:
        """An empty stop. What was chosen at the last one is not carried over: a copied answer proves nothing."""
        self.at, self.bodies, self.asked_where = 0, [], False
        self._blank_measure()

    def _blank_measure(self) -> None:
        measure = self.measures[self.at]
        self.figures = {slot.key: Keyed(slot.parts) for slot in measure.slots}
        self.answers = {}
        self.active = measure.slots[0].key if measure.slots else ""
        self.asked_far = False
        self.notice = ""

    def tick(self) -> None:
        self.changed()

    def back(self) -> None:
        if self.is_plan:
            self.is_plan = False
            self.changed()
        else:
            self.session.go("here")

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
        if key == ASK:
            self.taken = name
        elif self.face == "once":
            self._answer_once(key, name)
        else:
            self.answers[key] = name
        self.notice = ""
        self.changed()

    def _answer_once(self, key: str, name: str) -> None:
        """What needn't be answered is taken back by a second tap; another cover asks other things."""
        ask = next((one for one in self._once_asks() if one.key == key), None)
        if ask is not None and not ask.needed and self.once.get(key) == name:
            del self.once[key]
        else:
            self.once[key] = name
        asked = {one.key for one in self._once_asks()} | {"other_text"}
        self.once = {key: name for key, name in self.once.items() if key in asked}

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
        """More stops, where those that are in can't say; on the sketch, the stop passed by."""
        if self.face == "plan":
            self._skip()
            return
        self.more += max(1, self._end().more)
        self._lay_more()
        self.changed()

    def _skip(self) -> None:
        assert self.walked is not None
        if self.walked.stops and self.stop is not None:
            self.walked = skip_stop(self.session.phone, self.session.enrolment, self.stop)
        self.is_plan = False
        self._blank()
        self.changed()

    def _lay_more(self) -> None:
        walked = self.walked
        assert walked is not None
        ground = field(self.session.phone, self.session.enrolment, walked.field)
        if walked.stops and ground is not None:
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
        if self.open is not None and not self.taken:
            self.notice = self.say("round_taken.say_first")
            return
        ground = self._ground()
        names: Any = tuple(one.name for one in self.measures)
        taken = self.open if self.taken == GO_ON else None
        try:
            assert self.field is not None
            left = 0 if taken is None else self._count() - taken.stops
            laid = laid_stops(self.session, ground, names, left) if ground is not None else ()
            self.walked = start_round(
                self.session.phone, self.session.enrolment, self.field, names, laid, self.once, taken=taken
            )
            self._remember()
        except GoodgroundError as error:
            self.notice = self.session.trouble(error)
            return
        self._blank()

    def _remember(self) -> None:
        for measure in self.measures:
            kept = {ask.key: self.once[ask.key] for ask in measure.once if ask.kept and ask.key in self.once}
            self.session.phone.book.keep_setting(f"asked.{measure.name}", json.dumps(kept))

    def _save_measure(self) -> None:
        measure = self.measures[self.at]
        self.notice = self._missing(measure) or self._far(measure) or self._elsewhere()
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

    def _elsewhere(self) -> str:
        """A stop outside the field or within a buffer asks once, where the receiver is sure; saved again it stands."""
        ground = self._ground()
        if self.asked_where or self.at or ground is None:
            return ""
        told = stop_elsewhere(self.session, ground)
        self.asked_where = bool(told)
        return told

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
