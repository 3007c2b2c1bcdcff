"""One entry: what it says and how it stands; correct it, or strike it with a reason."""

from __future__ import annotations

from dataclasses import replace
from uuid import UUID

from mobile.actions.choose_person import people
from mobile.actions.own import hands, own_facts
from mobile.actions.strike import strike
from mobile.presenters.entry_words import as_it_stands, titled, told
from mobile.presenters.field_words import field_name
from mobile.presenters.in_place import ASKED
from mobile.presenters.lines import ChoiceView, FormView, LineView, RowView
from mobile.presenters.presenter import Presenter
from mobile.presenters.session import Session
from mobile.trouble import NobodyChosen, NoSuchEntry
from shared.errors import GoodgroundError
from shared.languages.stock import said_again
from shared.status.fact import Fact

STRUCK_FOR = ("wrong_field", "wrong_truck", "wrong_figure", "twice", "not_done", "other")
PAGES = {
    "load": "load_correct", "work": "work", "ground": "ground", "sample": "sample", "note": "note",
    "occurrence": "note", "pile_check": "note", "spade": "note", "calibrate": "note",
    **dict.fromkeys(ASKED, "in_place"),
}  # fmt: skip
"""The page that each kind is put right on, filled in: the one that wrote it, where it has one."""


class EntryPresenter(Presenter):
    home = "wrote"

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.id: UUID | None = None
        self.face = "entry"
        self.why = ""

    def entered(self) -> None:
        self.id = self.session.facts.get("entry", self.id)
        self.face, self.why, self.notice = "entry", "", ""

    def _fact(self) -> Fact:
        """As it stands now."""
        if self.id is None:
            raise NobodyChosen
        known = own_facts(self.session.phone, self.session.enrolment, [self.id])
        if self.id not in known:
            raise NoSuchEntry(self.id)
        return known[self.id]

    def view(self) -> FormView:
        fact = self._fact()
        shown = FormView(
            title=titled(self.session, fact),
            under=field_name(self.session, fact.field),
            notice=self.notice,
            back=self.say("back"),
            **self.turning(),
        )
        if self.face == "strike":
            reasons = self._reasons("struck_for", STRUCK_FOR)
            return replace(
                shown, lines=(reasons,), caution=self._another_wrote(fact), save=self.say("entry.strike")
            )
        if self._own_state() == "refused":
            return replace(shown, lines=tuple(self._told(fact)), caution=self.say("entry.too_large"))
        can = not fact.struck and fact.kind in PAGES
        return replace(
            shown,
            lines=tuple(self._told(fact)),
            caution="" if fact.struck else self._another_wrote(fact),
            extra="" if fact.struck else self.say("entry.strike"),
            save=self.say("entry.correct") if can else "",
        )

    def _another_wrote(self, fact: Fact) -> str:
        """Another's entry is put right by the manager's word (contract, W2): it is said before, not found after."""
        phone, enrolment = self.session.phone, self.session.enrolment
        me = self.session.person
        if me is None or fact.by == me.id or me.id in hands(phone, enrolment).managers:
            return ""
        writer = next((one.name for one in people(phone, enrolment) if one.id == fact.by), "")
        return self.say("entry.another_wrote", person=writer or self.say("entry.somebody"))

    def _own_state(self) -> str:
        assert self.id is not None
        own = self.session.phone.book.own(self.session.enrolment, self.id)
        return "" if own is None else own.state

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
            lines.append(self._why("entry.why", fact.corrected_why))
        if fact.struck:
            lines.append(self._why("entry.struck", fact.struck_why))
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

    def back(self) -> None:
        if self.face == "entry":
            super().back()
        else:
            self.face, self.notice = "entry", ""
            self.changed()

    def extra(self) -> None:
        self.face, self.why = "strike", ""
        self.changed()

    def pick(self, key: str, name: str) -> None:
        self.why, self.notice = name, ""
        self.changed()

    def save(self) -> None:
        if self.face == "entry":
            self._begin_correcting()
        elif not self.why:
            self.notice = self.say("entry.reason_first")
        else:
            self._strike()
        self.changed()

    def _begin_correcting(self) -> None:
        fact = self._fact()
        self.session.facts["correcting"] = fact
        self.session.go(PAGES[fact.kind])

    def _strike(self) -> None:
        entry = as_it_stands(self.session, self._fact())
        why = self.say(f"ask.struck_for.{self.why}")
        try:
            strike(self.session.phone, self.session.enrolment, entry, why)
        except GoodgroundError as error:
            self.notice = self.session.trouble(error)
            return
        self.session.saved()
        self.face = "entry"
