"""The gate's further pages: turn back; look closer, or say what was picked."""

from __future__ import annotations

from decimal import Decimal
from typing import get_args

from mobile.presenters.figure import Keyed
from mobile.presenters.gate_load import HAZARDS, Looked
from mobile.presenters.lines import ChoiceView, FormView, LineView, RowView, SlotView, TypedView
from mobile.presenters.load_page import LoadPage
from mobile.presenters.measures import Slot
from mobile.presenters.session import Session
from shared.languages import DECIMAL_MARK
from shared.words.bodies.gate import TrashItem

REASONS = (
    "bags", "plastic", "glass", "metal", "wood", "soil", "animal_waste", "food", "sharps", "container", "battery",
    "not_leaves", "no_room", "other",
)  # fmt: skip
ITEMS: tuple[str, ...] = get_args(TrashItem)
BAGS = ("none", "few", "many")
FIGURES = (
    Slot("trash_lb", "lb", True, False),
    Slot("sample_lb", "lb", True, False),
    Slot("trash_gal", "gal", True, False),
    Slot("grass_pct", "pct", False, False),
    Slot("woody_pct", "pct", False, False),
)
"""What can be weighed or measured on a closer look."""


class TurnBackPresenter(LoadPage):
    """Reasons first; plate and driver if there is time."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.reason = ""

    def entered(self) -> None:
        super().entered()
        self.reason = ""

    def extra(self) -> None:
        self.picture.take()

    def view(self) -> FormView:
        options = tuple((one, self.say(f"reason.{one}")) for one in REASONS)
        lines: list[LineView] = [ChoiceView("reason", "", options, (self.reason,) if self.reason else (), 2)]
        wanted = ("other_text", "plate", "driver") if self.reason == "other" else ("plate", "driver")
        words = {"other_text": "other", "plate": "plate", "driver": "driver"}
        for key in wanted:
            lines.append(TypedView(key, self.say(f"turn_back.{words[key]}"), self.typed.get(key, "")))
        return FormView(
            title=self.say("turn_back.title", truck=self.truck.label if self.truck else ""),
            lines=tuple(lines),
            notice=self.notice or self.picture.wrong,
            caution=self.say("caution.hazard") if self.reason in HAZARDS else "",
            back=self.say("back"),
            extra=self.picture.word(),
            save=self.say("turn_back.save"),
            **self.turning(),
        )

    def pick(self, key: str, name: str) -> None:
        self.reason, self.notice = name, ""
        self.changed()

    def save(self) -> None:
        if not self.reason:
            self.notice = self.say("turn_back.reason_first")
            self.changed()
            return
        words = dict(self.typed)
        other = words.pop("other_text", "").strip()
        said = other if self.reason == "other" and other else self.say(f"reason.{self.reason}")
        self.keep(
            Looked(
                "turned_back",
                items=(self.reason,) if self.reason in ITEMS and self.reason != "other" else (),
                bags="many" if self.reason == "bags" else "none",
                reason=said,
                words=words,
            )
        )


class CloserPresenter(LoadPage):
    """What a closer look showed, by kind, weighed or measured if there is time. Then it is taken, or turned back.
    A hazard is only ever turned back."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self._clear()

    def _clear(self) -> None:
        self.items: tuple[str, ...] = ()
        self.bags = "none"
        self.figures = {slot.key: Keyed(slot.parts) for slot in FIGURES}
        self.active = FIGURES[0].key

    def entered(self) -> None:
        super().entered()
        self.picked = self.session.facts.pop("picked", False)
        self._clear()

    picked = False
    """Whether trash was picked already: then it is to be said which."""

    def view(self) -> FormView:
        hazard = bool(HAZARDS & set(self.items))
        parts = next(slot.parts for slot in FIGURES if slot.key == self.active)
        title = "closer.picked_title" if self.picked else "closer.title"
        return FormView(
            title=self.say(title, truck=self.truck.label if self.truck else ""),
            lines=tuple(self._lines()),
            notice=self.notice or self.picture.wrong,
            caution=self.say("caution.hazard" if hazard else "caution.closer"),
            slots=tuple(self._slot(slot) for slot in FIGURES),
            mark=DECIMAL_MARK[self.session.language] if parts else "",
            rub_out=self.say("rub_out"),
            pad=self.say("closer.weigh"),
            back=self.say("back"),
            extra=self.say("closer.turn_back"),
            save="" if hazard else self.say("seen.picked" if self._found() else "seen.clean"),
            **self.turning(),
        )

    def _lines(self) -> list[LineView]:
        items = tuple((one, self.say(f"reason.{one}" if one != "other" else "closer.other")) for one in ITEMS)
        bags = tuple((one, self.say(f"ask.bags.{one}")) for one in BAGS)
        lines: list[LineView] = [
            ChoiceView("items", self.say("closer.items"), items, self.items, 2),
            ChoiceView("bags", "", bags, (self.bags,)),
            RowView("photo", self.picture.word()),
            TypedView("slip", self.say("closer.slip"), self.typed.get("slip", "")),
        ]
        if "other" in self.items:
            words = self.typed.get("other_text", "")
            lines.insert(1, TypedView("other_text", self.say("turn_back.other"), words))
        return lines

    def _slot(self, slot: Slot) -> SlotView:
        named = self.say("slot.named", slot=self.say(f"slot.{slot.key}"), unit=self.say(f"unit.{slot.unit}"))
        shown = self.figures[slot.key].shown(self.session.language)
        return SlotView(slot.key, named, shown, "", slot.key == self.active)

    def _found(self) -> bool:
        return bool(self.items) or self.bags != "none" or self.picked

    def tap(self, key: str) -> None:
        self.picture.take()

    def key(self, key: str) -> None:
        self.figures[self.active].key(key)
        self.notice = ""
        self.changed()

    def pick_slot(self, key: str) -> None:
        self.active = key
        self.changed()

    def pick(self, key: str, name: str) -> None:
        if key == "bags":
            self.bags = name
        else:
            self.items = tuple(one for one in ITEMS if (one == name) != (one in self.items))
        self.notice = ""
        self.changed()

    def save(self) -> None:
        if self.picked and not self.items and self.bags == "none":
            self.notice = self.say("closer.kind_first")
            self.changed()
            return
        to = self.to_where_it_goes()
        if self.notice:
            self.changed()
            return
        self.keep(self._looked("taken_after_picking" if self._found() else "taken"), to)

    def extra(self) -> None:
        if not self.items and self.bags == "none":
            self.notice = self.say("turn_back.reason_first")
            self.changed()
            return
        reason = f"reason.{self.items[0]}" if self.items else "reason.bags"
        self.keep(self._looked("turned_back", self.say(reason)))

    def _looked(self, outcome: str, reason: str | None = None) -> Looked:
        words = dict(self.typed)
        if "other" in self.items:
            words["other_text"] = words.get("other_text", "").strip() or self.say("closer.other")
        else:
            words.pop("other_text", None)
        figures: dict[str, Decimal] = {
            key: one.value for key, one in self.figures.items() if one.value is not None
        }
        return Looked(outcome, self.items, self.bags, reason, words, figures)
