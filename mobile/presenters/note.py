"""Note: words, a pile's temperature, or something that happened and must be on record."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, get_args, get_type_hints
from uuid import UUID

from mobile.actions.land import piles
from mobile.actions.save_entry import NewEntry
from mobile.presenters.lines import ChoiceView, FormView, LineView, TextView, TypedView
from mobile.presenters.measures import Ask, Slot
from mobile.presenters.picture import Picture
from mobile.presenters.session import Session
from mobile.presenters.writes_one import WritesOne
from shared.words.bodies import Body
from shared.words.bodies.gate import PileCheck
from shared.words.bodies.told import Note, Occurrence
from shared.words.bodies.walked import Spade

WHAT: tuple[str, ...] = get_args(get_type_hints(Occurrence)["what"])
ROOTS = Ask("roots", ("free", "bent", "stopped"), titled=True)
STRUCTURE = Ask("structure", ("crumb", "block", "plate", "massive"), across=2, titled=True)
KINDS = ("note", "occurrence", "pile", "spade")


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
        return replace(shown, extra=self.picture.word(), notice=shown.notice or self.picture.wrong)

    def extra(self) -> None:
        self.picture.take()

    def entry(self) -> NewEntry:
        return replace(super().entry(), photos=self.picture.photos)

    def title(self) -> str:
        return self.say(f"note.{self.kind}")

    def lines(self) -> list[LineView]:
        kinds = tuple((one, self.say(f"note.{one}")) for one in KINDS)
        lines: list[LineView] = [ChoiceView("kind", "", kinds, (self.kind,), 2)]
        if self.kind == "note":
            return [*lines, TypedView("text", self.say("note.text"), self.typed.get("text", ""), tall=True)]
        if self.kind == "occurrence":
            what = tuple((one, self.say(f"ask.what.{one}")) for one in WHAT)
            chosen = self.answers.get("what")
            lines.append(
                ChoiceView("what", self.say("ask.what.question"), what, (chosen,) if chosen else (), 2)
            )
            return [
                *lines,
                TypedView("action", self.say("note.action"), self.typed.get("action", ""), tall=True),
            ]
        if self.kind == "spade":
            return [*lines, self.ask(ROOTS), self.ask(STRUCTURE)]
        return [*lines, *self._piles()]

    def _piles(self) -> list[LineView]:
        known = piles(self.session.phone, self.session.enrolment)
        if not known:
            return [TextView("no_piles", self.say("note.no_piles"))]
        chosen = self.answers.get("pile")
        options = tuple((str(one.id), one.name) for one in known)
        return [ChoiceView("pile", self.say("note.which_pile"), options, (chosen,) if chosen else (), 2)]

    def slots(self) -> tuple[Slot, ...]:
        if self.kind == "pile":
            return (Slot("temp_f", "F", False), Slot("height_ft", "ft", True, False))
        return (
            (Slot("depth_in", "in", True, False), Slot("worms", "count", False, False))
            if self.kind == "spade"
            else ()
        )

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
            "spade": "" if {"roots", "structure"} <= self.answers.keys() else "note.spade_first",
        }[self.kind]
        return self.say("round.say_first", question=self.say(wanted)) if wanted else ""

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
            return Occurrence(
                what=said["what"], action=action, other_text=action if said["what"] == "other" else None
            )
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
