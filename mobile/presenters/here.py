"""Here: the field you stand in, what is next in it, and what can be written."""

from __future__ import annotations

from dataclasses import dataclass, replace
from uuid import UUID

from mobile.actions.answer_query import open_queries
from mobile.actions.field_now import field_now
from mobile.actions.land import field, fields
from mobile.actions.loads_today import loads_today
from mobile.actions.put_off import put_off
from mobile.actions.round import Round, round_in_progress
from mobile.actions.save_entry import Saved
from mobile.actions.season import is_leaf_season
from mobile.actions.strike import can_undo, undo
from mobile.actions.where_am_i import Place, where_am_i
from mobile.presenters.due_words import job_line, next_due, why_line
from mobile.presenters.field_words import field_name, last_of, leg_line
from mobile.presenters.lines import LineView, RowView, SaidView, TextView
from mobile.presenters.presenter import Presenter
from mobile.presenters.session import Session
from shared.errors import GoodgroundError
from shared.languages import say
from shared.words.due import Due
from shared.words.field import Field

WALKED = ("cover", "weeds", "firmness", "leaf_depth")
LINES = (*WALKED, "ground", "work")
PUT_OFF = ("wet", "broken", "other")
WRITES_WORK = {
    "mow": "mow", "work_in": "work_in", "cut_hay": "cut_hay", "seed": "seed", "lime": "lime",
    "spread": "spread", "plant": "plant",
}  # fmt: skip
ROUND_OF = {
    "cover_round": "cover",
    "weed_round": "weeds",
    "firmness_round": "firmness",
    "depth_round": "leaf_depth",
}


@dataclass(frozen=True, slots=True)
class DueView:
    """The heaviest block: the job with how late it is, why, and the word of the key beside it."""

    job: str
    why: str
    cant: str


@dataclass(frozen=True, slots=True)
class HereView:
    title: str
    under: str
    rows: tuple[LineView, ...]
    foot: tuple[str, str, str]
    waiting: str
    further: str
    back_up: str
    due: DueView | None = None
    gate: str = ""
    said: SaidView | None = None
    notice: str = ""


