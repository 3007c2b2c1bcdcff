"""What I wrote: newest first, queries on top; corrected and struck ones stay readable."""

from __future__ import annotations

from uuid import UUID

from mobile.actions.answer_query import open_queries
from mobile.actions.own import own_facts
from mobile.ports import OwnLine
from mobile.presenters.entry_words import titled, told
from mobile.presenters.field_words import field_name
from mobile.presenters.lines import FormView, LineView, RowView, TextView
from mobile.presenters.presenter import Presenter
from mobile.presenters.session import Session
from shared.languages.stock import said_again
from shared.status.fact import Fact
from shared.words.bodies.reading import UNDONE_AT_ONCE
from shared.words.verdict import Asked

PAGE = 30
NAMING = ("correction", "strike")


class WrotePresenter(Presenter):
    """One page of entries at a time, each read with what names it, so that fifty thousand cost no more than fifty."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.befores: list[int | None] = [None]
        self.last: int | None = None

    def entered(self) -> None:
        self.befores = [None]

    def view(self) -> FormView:
        shown = self._lines(self.befores[-1])
        self.last = shown[-1].place if shown else None
        first = len(self.befores) == 1
        lines: list[LineView] = [self._query(one) for one in self._asked()] if first else []
        lines += self._rows(shown)
        older = len(shown) == PAGE
        if not lines and not older:
            lines = [TextView("empty", self.say("wrote.empty"))]
        if older:
            lines.append(RowView("older", self.say("wrote.older"), stacked=True))
        return FormView(
            title=self.say("wrote.title"),
            under=self.session.waiting(),
            lines=tuple(lines),
            said=self.said,
            notice=self.notice,
            back=self.say("back"),
            extra="" if first else self.say("wrote.newer"),
            **self.turning(),
        )

    def _lines(self, before: int | None) -> tuple[OwnLine, ...]:
        return self.session.phone.book.written(self.session.enrolment, before, PAGE)

    def _asked(self) -> tuple[Asked, ...]:
        person = self.session.person
        return () if person is None else open_queries(self.session.phone, self.session.enrolment, person.id)

    def _query(self, asked: Asked) -> RowView:
        stock = self.say(f"query.{asked.ask}") if asked.ask else ""
        return RowView(
            f"query.{asked.id}", self.say("wrote.query"), asked.text or stock, heavy=True, stacked=True
        )

    def _rows(self, lines: tuple[OwnLine, ...]) -> list[LineView]:
        facts = own_facts(self.session.phone, self.session.enrolment, [line.id for line in lines])
        rows: list[LineView] = []
        undone = 0
        for line in lines:
            fact = facts.get(line.id)
            if fact is None:
                continue
            if fact.struck_why == UNDONE_AT_ONCE:
                undone += 1
            else:
                rows.append(self._row(line, fact))
        if undone:
            rows.append(RowView("undone", self.say("wrote.undone", count=undone), plain=True))
        return rows

    def _row(self, line: OwnLine, fact: Fact) -> RowView:
        what = told(self.session, fact.body)
        if fact.before is not None and not fact.struck:
            what = self.say("wrote.corrected", now=what, before=told(self.session, fact.before))
        parts = {"what": what, "field": field_name(self.session, fact.field), "time": self._time(fact)}
        key = "wrote.row" if fact.field is not None else "wrote.row_no_field"
        wrong = line.state in ("held", "refused")
        value = self.say(key, **parts)
        if wrong:
            value = self.say(f"wrote.{line.state}", row=value)
        elif fact.struck:
            value = self.say(
                "wrote.struck", row=value, why=said_again(self.session.language, fact.struck_why)
            )
        elif line.state == "waiting":
            value = self.say("wrote.waiting", row=value)
        return RowView(str(line.id), titled(self.session, fact), value, wrong, fact.struck, stacked=True)

    def _time(self, fact: Fact) -> str:
        """As the phone's clock had it: one that stood at the ends of time is told as it was written."""
        made, on = fact.made_at, fact.made_at.day(self.session.zone)
        if made.utc is None or on is None:
            return made.text
        return self.say("at_time", day=self.session.on(on), time=self.session.clock(made.utc))

    def tap(self, key: str) -> None:
        if key == "older":
            self.befores.append(self.last)
            self.changed()
        elif key.startswith("query."):
            self.session.facts["query"] = UUID(key.removeprefix("query."))
            self.session.go("answer")
        else:
            self.session.facts["entry"] = UUID(key)
            self.session.go("entry")

    def extra(self) -> None:
        self.befores.pop()
        self.changed()
