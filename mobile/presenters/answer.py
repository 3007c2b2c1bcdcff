"""Answer what the evening reading asks about one entry."""

from __future__ import annotations

from uuid import UUID

from mobile.actions.answer_query import answer_query, open_queries
from mobile.presenters.entry_words import titled, told
from mobile.presenters.lines import ChoiceView, FormView, LineView, RowView, SaidView, TextView, TypedView
from mobile.presenters.presenter import Presenter
from mobile.presenters.session import Session
from shared.errors import GoodgroundError
from shared.languages import has, say
from shared.status.standing import plain
from shared.words.entry import Written
from shared.words.verdict import Asked

STOCK = ("right", "wrong", "not_sure")


class AnswerPresenter(Presenter):
    home = "wrote"

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.query: UUID | None = None
        self.chosen = ""
        self.text = ""

    def entered(self) -> None:
        self.query = self.session.facts.pop("query", self.query)
        self.chosen, self.text, self.notice = "", "", ""

    def _asked(self) -> Asked | None:
        person = self.session.person
        if person is None:
            return None
        asked = open_queries(self.session.phone, self.session.enrolment, person.id)
        return next((one for one in asked if one.id == self.query), None)

    def view(self) -> FormView:
        asked = self._asked()
        lines: list[LineView] = [] if asked is None else self._question(asked)
        options = tuple((one, self.say(f"answer.stock.{one}")) for one in STOCK)
        lines.append(ChoiceView("stock", "", options, (self.chosen,) if self.chosen else (), 1))
        lines.append(TypedView("text", self.say("answer.label"), self.text, tall=True))
        return FormView(
            title=self.say("answer.title"),
            lines=tuple(lines),
            notice=self.notice,
            back=self.say("back"),
            save=self.say("answer.save"),
            **self.turning(),
        )

    def _question(self, asked: Asked) -> list[LineView]:
        language = self.session.language
        stock = f"reading.ask.{asked.ask}"
        text = asked.text or (say(language, stock) if has(language, stock) else asked.ask or "")
        lines: list[LineView] = [TextView("question", text, bold=True)]
        own = self.session.phone.book.own(self.session.enrolment, asked.about)
        if own is not None:
            fact = plain(Written(own.entry, own.sha, self.session.farm.phone, own.line))
            lines.append(
                RowView(
                    "about",
                    titled(self.session, fact),
                    told(self.session, fact.body),
                    plain=True,
                    stacked=True,
                )
            )
        return lines

    def pick(self, key: str, name: str) -> None:
        self.chosen, self.notice = name, ""
        self.changed()

    def write(self, key: str, text: str) -> None:
        self.text = text

    def save(self) -> None:
        asked = self._asked()
        if asked is None or not (self.chosen or self.text.strip()):
            self.notice = self.say("answer.first")
            self.changed()
            return
        try:
            answer_query(
                self.session.phone,
                self.session.enrolment,
                asked,
                self.chosen or None,
                self.text.strip() or None,
            )
        except GoodgroundError as error:
            self.notice = self.session.trouble(error)
            self.changed()
            return
        self.session.saved()
        self.session.facts["said"] = (SaidView(self.say("answer.saved")), None)
        self.session.go("here")
