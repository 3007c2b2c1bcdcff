"""One entry: what it says and how it stands; correct it, or strike it with a reason."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Any
from uuid import UUID

from mobile.actions.correct import correct
from mobile.actions.own import as_written
from mobile.actions.strike import strike
from mobile.presenters.correcting import why_corrected
from mobile.presenters.entry_words import as_it_stands, titled, told
from mobile.presenters.field_words import field_name
from mobile.presenters.figure import Keyed
from mobile.presenters.lines import ChoiceView, FormView, LineView, RowView, SlotView
from mobile.presenters.measures import MEASURES
from mobile.presenters.presenter import Presenter
from mobile.presenters.session import Session
from mobile.presenters.wrote import PAGE
from mobile.trouble import NobodyChosen, NoSuchEntry
from shared.errors import GoodgroundError
from shared.languages import DECIMAL_MARK
from shared.languages.stock import said_again
from shared.status.fact import Fact
from shared.status.standing import standing
from shared.words.bodies import Body

STRUCK_FOR = ("wrong_field", "wrong_truck", "wrong_figure", "twice", "not_done", "other")
FIGURES: dict[str, tuple[tuple[str, str, bool], ...]] = {
    **{name: tuple((s.key, s.unit, s.parts) for s in one.slots) for name, one in MEASURES.items()},
}
"""What can be keyed in anew here: key, unit, whether it has decimals."""
PAGES = {
    "load": "load_correct", "work": "work", "ground": "ground", "sample": "sample", "note": "note",
    "occurrence": "note", "pile_check": "note", "spade": "note", "calibrate": "note",
}  # fmt: skip
"""The page that wrote each other kind: it is opened again, filled in."""


class EntryPresenter(Presenter):
    home = "wrote"

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.id: UUID | None = None
        self.face = "entry"
        self.why = ""
        self.figures: dict[str, Keyed] = {}
        self.answers: dict[str, str] = {}
        self.active = ""

    def entered(self) -> None:
        self.id = self.session.facts.get("entry", self.id)
        self.face, self.why, self.notice = "entry", "", ""

    def _fact(self) -> Fact:
        """As it stands now. What names an entry is newer than it, so the reading goes back to it and no further."""
        who, known, before = self.session.farm, [], None
        while not any(line.id == self.id for line in known):
            page = self.session.phone.book.written(who.id, before, PAGE)
            if not page:
                raise NoSuchEntry(self.id) if self.id is not None else NobodyChosen
            known += page
            before = page[-1].place
        facts = standing([as_written(who, line) for line in known]).facts
        return next(one for one in facts if one.id == self.id)

    def view(self) -> FormView:
        fact = self._fact()
        shown = FormView(
            title=titled(self.session, fact),
            under=field_name(self.session, fact.field),
            notice=self.notice,
            back=self.say("back"),
            rub_out=self.say("rub_out"),
            go_on=self.say("entry.figures"),
            **self.turning(),
        )
        if self.face == "strike":
            return replace(
                shown, lines=(self._reasons("struck_for", STRUCK_FOR),), save=self.say("entry.strike")
            )
        if self.face == "correct":
            return self._correcting(shown, fact)
        can = not fact.struck and fact.kind in (*FIGURES, *PAGES)
        return replace(
            shown,
            lines=tuple(self._told(fact)),
            extra="" if fact.struck else self.say("entry.strike"),
            save=self.say("entry.correct") if can else "",
        )

    def _told(self, fact: Fact) -> list[LineView]:
        lines: list[LineView] = [
            RowView(
                "now",
                self.say("entry.says"),
                told(self.session, fact.body),
                value_struck=fact.struck,
                plain=True,
            )
        ]
        if fact.before is not None:
            before = told(self.session, fact.before)
            lines.append(RowView("before", self.say("entry.before"), before, value_struck=True, plain=True))
            lines.append(
                RowView(
                    "why",
                    self.say("entry.why"),
                    said_again(self.session.language, fact.corrected_why),
                    plain=True,
                )
            )
        if fact.struck:
            lines.append(
                RowView(
                    "why",
                    self.say("entry.struck"),
                    said_again(self.session.language, fact.struck_why),
                    plain=True,
                )
            )
        own = self.session.phone.book.own(self.session.enrolment, fact.id)
        if own is not None:
            number = own.number or 0
            key = f"entry.state.{own.state}"
            lines.append(
                RowView(
                    "state", self.say("entry.stands"), self.say(key, line=own.line, number=number), plain=True
                )
            )
        return lines

    def _why(self, label: str, why: str) -> RowView:
        return RowView("why", self.say(label), said_again(self.session.language, why), plain=True)

    def _reasons(self, key: str, reasons: tuple[str, ...]) -> ChoiceView:
        options = tuple((one, self.say(f"ask.{key}.{one}")) for one in reasons)
        return ChoiceView(key, self.say(f"ask.{key}.question"), options, (self.why,) if self.why else (), 2)

    def _correcting(self, shown: FormView, fact: Fact) -> FormView:
        lines: list[LineView] = [why_corrected(self.session, self.why)]
        measure = MEASURES.get(fact.kind)
        for ask in (*measure.once, *measure.asks) if measure is not None else ():
            options = tuple((one, self.say(f"ask.{ask.key}.{one.replace('-', '_')}")) for one in ask.options)
            chosen = self.answers.get(ask.key)
            question = self.say(f"ask.{ask.key}.question")
            lines.append(ChoiceView(ask.key, question, options, (chosen,) if chosen else (), ask.across))
        active = next((one for one in FIGURES.get(fact.kind, ()) if one[0] == self.active), None)
        return replace(
            shown,
            title=self.say("entry.correct_title", what=shown.title),
            lines=tuple(lines),
            slots=tuple(self._slot(*one) for one in FIGURES.get(fact.kind, ())),
            mark=DECIMAL_MARK[self.session.language] if active is not None and active[2] else "",
            save=self.say("entry.save_correction"),
        )

    def _slot(self, key: str, unit: str, _: bool) -> SlotView:
        shown = self.figures[key].shown(self.session.language)
        named = self.say("slot.named", slot=self.say(f"slot.{key}"), unit=self.say(f"unit.{unit}"))
        return SlotView(key, named, shown, "", key == self.active)

    def back(self) -> None:
        if self.face == "entry":
            super().back()
        else:
            self.face, self.notice = "entry", ""
            self.changed()

    def extra(self) -> None:
        self.face, self.why = "strike", ""
        self.changed()

    def key(self, key: str) -> None:
        if self.active:
            self.figures[self.active].key(key)
        self.changed()

    def pick_slot(self, key: str) -> None:
        self.active = key
        self.changed()

    def pick(self, key: str, name: str) -> None:
        if key in ("struck_for", "corrected_for"):
            self.why = name
        else:
            self.answers[key] = name
        self.notice = ""
        self.changed()

    def save(self) -> None:
        if self.face == "entry":
            self._begin_correcting()
        elif not self.why:
            self.notice = self.say("entry.reason_first")
        else:
            self._save()
        self.changed()

    def _begin_correcting(self) -> None:
        fact = self._fact()
        if fact.kind in PAGES:
            self.session.facts["correcting"] = fact
            self.session.go(PAGES[fact.kind])
            return
        self.face, self.why = "correct", ""
        body: Any = fact.body
        specs = FIGURES.get(fact.kind, ())
        self.figures = {key: Keyed(parts, _text(getattr(body, key))) for key, _, parts in specs}
        self.active = specs[0][0] if specs else ""
        measure = MEASURES.get(fact.kind)
        self.answers = (
            {ask.key: _answer(getattr(body, ask.key)) for ask in (*measure.once, *measure.asks)}
            if measure
            else {}
        )

    def _save(self) -> None:
        fact = self._fact()
        phone, enrolment = self.session.phone, self.session.enrolment
        entry = as_it_stands(self.session, fact)
        why = self.say(f"ask.{'struck_for' if self.face == 'strike' else 'corrected_for'}.{self.why}")
        try:
            if self.face == "strike":
                strike(phone, enrolment, entry, why)
            else:
                correct(phone, enrolment, entry, self._body(fact.body), why)
        except GoodgroundError as error:
            self.notice = self.session.trouble(error)
            return
        self.session.saved()
        self.face = "entry"

    def _body(self, body: Any) -> Body:
        changed: dict[str, Any] = {key: keyed.value for key, keyed in self.figures.items()}
        for key, said in self.answers.items():
            changed[key] = (said,) if key == "classes" else said or None
        new: Body = replace(body, **changed)
        return new


def _text(value: Decimal | None) -> str:
    return "" if value is None else format(value, "f")


def _answer(value: Any) -> str:
    return str(value[0]) if isinstance(value, tuple) and value else str(value or "")
