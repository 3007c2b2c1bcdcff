"""Two pages of the gate: which place receives, and a truck not seen before."""

from __future__ import annotations

from typing import get_args
from uuid import UUID

from mobile.actions.land import towns
from mobile.presenters.figure import Keyed
from mobile.presenters.gate_room import (
    Place,
    bears,
    ground_word,
    places,
    receive_in,
    receiving,
    reserve,
    room,
)
from mobile.presenters.lines import (
    ChoiceView,
    FormView,
    LineView,
    RowView,
    SlotView,
    TextView,
    TypedView,
)
from mobile.presenters.presenter import Presenter
from mobile.presenters.session import Session
from mobile.presenters.trucks import keep_truck
from shared.languages import figure
from shared.words.bodies.gate import Packing


class GateFieldPresenter(Presenter):
    """Which place receives: each field with its room and today's word on its ground, the next best marked, the piles
    below; fields that take none last."""

    home = "gate"

    def view(self) -> FormView:
        chosen = receiving(self.session)
        best = reserve(self.session, chosen, None, None)
        rows = [self._row(one, chosen, best) for one in places(self.session)]
        rows.sort(key=lambda row: row[0])
        empty: tuple[LineView, ...] = (TextView("empty", self.say("here.no_land_yet")),)
        return FormView(
            title=self.say("gate_field.title"),
            under=self.say("gate_field.under"),
            lines=tuple(row for _, row in rows) or empty,
            back=self.say("back"),
            **self.turning(),
        )

    def _row(self, place: Place, chosen: UUID | None, best: Place | None) -> tuple[int, RowView]:
        if place.is_pile:
            told = self.say("gate_field.pile")
            return 1, RowView(str(place.id), place.name, told, heavy=place.id == chosen)
        left = room(self.session, place.id, None, None)
        shut = left is None or bool(left.closed)
        if left is None or left.closed:
            told, wrong = self.say(f"gate.why.{left.closed[0] if left else 'no_area'}"), False
        else:
            yards = figure(self.session.language, left.room_yd3, 0)
            told, wrong = self.say("gate_field.room", yards=yards), left.room_yd3 <= 0
        word = ground_word(self.session, place.id)
        told = self.say("gate_field.with_ground", room=told, ground=word) if word else told
        if best is not None and place.id == best.id:
            told = self.say("gate_field.next_best", told=told)
        wrong = wrong or bears(self.session, place.id) == "stay_off"
        return (2 if shut else 0), RowView(str(place.id), place.name, told, wrong, heavy=place.id == chosen)

    def tap(self, key: str) -> None:
        receive_in(self.session, UUID(key))
        self.session.go("gate")


class NewTruckPresenter(Presenter):
    """A truck not on the farm's list: its name, its town, how it packs, its bed."""

    home = "gate"

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.label = ""
        self.town = ""
        self.packing = ""
        self.bed = Keyed(parts=True)

    def entered(self) -> None:
        self.label, self.town, self.packing, self.bed, self.notice = "", "", "", Keyed(parts=True), ""

    def view(self) -> FormView:
        known = towns(self.session.phone, self.session.enrolment)
        town_names = tuple((str(one.id), one.name) for one in known)
        packing = tuple((one, self.say(f"packing.{one}")) for one in get_args(Packing))
        lines: list[LineView] = [
            ChoiceView("town", self.say("new_truck.town"), town_names, (self.town,) if self.town else (), 2),
            TypedView("label", self.say("new_truck.label"), self.label),
            ChoiceView(
                "packing", self.say("new_truck.packing"), packing, (self.packing,) if self.packing else ()
            ),
        ]
        return FormView(
            title=self.say("new_truck.title"),
            lines=tuple(lines),
            notice=self.notice,
            slots=(
                SlotView(
                    "bed",
                    self.say("new_truck.bed"),
                    self.bed.shown(self.session.language),
                    self.say("unit.yd3"),
                ),
            ),
            mark=".",
            rub_out=self.say("rub_out"),
            back=self.say("back"),
            go_on=self.say("new_truck.to_bed"),
            save=self.say("new_truck.save"),
            **self.turning(),
        )

    def write(self, key: str, text: str) -> None:
        self.label = text

    def pick(self, key: str, name: str) -> None:
        if key == "town":
            self.town = name
        else:
            self.packing = name
        self.changed()

    def key(self, key: str) -> None:
        self.bed.key(key)
        self.changed()

    def save(self) -> None:
        bed = self.bed.value
        if not self.town or not self.packing or not self.label.strip():
            self.notice = self.say("new_truck.first")
        elif bed is None or not 1 <= bed <= 150:
            self.notice = self.say("new_truck.bed_first")
        else:
            keep_truck(self.session, self.label.strip(), UUID(self.town), bed, self.packing)
            self.session.go("gate")
            return
        self.changed()
