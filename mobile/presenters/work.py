"""Work: which job, how much, when it was done if not now."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import Any
from uuid import UUID

from mobile.actions.choose_person import people
from mobile.actions.land import fields, parts, piles
from mobile.actions.save_entry import NewEntry, made_now
from mobile.ports import Draft
from mobile.presenters.buffer_words import spread_inside
from mobile.presenters.calibrating import Calibration, calibrations
from mobile.presenters.field_cautions import caution_here
from mobile.presenters.figure import Keyed
from mobile.presenters.jobs import (
    BAGS_OFF,
    CAUTIONS,
    COUNTS,
    DAYS_AGO,
    DRAWN,
    JOBS,
    NEAR_HOUSES,
    RATED,
    SEED_STATUS,
    SLOTS,
    TYPED,
    WHEN,
)
from mobile.presenters.lines import ChoiceView, FormView, LineView, RowView, TypedView
from mobile.presenters.measures import Slot
from mobile.presenters.session import Session
from mobile.presenters.writes_one import WritesOne
from shared.languages.stock import said_again
from shared.status.fact import Fact
from shared.status.kept_off import PUT_ON
from shared.wire.scalars import moment
from shared.words.bodies import Body
from shared.words.bodies.work import Work

STARTED = "work.started"


class WorkPresenter(WritesOne):
    """Two faces: which job, and what of it. *Started* keeps the hour; *done* saves."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.job = ""
        self.asked_where = False

    def entered(self) -> None:
        self.job = self.session.facts.pop("job", "") or ""
        self.asked_where = False
        super().entered()
        if self.correcting is not None:
            return
        started = self.session.phone.book.draft(self.session.enrolment, STARTED)
        if started is not None and not self.job:
            self.job = str(started["job"])
            self.field = UUID(started["field"]) if started["field"] else None

    def title(self) -> str:
        return self.say(f"job.{self.job}") if self.job else self.say("here.line.work")

    def view(self) -> FormView:
        shown = super().view()
        if not self.job:
            options = tuple((one, self.say(f"job.{one}")) for one in JOBS)
            lines = (ChoiceView("job", "", options, (), 2),)
            return FormView(shown.title, shown.under, lines, back=shown.back, **self.turning())
        if self.correcting is not None:
            return shown
        started = self._started()
        told = self.say("work.since", time=started[11:16]) if started else shown.under
        return replace(
            shown, under=told, save=self.say("work.done"), extra="" if started else self.say("work.start")
        )

    def _started(self) -> str:
        tree = self.session.phone.book.draft(self.session.enrolment, STARTED)
        return str(tree["at"]) if tree is not None and tree["job"] == self.job else ""

    def lines(self) -> list[LineView]:
        if not self.job:
            return []
        lines: list[LineView] = [
            TypedView(key, self.say(f"typed.{key}"), self.typed.get(key, ""))
            for key in TYPED.get(self.job, ())
        ]
        if self.correcting is not None:
            lines.insert(0, RowView("job", self.say("entry.another_job"), self.title()))
        if self.job == "seed":
            lines.append(self.ask(SEED_STATUS))
        if self.job == "spread":
            lines += [self.ask(NEAR_HOUSES), self.ask(BAGS_OFF)]
        lines += self._calibrated()
        lines += self._piles()
        lines += self._parts()
        lines.append(self.ask(WHEN))
        lines.append(TypedView("machine", self.say("typed.machine"), self.typed.get("machine", "")))
        lines += self._people()
        return lines

    def _parts(self) -> list[LineView]:
        known = () if self.field is None else parts(self.session.phone, self.session.enrolment, self.field)
        if not known:
            return []
        options = (("all", self.say("work.all")), *((str(one.id), one.name) for one in known))
        return [
            ChoiceView("part", self.say("work.which_part"), options, (self.answers.get("part", "all"),), 2)
        ]

    def _calibrated(self) -> list[LineView]:
        """The machine and the rate of a calibration run, for one tap."""
        known = calibrations(self.session) if self.job in RATED else ()
        if not known:
            return []
        options = tuple((str(at), one.told(self.session)) for at, one in enumerate(known))
        chosen = self.answers.get("calibrated")
        question = self.say("work.calibrated")
        return [ChoiceView("calibrated", question, options, (chosen,) if chosen else (), 1)]

    def _piles(self) -> list[LineView]:
        """What the leaves were drawn from, and for a move where they went."""
        known = piles(self.session.phone, self.session.enrolment) if self.job in DRAWN else ()
        if not known:
            return []
        options = tuple((str(one.id), one.name) for one in known)
        lines: list[LineView] = [self._place("from_", "work.which_pile", options)]
        if self.job == "move":
            everywhere = fields(self.session.phone, self.session.enrolment)
            to = (*options, *((str(one.id), one.name) for one in everywhere))
            lines.append(self._place("to", "work.moved_to", to))
        return lines

    def _place(self, key: str, question: str, options: tuple[tuple[str, str], ...]) -> ChoiceView:
        chosen = self.answers.get(key)
        return ChoiceView(key, self.say(question), options, (chosen,) if chosen else (), 2)

    def _people(self) -> list[LineView]:
        writer = self.session.person
        others = [
            one
            for one in people(self.session.phone, self.session.enrolment)
            if writer is None or one.id != writer.id
        ]
        if not others:
            return []
        options = tuple((str(one.id), one.name) for one in others)
        chosen = tuple(key for key in self.answers.get("people", "").split(",") if key)
        return [ChoiceView("people", self.say("work.with"), options, chosen, 2)]

    def slots(self) -> tuple[Slot, ...]:
        earlier = (DAYS_AGO,) if self.job and self.answers.get("when") == "earlier" else ()
        return (*earlier, *SLOTS.get(self.job, ()))

    def asked(self) -> set[str]:
        """Where the job itself was wrong, nothing of the old one's holds."""
        asked = super().asked() | {"other_text"}
        if self.correcting is not None and self.correcting.body.job != self.job:  # type: ignore[attr-defined]
            asked |= {slot.key for slots in SLOTS.values() for slot in slots}
            asked |= {key for keys in TYPED.values() for key in keys}
            asked |= {"seed_status", "bags_off", "from_", "to"}
        return asked

    def tap(self, key: str) -> None:
        if key == "job":
            self.job = ""
            self.changed()
        else:
            super().tap(key)

    def caution(self) -> str:
        name = CAUTIONS.get(self.job)
        usual = self.once_a_day(name) if name else ""
        return " ".join(one for one in (usual, caution_here(self.session, self.job, self.field)) if one)

    def pick(self, key: str, name: str) -> None:
        if key == "job":
            self.job = name
            self.changed()
        elif key == "calibrated":
            self._take_calibrated(calibrations(self.session)[int(name)], name)
        elif key == "people":
            chosen = [one for one in self.answers.get("people", "").split(",") if one]
            chosen = [one for one in chosen if one != name] if name in chosen else [*chosen, name]
            self.answers["people"] = ",".join(chosen)
            self.changed()
        else:
            if (key, name) == ("when", "earlier"):
                self.active = DAYS_AGO.key
            super().pick(key, name)

    def _take_calibrated(self, run: Calibration, name: str) -> None:
        self.answers["calibrated"] = name
        self.typed["machine"] = f"{run.machine}, {run.setting}"
        self.figures[RATED[self.job]] = Keyed(True, format(run.rate, "f"))
        self.changed()

    def begin_correcting(self, fact: Fact) -> None:
        super().begin_correcting(fact)
        body: Any = fact.body
        self.job = body.job
        self.answers["part"] = str(fact.part) if fact.part is not None else "all"
        if body.job == "spread" and body.other_text:
            near = {self.say(f"ask.near_houses.{one}"): one for one in NEAR_HOUSES.options}
            said = said_again(self.session.language, body.other_text)
            self.answers |= {"near_houses": near[said]} if said in near else {}
            self.typed.pop("other_text", None)

    def back(self) -> None:
        if self.correcting is not None:
            super().back()
        elif self.job:
            self.job = ""
            self._clear()
            self.changed()
        else:
            super().back()

    def extra(self) -> None:
        """Started: the hour is kept through a kill, nothing is in the book yet."""
        tree = {
            "job": self.job,
            "at": made_now(self.session.phone.clock).text,
            "field": str(self.field or ""),
        }
        self.session.phone.book.keep_draft(self.session.enrolment, Draft(STARTED, tree))
        self.session.go("here")

    def missing(self) -> str:
        if self.job == "other" and not self.typed.get("other_text", "").strip():
            return self.say("round.say_first", question=self.say("typed.other_text"))
        if self.job in ("seed", "plant", "harvest") and not self.typed.get("crop", "").strip():
            return self.say("round.say_first", question=self.say("typed.crop"))
        if self.answers.get("when") == "earlier" and "days_ago" not in self.values():
            return self.say("round.say_first", question=self.say("work.when_first"))
        return self._in_buffer()

    def _in_buffer(self) -> str:
        """What is put on the ground now, within a buffer, asks once; saved again it stands."""
        then = self.answers.get("when", "now") != "now"
        if then or self.job not in PUT_ON or self.asked_where or self.correcting is not None:
            return ""
        self.asked_where = bool(told := spread_inside(self.session))
        return told

    def body(self) -> Body:
        values = {key: int(value) if key in COUNTS else value for key, value in self.values().items()}
        values.pop("days_ago", None)
        words = {key: text.strip() for key, text in self.typed.items() if text.strip()}
        along = tuple(UUID(one) for one in self.answers.get("people", "").split(",") if one)
        said: dict[str, Any] = {"job": self.job, **values, **words}
        if "seed_status" in self.answers and self.job == "seed":
            said["seed_status"] = self.answers["seed_status"]
        if self.job == "spread":
            said |= self._spread_said()
        if self.job in DRAWN and "from_" in self.answers:
            said["from_"] = (UUID(self.answers["from_"].split(",")[0]),)
        if self.job == "move" and "to" in self.answers:
            said["to"] = UUID(self.answers["to"])
        started = self._started()
        if started:
            said["started_at"] = moment(started, "started_at")
        return Work(people=along or None, **said)

    def _spread_said(self) -> dict[str, Any]:
        """Whether near houses is kept in words: the body has no key of its own for it."""
        said: dict[str, Any] = {}
        if "bags_off" in self.answers:
            said["bags_off"] = self.answers["bags_off"] == "yes"
        if "near_houses" in self.answers:
            said["other_text"] = self.say(f"ask.near_houses.{self.answers['near_houses']}")
        return said

    def entry(self) -> NewEntry:
        part = self.answers.get("part", "all")
        return NewEntry(
            body=self.body(),
            field=self.field,
            part=None if part == "all" else UUID(part),
            done_at=self._done_on(),
        )

    def _done_on(self) -> date | None:
        days = {"yesterday": 1, "before": 2}.get(self.answers.get("when", "now"), 0)
        if self.answers.get("when") == "earlier":
            days = int(self.values()["days_ago"])
        return self.session.today() - timedelta(days=days) if days else None

    def _save(self) -> None:
        super()._save()
        if not self.notice and self.correcting is None:
            name = CAUTIONS.get(self.job)
            if name:
                self.caution_read(name)
            self.session.phone.book.keep_draft(self.session.enrolment, Draft(STARTED, None))
