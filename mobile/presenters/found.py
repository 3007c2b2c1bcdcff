"""Found when tipped: trash in a load that was taken already."""

from __future__ import annotations

from typing import Any
from uuid import UUID

from mobile.actions.found_later import Found, found_later
from mobile.presenters.entry_words import as_it_stands
from mobile.presenters.figure import Keyed
from mobile.presenters.gate_count import loads_now
from mobile.presenters.gate_forms import ITEMS
from mobile.presenters.gate_load import HAZARDS, short_ticket
from mobile.presenters.lines import ChoiceView, FormView, LineView, RowView, SaidView, SlotView, TypedView
from mobile.presenters.picture import Picture
from mobile.presenters.presenter import Presenter
from mobile.presenters.session import Session
from shared.errors import GoodgroundError
from shared.languages import DECIMAL_MARK
from shared.status.fact import Fact

FIGURES = (("trash_lb", "lb"), ("removed_yd3", "yd3"))


class FoundPresenter(Presenter):
    """What it was, how much, what came off the ground again, where the trash went. It is tied to the load."""

    home = "ticket"

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.id: UUID | None = None
        self.picture = Picture(session, lambda: self.changed())
        self._clear()

    def _clear(self) -> None:
        self.items: tuple[str, ...] = ()
        self.typed: dict[str, str] = {}
        self.figures = {key: Keyed(parts=True) for key, _ in FIGURES}
        self.active = FIGURES[0][0]
        self.notice = ""

    def entered(self) -> None:
        self.id = self.session.facts.pop("load", self.id)
        self._clear()
        self.picture.clear()

    def _fact(self) -> Fact:
        return next(one for one in loads_now(self.session) if one.id == self.id)

    def view(self) -> FormView:
        body: Any = self._fact().body
        items = tuple((one, self.say(f"reason.{one}" if one != "other" else "closer.other")) for one in ITEMS)
        lines: list[LineView] = [ChoiceView("items", self.say("closer.items"), items, self.items, 2)]
        wanted = ("other_text", "residue_to") if "other" in self.items else ("residue_to",)
        lines += [TypedView(key, self.say(f"found.{key}"), self.typed.get(key, "")) for key in wanted]
        lines.append(TypedView("action", self.say("found.action"), self.typed.get("action", ""), tall=True))
        lines.append(RowView("photo", self.picture.word()))
        return FormView(
            title=self.say("found.title", ticket=short_ticket(body.ticket)),
            lines=tuple(lines),
            notice=self.notice or self.picture.wrong,
            caution=self.say("caution.hazard" if HAZARDS & set(self.items) else "caution.closer"),
            slots=tuple(self._slot(key, unit) for key, unit in FIGURES),
            mark=DECIMAL_MARK[self.session.language],
            rub_out=self.say("rub_out"),
            pad=self.say("figures"),
            back=self.say("back"),
            save=self.say("save"),
            **self.turning(),
        )

    def _slot(self, key: str, unit: str) -> SlotView:
        named = self.say("slot.named", slot=self.say(f"slot.{key}"), unit=self.say(f"unit.{unit}"))
        return SlotView(key, named, self.figures[key].shown(self.session.language), "", key == self.active)

    def pick(self, key: str, name: str) -> None:
        self.items = tuple(one for one in ITEMS if (one == name) != (one in self.items))
        self.notice = ""
        self.changed()

    def write(self, key: str, text: str) -> None:
        self.typed[key] = text

    def key(self, key: str) -> None:
        self.figures[self.active].key(key)
        self.notice = ""
        self.changed()

    def pick_slot(self, key: str) -> None:
        self.active = key
        self.changed()

    def tap(self, key: str) -> None:
        self.picture.take()

    def save(self) -> None:
        action = self.typed.get("action", "").strip()
        if not self.items or not action:
            self.notice = self.say("found.first")
            self.changed()
            return
        other = self.typed.get("other_text", "").strip() or self.say("closer.other")
        found = Found(
            items=self.items,
            what_was_done=action,
            trash_lb=self.figures["trash_lb"].value,
            removed_yd3=self.figures["removed_yd3"].value,
            residue_to=self.typed.get("residue_to", "").strip() or None,
            other_text=other if "other" in self.items else None,
        )
        fact = self._fact()
        try:
            entry = as_it_stands(self.session, fact)
            why = self.say("found.why.when_tipped")
            found_later(self.session.phone, self.session.enrolment, entry, found, why, self.picture.photos)
        except GoodgroundError as error:
            self.notice = self.session.trouble(error)
            self.changed()
            return
        self.session.saved()
        self.session.facts["found_said"] = SaidView(self.say("found.saved"))
        self.session.facts["load"] = self.id
        self.session.go("ticket")
