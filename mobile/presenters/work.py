"""Work: which job, how much, when it was done if not now."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import Any, get_args
from uuid import UUID

from mobile.actions.choose_person import people
from mobile.actions.land import parts
from mobile.actions.save_entry import NewEntry, made_now
from mobile.ports import Draft
from mobile.presenters.lines import ChoiceView, FormView, LineView, TypedView
from mobile.presenters.measures import Ask, Slot
from mobile.presenters.session import Session
from mobile.presenters.writes_one import WritesOne
from shared.wire.scalars import moment
from shared.words.bodies import Body
from shared.words.bodies.work import JobName, Work

JOBS: tuple[str, ...] = get_args(JobName)
AREA = Slot("area_ac", "ac", True, False)
DEPTH, PASSES = Slot("depth_in", "in", True, False), Slot("passes", "count", False, False)
RATE = Slot("material_lb_per_ac", "lb_ac", False, False)
SLOTS: dict[str, tuple[Slot, ...]] = {
    "spread": (Slot("loads", "count", False, False), Slot("yards_yd3", "yd3", False, False), AREA),
    "work_in": (DEPTH, PASSES, AREA),
    "seed": (Slot("seed_lb_per_ac", "lb_ac", True, False), DEPTH, AREA),
    "mow": (Slot("stubble_in", "in", True, False), AREA),
    "kill": (AREA,),
    "cut_hay": (Slot("cutting", "count", False, False), AREA),
    "bale": (
        Slot("bales", "count", False, False),
        Slot("bale_lb", "lb", False, False),
        Slot("moisture_pct", "pct", True, False),
    ),
    "plow": (DEPTH, AREA),
    "disk": (DEPTH, PASSES, AREA),
    "subsoil": (DEPTH, AREA),
    "cultivate": (DEPTH, PASSES, AREA),
    "lime": (RATE, Slot("cce_pct", "pct", True, False), AREA),
    "fertilize": (
        Slot("n_pct", "pct", True, False),
        Slot("p2o5_pct", "pct", True, False),
        Slot("k2o_pct", "pct", True, False),
        RATE,
    ),
    "manure": (RATE, AREA),
    "compost": (RATE, Slot("yards_yd3", "yd3", False, False), AREA),
    "spray": (
        Slot("product_amount", "count", True, False),
        Slot("reentry_h", "h", False, False),
        Slot("preharvest_d", "d", False, False),
        Slot("plantback_d", "d", False, False),
    ),
    "irrigate": (AREA,),
    "plant": (AREA,),
    "harvest": (AREA,),
    "move": (Slot("loads", "count", False, False), Slot("yards_yd3", "yd3", False, False)),
}
TYPED: dict[str, tuple[str, ...]] = {
    "seed": ("crop", "variety", "seed_lot"),
    "plant": ("crop", "variety"),
    "harvest": ("crop", "variety", "lot"),
    "cut_hay": ("lot",),
    "bale": ("lot",),
    "kill": ("material",),
    "lime": ("material",),
    "fertilize": ("material",),
    "manure": ("material",),
    "compost": ("material",),
    "spray": ("material", "epa_number", "product_unit", "applicator"),
    "other": ("other_text",),
}
CAUTIONS = {
    "spread": "spread", "mow": "mow", "cut_hay": "hay", "bale": "bale", "subsoil": "dig", "lime": "label",
    "spray": "label", "harvest": "wash",
}  # fmt: skip
WHEN = Ask("when", ("now", "yesterday", "before"), titled=True)
COUNTS = frozenset(("passes", "loads", "bales", "cutting", "reentry_h", "preharvest_d", "plantback_d"))
SEED_STATUS = Ask("seed_status", ("organic", "untreated", "treated"), titled=True)
STARTED = "work.started"


class WorkPresenter(WritesOne):
    """Two faces: which job, and what of it. *Started* keeps the hour; *done* saves."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.job = ""

    def entered(self) -> None:
        self.job = self.session.facts.pop("job", "") or ""
        super().entered()
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
        if self.job == "seed":
            lines.append(self.ask(SEED_STATUS))
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
        return SLOTS.get(self.job, ())

    def caution(self) -> str:
        name = CAUTIONS.get(self.job)
        return self.once_a_day(name) if name else ""

    def pick(self, key: str, name: str) -> None:
        if key == "job":
            self.job = name
            self.changed()
        elif key == "people":
            chosen = [one for one in self.answers.get("people", "").split(",") if one]
            chosen = [one for one in chosen if one != name] if name in chosen else [*chosen, name]
            self.answers["people"] = ",".join(chosen)
            self.changed()
        else:
            super().pick(key, name)

    def back(self) -> None:
        if self.job:
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
        return ""

    def body(self) -> Body:
        values = {key: int(value) if key in COUNTS else value for key, value in self.values().items()}
        words = {key: text.strip() for key, text in self.typed.items() if text.strip()}
        along = tuple(UUID(one) for one in self.answers.get("people", "").split(",") if one)
        said: dict[str, Any] = {"job": self.job, **values, **words}
        if "seed_status" in self.answers and self.job == "seed":
            said["seed_status"] = self.answers["seed_status"]
        started = self._started()
        if started:
            said["started_at"] = moment(started, "started_at")
        return Work(people=along or None, **said)

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
        return self.session.today() - timedelta(days=days) if days else None

    def _save(self) -> None:
        super()._save()
        if not self.notice:
            name = CAUTIONS.get(self.job)
            if name:
                self.caution_read(name)
            self.session.phone.book.keep_draft(self.session.enrolment, Draft(STARTED, None))
