"""Next jobs: what is due, in the order to drive it, those put to this person first; and why not the rest."""

from __future__ import annotations

from uuid import UUID

from mobile.actions.days_jobs import jobs_of
from mobile.actions.land import dues, field, parts, piles
from mobile.presenters.due_words import job_line, why_line
from mobile.presenters.here import ROUND_OF, WRITES_WORK
from mobile.presenters.lines import FormView, LineView, RowView, TextView
from mobile.presenters.presenter import Presenter
from shared.ahead.day_order import Day, LeftOut, Placed
from shared.words.due import Due

LEFT_SHOWN = 12
"""So many jobs are told why not; what is over is counted."""


class NextJobsPresenter(Presenter):
    """A tap on a job opens what is written of it, in its field."""

    home = "more"

    def view(self) -> FormView:
        person = self.session.person
        day = jobs_of(
            self.session.phone, self.session.enrolment, person.id if person else None, self.session.today()
        )
        return FormView(
            title=self.say("next_jobs.title"),
            under=self.say("next_jobs.under"),
            lines=tuple(self._lines(day, person.id if person else None)),
            back=self.say("back"),
            **self.turning(),
        )

    def _lines(self, day: Day, person: UUID | None) -> list[LineView]:
        mine = [one for one in day.jobs if person is not None and one.due.person == person]
        mine.sort(key=lambda one: (one.due.place is None, one.due.place or 0, one.place))
        rest = [one for one in day.jobs if one not in mine]
        lines: list[LineView] = []
        for title, several in (("mine", mine), ("order", rest)):
            if several:
                lines.append(TextView(title, self.say(f"next_jobs.{title}"), bold=True))
                lines += [self._row(one) for one in several]
        if not day.jobs:
            lines.append(TextView("none", self.say("next_jobs.none")))
        if day.left_out:
            lines.append(TextView("why_not", self.say("next_jobs.why_not"), bold=True))
            lines += [self._left(one) for one in day.left_out[:LEFT_SHOWN]]
            more = len(day.left_out) - LEFT_SHOWN
            if more > 0:
                lines.append(TextView("more", self.say("next_jobs.more", count=more)))
        return lines

    def _row(self, one: Placed) -> RowView:
        told = [self._where(one.due), why_line(self.session, one.due)]
        if one.look_first:
            told.append(self.say("next_jobs.look_first"))
        return RowView(
            one.due.id,
            f"{one.place}. {job_line(self.session, one.due)}",
            " · ".join(part for part in told if part),
            stacked=True,
            plain=one.due.field is None,
        )

    def _left(self, one: LeftOut) -> RowView:
        until = self.session.on(one.until) if one.until else ""
        why = self.say(f"next_jobs.{one.why}", day=until)
        told = " · ".join(part for part in (self._where(one.due), why) if part)
        return RowView("", job_line(self.session, one.due), told, stacked=True, plain=True)

    def _where(self, due: Due) -> str:
        """The field that a job is in; a pile or part where it has none, empty for the farm as a whole."""
        phone, enrolment = self.session.phone, self.session.enrolment
        found = field(phone, enrolment, due.field) if due.field else None
        places = [*piles(phone, enrolment), *(parts(phone, enrolment, due.field) if due.field else ())]
        part = next((one.name for one in places if one.id == due.part), "")
        return ", ".join(name for name in (found.name if found else "", part) if name)

    def tap(self, key: str) -> None:
        due = next((one for one in dues(self.session.phone, self.session.enrolment) if one.id == key), None)
        if due is None or due.field is None:
            return
        if due.job in ROUND_OF:
            self.session.facts["round"] = {"field": due.field, "measures": (ROUND_OF[due.job],)}
            self.session.go("round")
            return
        self.session.facts["field"] = due.field
        self.session.facts["job"] = WRITES_WORK.get(due.job, "")
        self.session.go("work" if due.job in WRITES_WORK else "note")
