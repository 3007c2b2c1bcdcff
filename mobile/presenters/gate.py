"""Gate: a load in three taps; what came today; the trucks in their places."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from typing import Any
from uuid import UUID

from mobile.actions.loads_today import loads_of_day
from mobile.actions.save_entry import Saved
from mobile.actions.save_load import save_load
from mobile.actions.strike import UNDO_MS, undo
from mobile.presenters.battery_word import battery_word
from mobile.presenters.entry_words import town_name
from mobile.presenters.gate_load import Looked, load_body, shared_out
from mobile.presenters.gate_room import ground_view, place_of, receiving
from mobile.presenters.gate_truck import truck_view
from mobile.presenters.gate_view import GateView, LoadView
from mobile.presenters.lines import ChoiceView, LineView, SaidView, TextView
from mobile.presenters.load_page import refused, told_saved
from mobile.presenters.presenter import Presenter
from mobile.presenters.session import Session
from mobile.presenters.town_season import season_line
from mobile.presenters.trucks import TruckHere, likeliest, trucks_here
from mobile.trouble import UndoTooLate
from shared.errors import GoodgroundError
from shared.languages import figure
from shared.status.fact import Fact

CHIPS = (("100", "90", "80"), ("70", "60", "50"), ("40", "30", "20"))
SEEN = ("clean", "picked", "closer", "share")
CAUTION_SETTING = "caution.gate"


class GatePresenter(Presenter):
    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.open: str | None = None
        self.again_of: UUID | None = None
        self.fill = ""
        self.chips = 0
        self.saved: Saved | None = None

    def entered(self) -> None:
        self.open, self.fill, self.chips = None, "", 0
        done: tuple[Saved, SaidView] | None = self.session.facts.pop("load_saved", None)
        if done is not None:
            self.saved, self.said = done

    def tick(self) -> None:
        self.changed()

    # what is shown

    def _loads(self) -> tuple[Fact, ...]:
        return loads_of_day(self.session.phone, self.session.enrolment, self.session.today())

    def _trucks(self, today: Sequence[Fact]) -> tuple[TruckHere, ...]:
        yesterday = self.session.today() - timedelta(days=1)
        before = loads_of_day(self.session.phone, self.session.enrolment, yesterday)
        return trucks_here(self.session, today, before)

    def _opened(self, trucks: Sequence[TruckHere]) -> TruckHere | None:
        return next((one for one in trucks if one.key == self.open), None)

    def view(self) -> GateView:
        today = self._loads()
        trucks = self._trucks(today)
        opened = self._opened(trucks)
        like = opened or (trucks and self._last_truck(trucks)) or None
        return GateView(
            title=self.say("gate.title", day=self.session.day_words()),
            under=self._tally(today),
            back=self.say("back"),
            save=self.say("gate.new_truck"),
            ground=ground_view(self.session, like.town if like else None, like.bed_yd3 if like else None),
            lines=self._lines(trucks),
            said=self._said(),
            load=self._load(opened) if opened is not None else None,
            notice=self.notice or self.session.notice() or battery_word(self.session),
            caution=self._caution(),
            foot=self._foot(),
            extra=self.say("gate.caution_read") if self._caution() else "",
            count="" if self._caution() else self.say("gate.count"),
            **self.turning(),
        )

    @staticmethod
    def _last_truck(trucks: Sequence[TruckHere]) -> TruckHere:
        came = [one for one in trucks if one.last is not None and one.last.made_at.utc is not None]
        return max(came, key=lambda one: str(one.last and one.last.made_at.utc), default=trucks[0])

    def _tally(self, today: Sequence[Fact]) -> str:
        """Truck yards by town that were taken today on this phone."""
        sums: dict[UUID, Decimal] = {}
        for one in today:
            body: Any = one.body
            if body.is_taken:
                sums[body.town] = sums.get(body.town, Decimal(0)) + body.carried_yd3
        if not sums:
            return self.say("gate.nothing_yet")
        told = [
            self.say(
                "gate.town", town=town_name(self.session, town), yards=figure(self.session.language, yards, 0)
            )
            for town, yards in sums.items()
        ]
        return self.say("gate.tally", towns=" · ".join(told))

    def _lines(self, trucks: Sequence[TruckHere]) -> tuple[LineView, ...]:
        if not trucks:
            return (TextView("empty", self.say("gate.no_trucks")),)
        next_key = likeliest(trucks)
        return tuple(
            truck_view(self.session, one, one.key == next_key, one.key == self.open) for one in trucks
        )

    def _load(self, truck: TruckHere) -> LoadView:
        chips = CHIPS[self.chips]
        options = [(one, self.say(f"fill.{one}")) for one in chips]
        options.append(("less", self.say("fill.less" if self.chips + 1 < len(CHIPS) else "fill.full_again")))
        seen = tuple((one, self.say(f"seen.{one}")) for one in SEEN)
        under = self.say(
            "gate.as_before",
            town=town_name(self.session, truck.town),
            packing=self.say(f"packing.{truck.packing}"),
        )
        season = season_line(self.session, truck.town)
        under = self.say("town_season.beside", told=under, season=season) if season else under
        return LoadView(
            truck=self.say("gate.open_truck", truck=truck.label, yards=truck.bed_yd3),
            under=under,
            fills=ChoiceView("fill", "", tuple(options), (self.fill,) if self.fill in chips else ()),
            seen=ChoiceView("seen", "", seen),
            dead=not self.fill,
        )

    def _said(self) -> SaidView | None:
        if self.said is None or self.saved is None:
            return self.said
        since_ms = self.session.phone.clock.steady_ms() - self.saved.steady_ms
        return self.said if since_ms <= UNDO_MS else replace(self.said, undo="")

    def _caution(self) -> str:
        """Once a day, before its first load."""
        read = self.session.phone.book.setting(CAUTION_SETTING)
        return "" if read == self.session.today().isoformat() else self.say("caution.gate")

    def _foot(self) -> str:
        at = self.session.farm.handed_at
        if at is None or at.utc is None:
            return self.say("gate.room_alone", waiting=self.session.farm.waiting)
        return self.say("gate.room_as_of", time=self.session.clock(at.utc), waiting=self.session.farm.waiting)

    # taps

    def choose_field(self) -> None:
        self.session.go("gate_field")

    def tap_truck(self, key: str) -> None:
        self.open = None if self.open == key else key
        self.fill, self.chips, self.again_of, self.notice = "", 0, None, ""
        self.said = None
        self._read_caution()
        self.changed()

    def close_truck(self) -> None:
        self.open = None
        self.changed()

    def turn_back(self, key: str) -> None:
        truck = next(one for one in self._trucks(self._loads()) if one.key == key)
        if truck.is_turned_back and truck.last is not None:
            self.tap_truck(key)
            self.open, self.again_of = key, truck.last.id
            self.changed()
            return
        self._read_caution()
        self.session.facts["truck"] = truck
        self.session.facts["fill"] = self.fill or "100"
        self.session.go("turn_back")

    def pick(self, key: str, name: str) -> None:
        if key == "fill":
            self._pick_fill(name)
        elif name == "clean":
            self._take()
        elif self.fill:
            self._hand_over(name)
            return
        self.changed()

    def _pick_fill(self, name: str) -> None:
        if name == "less":
            self.chips = (self.chips + 1) % len(CHIPS)
        else:
            self.fill = name
        self.notice = ""

    def _hand_over(self, seen: str) -> None:
        """What asks for more than a tap has a page of its own."""
        self.session.facts |= {
            "truck": self._opened(self._trucks(self._loads())),
            "fill": self.fill,
            "again_of": self.again_of,
            "picked": seen == "picked",
        }
        self.session.go("load_to" if seen == "share" else "closer")

    def _take(self) -> None:
        truck = self._opened(self._trucks(self._loads()))
        to = receiving(self.session)
        if truck is None or not self.fill:
            return
        self.notice = refused(self.session, truck, to)
        if self.notice or to is None:
            return
        fill, again = self.fill, self.again_of
        place = place_of(self.session, to)
        sent = shared_out(truck.bed_yd3 * Decimal(fill) / 100, (to,))
        try:
            self.saved = save_load(
                self.session.phone,
                self.session.enrolment,
                lambda ticket: load_body(truck, ticket, fill, Looked("taken"), sent, again),
                place.field if place is not None else None,
            )
        except GoodgroundError as error:
            self.notice = self.session.trouble(error)
            return
        self.session.saved()
        self.said = told_saved(self.session, truck, self.saved)
        self.open, self.fill, self.again_of = None, "", None

    def _read_caution(self) -> None:
        self.session.phone.book.keep_setting(CAUTION_SETTING, self.session.today().isoformat())

    def extra(self) -> None:
        self._read_caution()
        self.changed()

    def count(self) -> None:
        """The day's loads: by town, by place, one by one."""
        self.session.go("gate_count")

    def save(self) -> None:
        self.session.go("new_truck")

    def undo(self) -> None:
        if self.saved is None:
            return
        try:
            undo(self.session.phone, self.saved)
            self.said = SaidView(self.say("undone"))
        except UndoTooLate:
            self.said = SaidView(self.session.trouble(UndoTooLate()))
        except GoodgroundError as error:
            self.notice = self.session.trouble(error)
        self.saved = None
        self.changed()
