"""The gate's further pages: turn back, look closer."""

from __future__ import annotations

from typing import Any, get_args
from uuid import UUID

from mobile.actions.save_entry import Saved
from mobile.actions.save_load import save_load
from mobile.presenters.gate_load import HAZARDS, load_body, short_ticket
from mobile.presenters.gate_room import receiving
from mobile.presenters.lines import (
    ChoiceView,
    FormView,
    LineView,
    SaidView,
    TypedView,
)
from mobile.presenters.picture import Picture
from mobile.presenters.presenter import Presenter
from mobile.presenters.session import Session
from mobile.presenters.trucks import TruckHere
from shared.errors import GoodgroundError
from shared.words.bodies.gate import Load, TrashItem
from shared.words.entry import Photo

REASONS = (
    "bags", "plastic", "glass", "metal", "wood", "soil", "animal_waste", "food", "sharps", "container", "battery",
    "not_leaves", "no_room", "other",
)  # fmt: skip
ITEMS: tuple[str, ...] = get_args(TrashItem)


class _OfTruck(Presenter):
    """What the pages of one truck's load share."""

    home = "gate"

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.truck: TruckHere | None = None
        self.fill = "100"
        self.again_of: UUID | None = None
        self.typed: dict[str, str] = {}

    def entered(self) -> None:
        facts = self.session.facts
        self.truck = facts.pop("truck", None) or self.truck
        self.fill = facts.pop("fill", "") or "100"
        self.again_of = facts.pop("again_of", None)
        self.typed, self.notice = {}, ""

    def write(self, key: str, text: str) -> None:
        self.typed[key] = text

    def photos(self) -> tuple[Photo, ...]:
        return ()

    def _keep(self, load: Any, field: UUID | None, key: str) -> None:
        try:
            saved: Saved = save_load(self.session.phone, self.session.enrolment, load, field, self.photos())
        except GoodgroundError as error:
            self.notice = self.session.trouble(error)
            self.changed()
            return
        self.session.saved()
        body: Any = saved.entry.body
        assert self.truck is not None
        text = self.say(key, ticket=short_ticket(body.ticket), truck=self.truck.label, yards=body.carried_yd3)
        self.session.facts["load_saved"] = (saved, SaidView(text, self.say("undo")))
        self.session.go("gate")


class TurnBackPresenter(_OfTruck):
    """Reasons first; plate and driver if there is time."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.reason = ""
        self.picture = Picture(session, lambda: self.changed())

    def entered(self) -> None:
        super().entered()
        self.reason = ""
        self.picture.clear()

    def extra(self) -> None:
        self.picture.take()

    def photos(self) -> tuple[Photo, ...]:
        return self.picture.photos

    def view(self) -> FormView:
        options = tuple((one, self.say(f"reason.{one}")) for one in REASONS)
        lines: list[LineView] = [ChoiceView("reason", "", options, (self.reason,) if self.reason else (), 2)]
        if self.reason == "other":
            lines.append(
                TypedView("other_text", self.say("turn_back.other"), self.typed.get("other_text", ""))
            )
        lines.append(TypedView("plate", self.say("turn_back.plate"), self.typed.get("plate", "")))
        lines.append(TypedView("driver", self.say("turn_back.driver"), self.typed.get("driver", "")))
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
        self._keep(self._body, None, "turn_back.saved")

    def _body(self, ticket: str) -> Load:
        assert self.truck is not None
        words = self.typed.get("other_text", "").strip()
        said = words if self.reason == "other" and words else self.say(f"reason.{self.reason}")
        items = (self.reason,) if self.reason in ITEMS and self.reason != "other" else ()
        return load_body(
            self.truck,
            ticket,
            self.fill,
            "turned_back",
            items=items,
            reason=said,
            bags="many" if self.reason == "bags" else "none",
            plate=self.typed.get("plate", "").strip() or None,
            driver=self.typed.get("driver", "").strip(),
            again_of=self.again_of,
        )


class CloserPresenter(_OfTruck):
    """What a closer look showed: then it is taken after picking, or turned back."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.items: tuple[str, ...] = ()
        self.bags = "none"

    def entered(self) -> None:
        super().entered()
        self.items, self.bags = (), "none"

    def view(self) -> FormView:
        bags = tuple((one, self.say(f"ask.bags.{one}")) for one in ("none", "few", "many"))
        items = tuple((one, self.say(f"reason.{one}")) for one in ITEMS)
        lines: list[LineView] = [
            ChoiceView("items", self.say("closer.items"), items, self.items, 2),
            ChoiceView("bags", "", bags, (self.bags,)),
        ]
        if "other" in self.items:
            lines.append(
                TypedView("other_text", self.say("turn_back.other"), self.typed.get("other_text", ""))
            )
        hazard = bool(HAZARDS & set(self.items))
        return FormView(
            title=self.say("closer.title", truck=self.truck.label if self.truck else ""),
            lines=tuple(lines),
            notice=self.notice,
            caution=self.say("caution.hazard" if hazard else "caution.closer"),
            back=self.say("back"),
            extra=self.say("closer.turn_back"),
            save="" if hazard else self.say("closer.picked"),
            **self.turning(),
        )

    def pick(self, key: str, name: str) -> None:
        if key == "bags":
            self.bags = name
        else:
            self.items = tuple(one for one in ITEMS if (one == name) != (one in self.items))
        self.changed()

    def save(self) -> None:
        to = receiving(self.session)
        if to is None:
            self.notice = self.say("gate.choose_field")
            self.changed()
            return
        self._keep(lambda ticket: self._body(ticket, "taken_after_picking", to), to, "gate.taken")

    def extra(self) -> None:
        if not self.items:
            self.notice = self.say("turn_back.reason_first")
            self.changed()
            return
        self._keep(lambda ticket: self._body(ticket, "turned_back", None), None, "turn_back.saved")

    def _body(self, ticket: str, outcome: str, to: UUID | None) -> Load:
        assert self.truck is not None
        words = self.typed.get("other_text", "").strip() or self.say("reason.other")
        return load_body(
            self.truck,
            ticket,
            self.fill,
            outcome,
            to=to,
            items=self.items,
            bags=self.bags,
            reason=self.say(f"reason.{self.items[0]}") if outcome == "turned_back" else None,
            other_text=words if "other" in self.items else None,
            again_of=self.again_of,
        )
