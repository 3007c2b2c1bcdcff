"""Note: words, a pile's temperature, or something that happened and must be on record."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Any, get_args, get_type_hints
from uuid import UUID

from mobile.actions.land import piles
from mobile.actions.save_entry import NewEntry, Saved
from mobile.presenters.calibrating import keep_calibration
from mobile.presenters.figure import Keyed
from mobile.presenters.lines import ChoiceView, FormView, LineView, SaidView, TextView, TypedView
from mobile.presenters.measures import Ask, Slot
from mobile.presenters.picture import Picture
from mobile.presenters.session import Session
from mobile.presenters.writes_one import WritesOne
from shared.status.fact import Fact
from shared.words.bodies import Body
from shared.words.bodies.gate import PileCheck
from shared.words.bodies.told import Note, Occurrence
from shared.words.bodies.walked import Spade
from shared.words.bodies.work import Calibrate

WHAT: tuple[str, ...] = get_args(get_type_hints(Occurrence)["what"])
ROOTS = Ask("roots", ("free", "bent", "stopped"), titled=True)
STRUCTURE = Ask("structure", ("crumb", "block", "plate", "massive"), across=2, titled=True)
KINDS = ("note", "occurrence", "pile", "spade", "calibrate")
OF_KIND = {"pile_check": "pile"}
RUNS = ("run_1", "run_2", "run_3")
NAMED = ("disease", "nematode", "trash_found", "complaint")
SLOTS: dict[str, tuple[Slot, ...]] = {
    "pile": (
        Slot("temp_f", "F", False),
        Slot("height_ft", "ft", True, False),
        Slot("width_ft", "ft", True, False),
        Slot("length_ft", "ft", True, False),
    ),
    "spade": (
        Slot("depth_in", "in", True, False),
        Slot("worms", "count", False, False),
        Slot("infiltration_min_per_in", "min_in", True, False),
    ),
    "calibrate": (*(Slot(run, "lb", True, False) for run in RUNS), Slot("sheet_ft2", "ft2", True)),
}


class NotePresenter(WritesOne):
    def __init__(self, session: Session) -> None:
        self.picture = Picture(session, lambda: self.changed())
        super().__init__(session)
        self.kind = "note"

    def entered(self) -> None:
        self.kind = "note"
        self.picture.clear()
        super().entered()

    def view(self) -> FormView:
        shown = super().view()
        if self.correcting is not None:
            return shown
        return replace(shown, extra=self.picture.word(), notice=shown.notice or self.picture.wrong)

    def extra(self) -> None:
        self.picture.take()

    def entry(self) -> NewEntry:
        return replace(super().entry(), photos=self.picture.photos)

    def title(self) -> str:
        return self.say(f"note.{self.kind}")

    @property
    def moves(self) -> bool:
        """A pile and a machine are of no field."""
        return self.kind not in ("pile", "calibrate")

    def lines(self) -> list[LineView]:
        kinds = tuple((one, self.say(f"note.{one}")) for one in KINDS)
        lines: list[LineView] = [ChoiceView("kind", "", kinds, (self.kind,), 2)]
        if self.correcting is not None:
            lines = []
        if self.kind == "note":
            return [*lines, TypedView("text", self.say("note.text"), self.typed.get("text", ""), tall=True)]
        if self.kind == "occurrence":
            what = tuple((one, self.say(f"ask.what.{one}")) for one in WHAT)
            chosen = self.answers.get("what")
            lines.append(
                ChoiceView("what", self.say("ask.what.question"), what, (chosen,) if chosen else (), 2)
            )
            if chosen in NAMED:
                lines.append(self._typed("name", "note.name"))
            if chosen == "trash_found":
                lines.append(self._typed("residue_to", "note.residue_to"))
            return [*lines, self._typed("action", "note.action", tall=True)]
        if self.kind == "calibrate":
            return [*lines, self._typed("machine", "typed.machine"), self._typed("setting", "note.setting")]
        if self.kind == "spade":
            return [*lines, self.ask(ROOTS), self.ask(STRUCTURE)]
        return [*lines, *self._piles()]

    def _typed(self, key: str, label: str, tall: bool = False) -> TypedView:
        return TypedView(key, self.say(label), self.typed.get(key, ""), tall=tall)

    def _piles(self) -> list[LineView]:
        known = piles(self.session.phone, self.session.enrolment)
        if not known:
            return [TextView("no_piles", self.say("note.no_piles"))]
        chosen = self.answers.get("pile")
        options = tuple((str(one.id), one.name) for one in known)
        return [ChoiceView("pile", self.say("note.which_pile"), options, (chosen,) if chosen else (), 2)]

    def slots(self) -> tuple[Slot, ...]:
        if self.kind == "occurrence":
            what = self.answers.get("what")
            return (
                (Slot("temp_f", "F", False, False),)
                if what in ("fire", "hot_pile")
                else (Slot("trash_lb", "lb", True, False),)
                if what == "trash_found"
                else ()
            )
        return SLOTS.get(self.kind, ())

    def begin_correcting(self, fact: Fact) -> None:
        super().begin_correcting(fact)
        self.kind = OF_KIND.get(fact.kind, fact.kind)
        if self.kind == "calibrate":
            body: Any = fact.body
            runs = zip(RUNS, body.runs, strict=False)
            self.figures |= {key: Keyed(True, format(run, "f")) for key, run in runs}

    def caution(self) -> str:
        if self.kind == "pile":
            return self.once_a_day("pile")
        if self.kind == "occurrence" and self.answers.get("what") in (
            "fire",
            "hot_pile",
            "injury",
            "prohibited_material",
        ):
            return self.say(
                "caution.pile" if self.answers["what"] in ("fire", "hot_pile") else "caution.hazard"
            )
        return ""

    def pick(self, key: str, name: str) -> None:
        if key == "kind":
            self.kind = name
            self.notice = ""
            self.changed()
        else:
            super().pick(key, name)

    def missing(self) -> str:
        wanted = {
            "note": ("" if self.typed.get("text", "").strip() else "note.text"),
            "occurrence": self._missing_occurrence(),
            "pile": "" if self.answers.get("pile") and "temp_f" in self.values() else "note.pile_first",
            "calibrate": "" if self._is_calibrated() else "note.runs_first",
            "spade": "" if {"roots", "structure"} <= self.answers.keys() else "note.spade_first",
        }[self.kind]
        return self.say("round.say_first", question=self.say(wanted)) if wanted else ""

    def _is_calibrated(self) -> bool:
        typed = all(self.typed.get(key, "").strip() for key in ("machine", "setting"))
        return typed and bool(self._runs()) and "sheet_ft2" in self.values()

    def _runs(self) -> tuple[Decimal, ...]:
        values = self.values()
        return tuple(values[run] for run in RUNS if run in values)

    def _meaning(self, saved: Saved) -> SaidView:
        body = saved.entry.body
        if not isinstance(body, Calibrate):
            return super()._meaning(saved)
        kept = keep_calibration(self.session, body)
        facts = {"machine": kept.machine, "setting": kept.setting, "rate": kept.rate}
        told = self.say("calibrated.told", count=len(body.runs), **facts)
        return SaidView(told, self.say("undo"))

    def asked(self) -> set[str]:
        """What another answer to *what happened* asked does not hold of this one."""
        more = {"name", "residue_to", "temp_f", "trash_lb"} if self.kind == "occurrence" else set()
        return super().asked() | more

    def _missing_occurrence(self) -> str:
        if not self.answers.get("what"):
            return "ask.what.question"
        return "" if self.typed.get("action", "").strip() else "note.action"

    def body(self) -> Body:
        said: Any = self.answers
        if self.kind == "note":
            return Note(text=self.typed["text"].strip())
        if self.kind == "occurrence":
            action = self.typed["action"].strip()
            shown = {one.key for one in self.lines()}
            more: Any = {
                key: self.typed[key].strip()
                for key in ("name", "residue_to")
                if key in shown and self.typed.get(key, "").strip()
            }
            other = action if said["what"] == "other" else None
            return Occurrence(what=said["what"], action=action, other_text=other, **more, **self.values())
        if self.kind == "calibrate":
            words = {key: self.typed[key].strip() for key in ("machine", "setting")}
            return Calibrate(runs=self._runs(), sheet_ft2=self.values()["sheet_ft2"], **words)
        if self.kind == "pile":
            self.caution_read("pile")
            return PileCheck(pile=UUID(said["pile"]), **self.values())
        values = self.values()
        worms = values.pop("worms", None)
        return Spade(
            roots=said["roots"],
            structure=said["structure"],
            worms=None if worms is None else int(worms),
            **values,
        )
