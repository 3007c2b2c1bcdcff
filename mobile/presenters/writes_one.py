"""A page that writes one entry: its questions, its figures on the pad, its typed words; then what it means."""

from __future__ import annotations

from dataclasses import replace
from typing import Any
from uuid import UUID

from mobile.actions.correct import correct
from mobile.actions.land import fields
from mobile.actions.own import as_written
from mobile.actions.save_entry import NewEntry, Saved, save_entry
from mobile.presenters.correcting import WHY, filled_in, why_corrected, with_unasked
from mobile.presenters.entry_words import as_it_stands, told
from mobile.presenters.field_words import field_name
from mobile.presenters.figure import Keyed
from mobile.presenters.lines import ChoiceView, FormView, LineView, RowView, SaidView, SlotView
from mobile.presenters.measures import Ask, Slot
from mobile.presenters.presenter import Presenter
from mobile.presenters.round_said import sentence
from mobile.presenters.session import Session
from shared.errors import GoodgroundError
from shared.languages import DECIMAL_MARK
from shared.status.fact import Fact
from shared.status.standing import plain
from shared.words.bodies import Body

WHERE = "on_field"


class WritesOne(Presenter):
    """``facts["field"]`` of the session says where. A child says what is asked and makes the body."""

    moves = True
    """Whether it may have been written on the wrong field: what it tells is of a field."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.field: UUID | None = None
        self._clear()

    def _clear(self) -> None:
        self.answers: dict[str, str] = {}
        self.figures: dict[str, Keyed] = {}
        self.typed: dict[str, str] = {}
        self.active = ""
        self.notice = ""
        self.correcting: Fact | None = None
        self.why = ""
        self.placing = False

    def entered(self) -> None:
        self.field = self.session.facts.pop("field", None)
        fact: Fact | None = self.session.facts.pop("correcting", None)
        self._clear()
        self.home = type(self).home
        if fact is not None:
            self.begin_correcting(fact)

    def begin_correcting(self, fact: Fact) -> None:
        """The same page with what the entry says filled in; what is saved then replaces it."""
        self.correcting, self.field, self.home = fact, fact.field, "entry"
        kept = filled_in(fact.body)
        self.answers |= kept.answers
        self.figures |= kept.figures
        self.typed |= kept.typed

    # what a child says

    def title(self) -> str:
        raise NotImplementedError

    def lines(self) -> list[LineView]:
        raise NotImplementedError

    def slots(self) -> tuple[Slot, ...]:
        return ()

    def missing(self) -> str:
        """What must be said before it can be saved; empty where all is."""
        return ""

    def body(self) -> Body:
        raise NotImplementedError

    def entry(self) -> NewEntry:
        return NewEntry(body=self.body(), field=self.field)

    def caution(self) -> str:
        return ""

    def asked(self) -> set[str]:
        """The keys that this page has the word on when it corrects: what is not asked stays as it was."""
        return {one.key for one in (*self.lines(), *self.slots())}

    # what is shown

    def view(self) -> FormView:
        slots = self.slots()
        for slot in slots:
            self.figures.setdefault(slot.key, Keyed(slot.parts))
        if self.active not in {slot.key for slot in slots}:
            self.active = slots[0].key if slots else ""
        active = next((slot for slot in slots if slot.key == self.active), None)
        title, lines = self.title(), self.lines()
        if self.correcting is not None:
            title = self.say("entry.correct_title", what=title)
            if self.placing:
                return self._fields_page(title)
            lines = [why_corrected(self.session, self.why), *lines, *self._field_row()]
        return FormView(
            title=title,
            under=field_name(self.session, self.field),
            lines=tuple(lines),
            notice=self.notice,
            caution=self.caution(),
            slots=tuple(self._slot(slot) for slot in slots),
            mark=DECIMAL_MARK[self.session.language] if active is not None and active.parts else "",
            rub_out=self.say("rub_out"),
            back=self.say("back"),
            pad=self.say("figures") if slots else "",
            save=self.say("save" if self.correcting is None else "entry.save_correction"),
            **self.turning(),
        )

    def _field_row(self) -> list[LineView]:
        """The field that it was written on; a tap chooses another."""
        if not self.moves:
            return []
        return [RowView(WHERE, self.say("entry.which_field"), field_name(self.session, self.field))]

    def _fields_page(self, title: str) -> FormView:
        known = fields(self.session.phone, self.session.enrolment)
        rows = tuple(RowView(f"{WHERE}.{one.id}", one.name, heavy=one.id == self.field) for one in known)
        return FormView(
            title=title,
            under=self.say("entry.which_field"),
            lines=rows,
            back=self.say("back"),
            **self.turning(),
        )

    def _slot(self, slot: Slot) -> SlotView:
        shown = self.figures[slot.key].shown(self.session.language)
        unit = self.say(f"unit.{slot.unit}")
        name = self.say(f"slot.{slot.key}")
        return SlotView(
            slot.key,
            self.say("slot.named", slot=name, unit=unit) if unit else name,
            shown,
            "",
            slot.key == self.active,
        )

    def ask(self, ask: Ask) -> ChoiceView:
        chosen = self.answers.get(ask.key)
        return ChoiceView(
            ask.key,
            self.say(f"ask.{ask.key}.question") if ask.titled else "",
            tuple((one, self.say(f"ask.{ask.key}.{one.replace('-', '_')}")) for one in ask.options),
            (chosen,) if chosen else (),
            ask.across,
        )

    def values(self) -> dict[str, Any]:
        """The figures that were keyed in, by their keys."""
        wanted = {slot.key for slot in self.slots()}
        return {
            key: one.value for key, one in self.figures.items() if key in wanted and one.value is not None
        }

    # taps

    def pick(self, key: str, name: str) -> None:
        if key == WHY:
            self.why = name
        elif self.answers.get(key) == name:
            del self.answers[key]
        else:
            self.answers[key] = name
        self.notice = ""
        self.changed()

    def tap(self, key: str) -> None:
        if key == WHERE:
            self.placing = True
        elif key.startswith(f"{WHERE}."):
            self._move_to(UUID(key.removeprefix(f"{WHERE}.")))
        self.changed()

    def _move_to(self, field: UUID) -> None:
        """A part is a part of its own field."""
        if field != self.field:
            self.field = field
            self.answers.pop("part", None)
        self.placing = False

    def back(self) -> None:
        if self.placing:
            self.placing = False
            self.changed()
        else:
            super().back()

    def write(self, key: str, text: str) -> None:
        self.typed[key] = text

    def key(self, key: str) -> None:
        if self.active:
            self.figures[self.active].key(key)
        self.notice = ""
        self.changed()

    def pick_slot(self, key: str) -> None:
        self.active = key
        self.changed()

    def save(self) -> None:
        self.notice = self.missing()
        if self.correcting is not None and not self.why:
            self.notice = self.say("entry.reason_first")
        if not self.notice:
            self._save()
        self.changed()

    def _save(self) -> None:
        if self.correcting is not None:
            self._save_correction(self.correcting)
            return
        try:
            saved = save_entry(self.session.phone, self.session.enrolment, self.entry())
        except GoodgroundError as error:
            self.notice = self.session.trouble(error)
            return
        self.session.saved()
        self.session.facts["said"] = (self._meaning(saved), saved)
        self.session.go("here")

    def _save_correction(self, fact: Fact) -> None:
        """What this page does not ask stays as it was."""
        asked = self.asked()
        try:
            new = self.entry()
            stands = as_it_stands(self.session, fact)
            if self.field != fact.field:
                stands = replace(stands, field=self.field, part=None, land=None)
            if "part" in asked:
                stands = replace(stands, part=new.part)
            if "when" in self.answers:
                stands = replace(stands, done_at=new.done_at)
            body = with_unasked(new.body, fact.body, asked)
            why = self.say(f"ask.{WHY}.{self.why}")
            correct(self.session.phone, self.session.enrolment, stands, body, why)
        except GoodgroundError as error:
            self.notice = self.session.trouble(error)
            return
        self.session.saved()
        self.session.facts["entry"] = fact.id
        self.session.go("entry")

    def _meaning(self, saved: Saved) -> SaidView:
        own = self.session.phone.book.own(self.session.enrolment, saved.entry.id)
        assert own is not None
        shown = sentence(self.session, plain(as_written(self.session.farm, own)))
        text = shown[0] if shown else self.say("round.saved", what=told(self.session, saved.entry.body))
        return replace(SaidView(text, self.say("undo")), wrong=bool(shown and shown[1]))

    def once_a_day(self, name: str) -> str:
        """A caution, once a day: until something was saved under it."""
        setting = f"caution.{name}"
        today = self.session.today().isoformat()
        if self.session.phone.book.setting(setting) == today:
            return ""
        return self.say(f"caution.{name}")

    def caution_read(self, name: str) -> None:
        self.session.phone.book.keep_setting(f"caution.{name}", self.session.today().isoformat())