class HerePresenter(Presenter):
    """The field is the one the receiver is sure of, or the one the person tapped; theirs holds until the
    receiver is sure of another."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.chosen: UUID | None = None
        self.sure: UUID | None = None
        self.choosing = False
        self.putting_off = False
        self.saved: Saved | None = None
        self.season: tuple[object, bool] | None = None

    def entered(self) -> None:
        self.said, self.saved = self.session.facts.pop("said", (None, None))
        self.putting_off = self.choosing = False

    def tick(self) -> None:
        self.changed()

    # where

    def _here(self, place: Place) -> Field | None:
        if place.field is not None and place.field.id != self.sure:
            self.sure, self.chosen = place.field.id, None
        if self.chosen is not None:
            return field(self.session.phone, self.session.enrolment, self.chosen)
        return place.field

    def view(self) -> HereView:
        place = where_am_i(self.session.phone, self.session.enrolment)
        here = self._here(place)
        shown = HereView(
            title=self.say("here.which"),
            under=self._where(place),
            rows=(),
            foot=(self.say("here.note"), self.say("here.wrote"), self.say("here.more")),
            waiting=self.session.waiting(),
            gate=self._gate(),
            said=self._said(),
            notice=self.notice or self.session.notice(),
            **self.turning(),
        )
        if here is None or self.choosing:
            first = () if self.choosing else self._first()
            return replace(shown, rows=(*first, *self._which(place)))
        if self.putting_off:
            return replace(
                shown, title=here.name, under=self.say("here.why_not"), rows=self._why_not(), gate=""
            )
        return self._in_field(shown, here, place)

    def _said(self) -> SaidView | None:
        if self.said is None or self.saved is None:
            return self.said
        return self.said if can_undo(self.session.phone, self.saved) else replace(self.said, undo="")

    def undo(self) -> None:
        if self.saved is None:
            return
        try:
            undo(self.session.phone, self.saved)
            self.said = SaidView(self.say("undone"))
        except GoodgroundError as error:
            self.said = SaidView(self.session.trouble(error))
        self.saved = None
        self.changed()

    def _where(self, place: Place) -> str:
        if place.sureness == "off_farm":
            nearest = place.candidates[0].name
            distance = int(round(place.nearest_m or 0, -1))
            return say(self.session.language, "place.off_farm", field=nearest, distance=distance)
        if place.sureness == "no_position":
            return say(self.session.language, f"no_position.{place.fix.why or 'searching'}")
        if place.sureness == "no_land":
            return say(self.session.language, "place.no_land")
        return self.say(f"here.{place.sureness}")

    def _which(self, place: Place) -> tuple[LineView, ...]:
        """Those it may be, likeliest first; all fields where that is not known."""
        every = fields(self.session.phone, self.session.enrolment)
        if not every:
            return (TextView("empty", self.say("here.no_land_yet")),)
        likely = place.candidates if not self.choosing else ()
        rest = [one for one in every if one not in likely] if place.sureness != "not_sure" else []
        return tuple(RowView(f"field.{one.id}", one.name, self._leg(one)) for one in (*likely, *rest))

    def _leg(self, ground: Field) -> str:
        return leg_line(self.session, field_now(self.session.phone, self.session.enrolment, ground.id))

    def _in_field(self, shown: HereView, here: Field, place: Place) -> HereView:
        status = field_now(self.session.phone, self.session.enrolment, here.id)
        sure = "here.by_you" if self.chosen is not None else "here.sure"
        due = next_due(self.session, here.id)
        rows: list[LineView] = list(self._first())
        rows += [
            RowView(key, self.say(f"here.line.{key}"), last_of(self.session, status, key)) for key in LINES
        ]
        if place.sureness != "sure":
            rows.append(RowView("which", self.say("here.another"), self._where(place)))
        return replace(
            shown,
            title=here.name,
            under=self.say("here.under", leg=leg_line(self.session, status), sure=self.say(sure)),
            due=self._due(due) if due is not None else None,
            rows=tuple(rows),
        )

    def _first(self) -> tuple[RowView, ...]:
        """What waits for this person wherever they stand: a query, a round that goes on."""
        going = round_in_progress(self.session.phone, self.session.enrolment)
        return (*self._asked(), *((self._going(going),) if going is not None else ()))

    def _asked(self) -> list[RowView]:
        person = self.session.person
        asked = () if person is None else open_queries(self.session.phone, self.session.enrolment, person.id)
        return [RowView("queries", self.say("here.queries", count=len(asked)), heavy=True)] if asked else []

    def _going(self, going: Round) -> RowView:
        measure = self.say(f"measure.{going.measures[0]}")
        stop = going.next_stop or len(going.done)
        told = self.say(
            "here.going_at", measure=measure, stop=stop, field=field_name(self.session, going.field)
        )
        return RowView("going", self.say("here.going"), told, heavy=True, stacked=True)

    def _due(self, due: Due) -> DueView:
        return DueView(job_line(self.session, due), why_line(self.session, due), self.say("here.cant"))

    def _why_not(self) -> tuple[LineView, ...]:
        rows = [RowView(f"put_off.{why}", self.say(f"ask.put_off.{why}")) for why in PUT_OFF]
        return (*rows, RowView("put_off.no", self.say("back")))

    def _gate(self) -> str:
        """The gate's bar, in leaf season; at other times the gate is under *More*."""
        phone, farm, today = self.session.phone, self.session.enrolment, self.session.today()
        count = loads_today(phone, farm, today)
        if count:
            return self.say("here.gate", count=count)
        key = (self.session.farm.cursor, self.session.farm.line, today)
        if self.season is None or self.season[0] != key:
            self.season = (key, is_leaf_season(phone, farm, today))
        return self.say("here.gate_open") if self.season[1] else ""

    # taps

    def tap(self, key: str) -> None:
        self.notice, self.said = "", None
        if key.startswith("field."):
            self.chosen, self.choosing = UUID(key.removeprefix("field.")), False
        elif key.startswith("put_off."):
            self._put_off(key.removeprefix("put_off."))
        elif key == "which":
            self.choosing = True
        elif key == "going":
            self.session.go("round")
            return
        elif key == "queries":
            self.session.go("wrote")
            return
        else:
            self._write_down(key)
            return
        self.changed()

    def _write_down(self, key: str) -> None:
        here = self._field_id()
        if key in WALKED:
            self.session.facts["round"] = {"field": here, "measures": (key,)}
            self.session.go("round")
        else:
            self.session.facts["field"] = here
            self.session.go(key)

    def _field_id(self) -> UUID | None:
        here = self._here(where_am_i(self.session.phone, self.session.enrolment))
        return here.id if here is not None else None

    def open(self, key: str) -> None:
        self.said = None
        self.session.facts["field"] = self._field_id()
        self.session.go(key)

    def open_due(self) -> None:
        due = self._next()
        if due is None:
            return
        if due.job in ROUND_OF:
            self._write_down(ROUND_OF[due.job])
            return
        self.session.facts["field"] = due.field
        self.session.facts["job"] = WRITES_WORK.get(due.job, "")
        self.session.go("work" if due.job in WRITES_WORK else "note")

    def _next(self) -> Due | None:
        here = self._field_id()
        return next_due(self.session, here) if here is not None else None

    def cant_today(self) -> None:
        self.putting_off = True
        self.changed()

    def _put_off(self, why: str) -> None:
        self.putting_off = False
        due = self._next()
        if why == "no" or due is None:
            return
        try:
            words = self.say("ask.put_off.other") if why == "other" else None
            put_off(self.session.phone, self.session.enrolment, due, why, words)
        except GoodgroundError as error:
            self.notice = self.session.trouble(error)
            return
        self.session.saved()
        self.said = SaidView(
            self.say("here.put_off_saved", job=say(self.session.language, f"dues.title.{due.job}"))
        )
