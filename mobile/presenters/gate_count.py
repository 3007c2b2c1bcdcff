"""The day at the gate: by town and season, by place, load by load; and the count that a driver agrees to."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Any
from uuid import UUID

from mobile.actions.land import towns
from mobile.actions.loads_today import loads_of_day
from mobile.actions.save_entry import NewEntry, save_entry
from mobile.actions.season import laid_today
from mobile.presenters.entry_words import town_name
from mobile.presenters.figure import Keyed
from mobile.presenters.gate_load import short_ticket
from mobile.presenters.gate_room import place_of
from mobile.presenters.gate_truck import why_back
from mobile.presenters.lines import FormView, LineView, RowView, SaidView, SlotView, TextView, TypedView
from mobile.presenters.presenter import Presenter
from mobile.presenters.session import Session
from mobile.presenters.town_season import over_cap_yd3, season_line
from shared.errors import GoodgroundError
from shared.languages import DECIMAL_MARK, figure
from shared.status.fact import Fact
from shared.status.gate import GateSheet, gate_days, gate_sheet
from shared.words.bodies.gate import AgreedCount
from shared.words.town import Town


def loads_now(session: Session) -> tuple[Fact, ...]:
    return loads_of_day(session.phone, session.enrolment, session.today())


def sheet_now(session: Session, loads: Sequence[Fact]) -> GateSheet:
    return gate_sheet(gate_days(loads, session.zone).values())


class CountPresenter(Presenter):
    """What this phone counted today. A town's line leads to the count agreed on, a load's to its ticket."""

    home = "gate"

    def entered(self) -> None:
        self.said = self.session.facts.pop("agreed_said", None)
        self.all_phones = laid_today(self.session.phone, self.session.enrolment, self.session.today())

    def view(self) -> FormView:
        loads = loads_now(self.session)
        sheet = sheet_now(self.session, loads)
        lines: list[LineView] = [*self._towns(sheet), *self._places(sheet)]
        lines += [self._load(one) for one in reversed(loads)]
        empty: tuple[LineView, ...] = (TextView("empty", self.say("gate.nothing_yet")),)
        return FormView(
            title=self.say("count.title", day=self.session.day_words()),
            under=self._age(),
            lines=tuple(lines) or empty,
            said=self.said,
            back=self.say("back"),
            **self.turning(),
        )

    def _age(self) -> str:
        """Whose loads these are, and how old the news of the others is."""
        at = self.session.farm.handed_at
        if at is None or at.utc is None:
            return self.say("count.alone")
        return self.say("count.as_of", time=self.session.clock(at.utc))

    def _yards(self, yards: Decimal) -> str:
        return figure(self.session.language, yards, 0)

    def _towns(self, sheet: GateSheet) -> list[LineView]:
        rows: list[LineView] = []
        for one in sheet.towns:
            told = self.say(
                "count.town", count=one.taken, yards=self._yards(one.yards_yd3), back=one.turned_back
            )
            rows.append(self._town(one.town, told))
        came = {one.town for one in sheet.towns}
        return rows + [self._town(one.id, self.say("count.none_today")) for one in self._others(came)]

    def _others(self, came: set[UUID]) -> list[Town]:
        """The towns that brought none today and have a season to tell."""
        known = towns(self.session.phone, self.session.enrolment)
        return [one for one in known if one.id not in came and season_line(self.session, one.id)]

    def _town(self, town: UUID, told: str) -> RowView:
        season = season_line(self.session, town)
        told = self.say("count.with_season", told=told, season=season) if season else told
        told = self.say("count.to_agree", told=told)
        over = over_cap_yd3(self.session, town) > 0
        return RowView(f"town.{town}", town_name(self.session, town), told, wrong=over, stacked=True)

    def _places(self, sheet: GateSheet) -> list[LineView]:
        rows: list[LineView] = []
        for one in sheet.places:
            place = place_of(self.session, one.place)
            told = self.say("count.place", count=one.loads, yards=self._yards(one.yards_yd3))
            everywhere = self.all_phones.get(one.place)
            if everywhere is not None and everywhere[1] > one.yards_yd3:
                yards = self._yards(everywhere[1])
                told = self.say("count.with_others", told=told, loads=everywhere[0], yards=yards)
            name = place.name if place is not None else self.say("no_field")
            rows.append(RowView(f"place.{one.place}", name, told, plain=True, stacked=True))
        return rows

    def _load(self, fact: Fact) -> RowView:
        body: Any = fact.body
        ticket = short_ticket(body.ticket)
        time = self.session.clock(fact.made_at.utc)
        town = town_name(self.session, body.town)
        if body.is_taken:
            told = self.say("count.taken", town=town, yards=body.carried_yd3, time=time)
        else:
            told = self.say("count.turned_back", town=town, why=why_back(self.session, body), time=time)
        return RowView(f"load.{fact.id}", ticket, told, wrong=not body.is_taken, stacked=True)

    def tap(self, key: str) -> None:
        sort, _, id = key.partition(".")
        if sort == "town":
            self.session.facts["town"] = UUID(id)
            self.session.go("agreed")
        elif sort == "load":
            self.session.facts["load"] = UUID(id)
            self.session.go("ticket")


class AgreedPresenter(Presenter):
    """The count of a town's loads today, ours filled in, with the name of who agrees to it."""

    home = "gate_count"

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.town: UUID | None = None
        self.figures = {"loads": Keyed(), "yards": Keyed(parts=True)}
        self.active = "loads"
        self.with_ = ""

    def entered(self) -> None:
        self.town = self.session.facts.pop("town", self.town)
        self.with_, self.active, self.notice = "", "loads", ""
        loads, yards = self._ours()
        self.figures = {
            "loads": Keyed(text=str(loads)),
            "yards": Keyed(parts=True, text=format(yards.normalize(), "f")),
        }

    def _ours(self) -> tuple[int, Decimal]:
        sheet = sheet_now(self.session, loads_now(self.session))
        ours = next((one for one in sheet.towns if one.town == self.town), None)
        return (ours.taken, ours.yards_yd3) if ours is not None else (0, Decimal(0))

    def view(self) -> FormView:
        loads, yards = self._ours()
        assert self.town is not None
        return FormView(
            title=self.say("agreed.title", town=town_name(self.session, self.town)),
            under=self.say("agreed.ours", count=loads, yards=figure(self.session.language, yards)),
            lines=(TypedView("with", self.say("agreed.with"), self.with_),),
            notice=self.notice,
            slots=(self._slot("loads", ""), self._slot("yards", self.say("unit.yd3"))),
            mark=DECIMAL_MARK[self.session.language] if self.active == "yards" else "",
            rub_out=self.say("rub_out"),
            pad=self.say("figures"),
            back=self.say("back"),
            save=self.say("agreed.save"),
            **self.turning(),
        )

    def _slot(self, key: str, unit: str) -> SlotView:
        shown = self.figures[key].shown(self.session.language)
        return SlotView(key, self.say(f"agreed.{key}"), shown, unit, key == self.active)

    def write(self, key: str, text: str) -> None:
        self.with_ = text

    def key(self, key: str) -> None:
        self.figures[self.active].key(key)
        self.notice = ""
        self.changed()

    def pick_slot(self, key: str) -> None:
        self.active = key
        self.changed()

    def save(self) -> None:
        loads, yards = self.figures["loads"].value, self.figures["yards"].value
        assert self.town is not None
        if not self.with_.strip() or loads is None or yards is None:
            self.notice = self.say("agreed.first")
            self.changed()
            return
        body = AgreedCount(self.town, int(loads), yards, self.with_.strip())
        try:
            save_entry(self.session.phone, self.session.enrolment, NewEntry(body=body))
        except GoodgroundError as error:
            self.notice = self.session.trouble(error)
            self.changed()
            return
        self.session.saved()
        ours, _ = self._ours()
        told = self.say("agreed.saved" if ours == loads else "agreed.saved_off", ours=ours, loads=int(loads))
        self.session.facts["agreed_said"] = SaidView(told)
        self.session.go("gate_count")
