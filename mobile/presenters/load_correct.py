"""A load put right in place: its truck, how full it was, what was seen, where it went."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Any
from uuid import UUID

from mobile.actions.correct import correct
from mobile.presenters.correcting import WHY, why_corrected
from mobile.presenters.entry_words import as_it_stands, town_name
from mobile.presenters.figure import Keyed
from mobile.presenters.gate import CHIPS
from mobile.presenters.gate_forms import BAGS, ITEMS
from mobile.presenters.gate_load import Looked, shared_out, short_ticket
from mobile.presenters.gate_room import place_of, places
from mobile.presenters.lines import ChoiceView, FormView, LineView, SlotView, TypedView
from mobile.presenters.presenter import Presenter
from mobile.presenters.session import Session
from mobile.presenters.trucks import TruckHere, key_of, trucks_here
from shared.errors import GoodgroundError
from shared.languages import DECIMAL_MARK
from shared.status.fact import Fact
from shared.words.bodies.gate import Load

FILLS = tuple(fill for chips in CHIPS for fill in chips)
OUTCOMES = ("taken", "taken_after_picking", "turned_back")
WORDS = ("plate", "driver", "slip")
MOST_PLACES = 2


class LoadCorrectPresenter(Presenter):
    """What is not touched stays as it was written."""

    home = "entry"

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.fact: Fact | None = None

    def entered(self) -> None:
        self.fact = self.session.facts.pop("correcting", self.fact)
        body = self._body()
        self.why, self.notice = "", ""
        self.truck = key_of(self._known())
        fills = {format(fill.normalize(), "f") for _, fill in body.beds}
        self.fill = fills.pop() if len(fills) == 1 else ""
        self.outcome: Any = body.outcome
        self.places = tuple(place for place, _ in body.to)
        self.first = Keyed(True, format(body.to[0][1], "f") if len(body.to) > 1 else "")
        self.items: tuple[str, ...] = body.trash_items
        self.bags: Any = body.bags
        self.typed = {key: getattr(body, key) or "" for key in (*WORDS, "reason", "other_text")}

    def _known(self) -> Fact:
        assert self.fact is not None
        return self.fact

    def _body(self) -> Load:
        body: Any = self._known().body
        return body  # type: ignore[no-any-return]

    def _trucks(self) -> tuple[TruckHere, ...]:
        return trucks_here(self.session, (), ())

    def view(self) -> FormView:
        shares = len(self.places) == MOST_PLACES and self.outcome != "turned_back"
        return FormView(
            title=self.say("entry.correct_title", what=short_ticket(self._body().ticket)),
            under=town_name(self.session, self._body().town),
            lines=tuple(self._lines()),
            notice=self.notice,
            slots=(self._slot(),) if shares else (),
            mark=DECIMAL_MARK[self.session.language],
            rub_out=self.say("rub_out"),
            pad=self.say("split.yards") if shares else "",
            back=self.say("back"),
            save=self.say("entry.save_correction"),
            **self.turning(),
        )

    def _lines(self) -> list[LineView]:
        trucks = tuple((one.key, one.label) for one in self._trucks())
        fills = tuple((one, self.say(f"fill.{one}")) for one in FILLS)
        outcomes = tuple((one, self.say(f"ticket.outcome.{one}")) for one in OUTCOMES)
        items = tuple((one, self.say(f"reason.{one}" if one != "other" else "closer.other")) for one in ITEMS)
        bags = tuple((one, self.say(f"ask.bags.{one}")) for one in BAGS)
        where = tuple((str(one.id), one.name) for one in places(self.session))
        lines: list[LineView] = [
            why_corrected(self.session, self.why),
            ChoiceView("truck", self.say("load_correct.truck"), trucks, (self.truck,), 2),
            ChoiceView("fill", self.say("load_correct.fill"), fills, (self.fill,)),
            ChoiceView("outcome", "", outcomes, (self.outcome,), 1),
        ]
        if self.outcome == "turned_back":
            lines.append(self._typed("reason", "ticket.label.why"))
        else:
            chosen = tuple(str(one) for one in self.places)
            lines.append(ChoiceView("to", self.say("split.where"), where, chosen, 2))
        lines += [
            ChoiceView("items", self.say("closer.items"), items, self.items, 2),
            ChoiceView("bags", "", bags, (self.bags,)),
        ]
        if "other" in self.items:
            lines.append(self._typed("other_text", "turn_back.other"))
        labels = {"plate": "turn_back.plate", "driver": "turn_back.driver", "slip": "closer.slip"}
        return [*lines, *(self._typed(key, label) for key, label in labels.items())]

    def _typed(self, key: str, label: str) -> TypedView:
        return TypedView(key, self.say(label), self.typed[key])

    def _slot(self) -> SlotView:
        first = place_of(self.session, self.places[0])
        named = self.say("load_correct.first", place=first.name if first is not None else "")
        return SlotView("first", named, self.first.shown(self.session.language), self.say("unit.yd3"))

    def pick(self, key: str, name: str) -> None:
        self.notice = ""
        if key == WHY:
            self.why = name
        elif key == "items":
            self.items = tuple(one for one in ITEMS if (one == name) != (one in self.items))
        elif key == "to":
            self._pick_place(UUID(name))
        else:
            setattr(self, key, name)
        self.changed()

    def _pick_place(self, place: UUID) -> None:
        if place in self.places:
            self.places = tuple(one for one in self.places if one != place)
        else:
            self.places = (*self.places[-(MOST_PLACES - 1) :], place)
        self.first = Keyed(True)

    def write(self, key: str, text: str) -> None:
        self.typed[key] = text

    def key(self, key: str) -> None:
        self.first.key(key)
        self.changed()

    def _missing(self) -> str:
        if not self.why:
            return self.say("entry.reason_first")
        if self.outcome == "turned_back":
            return "" if self.typed["reason"].strip() else self.say("turn_back.reason_first")
        return "" if self.places else self.say("split.place_first")

    def save(self) -> None:
        self.notice = self._missing()
        if not self.notice:
            self._save()
        self.changed()

    def _save(self) -> None:
        fact = self._known()
        try:
            entry = as_it_stands(self.session, fact)
            why = self.say(f"ask.{WHY}.{self.why}")
            correct(self.session.phone, self.session.enrolment, entry, self._right(), why)
        except GoodgroundError as error:
            self.notice = self.session.trouble(error)
            return
        self.session.saved()
        self.session.facts["entry"] = fact.id
        self.session.go("entry")

    def _right(self) -> Load:
        body = self._body()
        changed: dict[str, Any] = {key: self.typed[key].strip() or None for key in WORDS}
        truck = next((one for one in self._trucks() if one.key == self.truck), None)
        if truck is not None and self.truck != key_of(self._known()):
            changed |= _of_truck(truck, changed["plate"])
        beds = changed.get("beds") or body.beds
        if self.fill:
            beds = tuple((bed, Decimal(self.fill)) for bed, _ in beds)
        looked = Looked(self.outcome, self.items, self.bags)
        new = replace(
            body,
            **changed | {"beds": beds},
            outcome=self.outcome,
            trash=looked.trash
            if (self.outcome, self.items) != (body.outcome, body.trash_items)
            else body.trash,
            trash_items=self.items,
            bags=self.bags,
            reason=(self.typed["reason"].strip() or None) if self.outcome == "turned_back" else None,
            other_text=(self.typed["other_text"].strip() or self.say("closer.other"))
            if "other" in self.items
            else None,
            to=(),
        )
        return new if self.outcome == "turned_back" else replace(new, to=self._to(body, new))

    def _to(self, old: Load, new: Load) -> tuple[tuple[UUID, Decimal], ...]:
        """As it was where neither the yards nor the places changed."""
        first = self.first.value
        same = self.places == tuple(place for place, _ in old.to) and new.carried_yd3 == old.carried_yd3
        if same and (len(old.to) < MOST_PLACES or first == old.to[0][1]):
            return old.to
        return shared_out(new.carried_yd3, self.places, first)


def _of_truck(truck: TruckHere, plate: str | None) -> dict[str, Any]:
    known = truck.vehicle
    return {
        "town": truck.town,
        "beds": ((truck.bed_yd3, Decimal(100)),),
        "packing": truck.packing,
        "vehicle": known.id if known is not None else None,
        "hauler": known.hauler if known is not None else None,
        "plate": truck.label if known is None else known.plate or plate,
    }
