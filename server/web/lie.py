"""What *Lie of the land* shows, gathered in a number of queries that does not grow with the fields."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from uuid import UUID

from server.book import reads as book
from server.land import reads as land
from server.people import reads as people
from server.people.models import Phone
from server.reading.reads import days_unread, held_unsettled
from server.status import reads as status
from server.web.desk import Desk
from server.web.ribbons import Scale, Span, ribbon, scale
from shared.status.unusual import CLOCK_OFF_MS
from shared.words.bodies.desk import Plan
from shared.words.due import Due
from shared.words.field import Field
from shared.words.leg import Leg

BACK_DAYS = 21
FIRST_JOBS = 4
MOST_WRONG = 6
UNHEARD_AFTER = timedelta(hours=12)
MS_PER_MINUTE = 60_000


@dataclass(frozen=True, slots=True)
class FieldLine:
    """One field: its next job, whether that may begin only later, its ribbon."""

    field: Field
    due: Due | None
    late_days: int
    later: bool
    leg: Leg | None
    spans: list[Span]


@dataclass(frozen=True, slots=True)
class Evening:
    """The evening's three: what came in today, what looks wrong, tomorrow's first jobs."""

    entries: int
    phones: int
    unheard: list[Phone]
    held: int
    queries: int
    clocks: list[tuple[Phone, int]]
    late: list[tuple[Field | None, Due, int]]
    jobs: list[tuple[Field | None, Due]]
    unread: list[tuple[date, int]]

    @property
    def first_late(self) -> list[tuple[Field | None, Due, int]]:
        return self.late[:MOST_WRONG]

    @property
    def more_late(self) -> int:
        return len(self.late) - len(self.first_late)

    @property
    def nothing_wrong(self) -> bool:
        return not (self.late or self.clocks or self.held or self.queries)


@dataclass(frozen=True, slots=True)
class Lie:
    """The whole page."""

    lines: list[FieldLine]
    scale: Scale
    acres: float
    cash_acres: float
    cash_pct: float
    evening: Evening


def lie_of(desk: Desk) -> Lie:
    fields = land.fields(desk.farm.id)
    legs = land.legs(desk.farm.id)
    plans = _plans(desk.farm.id)
    on = scale(desk.today)
    dues = status.dues(desk.farm.id)
    next_due = next_dues(dues, desk.today)
    lines = [_line(field, next_due.get(field.id), legs, plans, on) for field in fields]
    acres = sum(field.area_ac or 0.0 for field in fields)
    cash = sum(field.area_ac or 0.0 for field in fields if _cash_in(legs.get(field.id, []), desk.today.year))
    share = 100 * cash / acres if acres else 0.0
    return Lie(sorted(lines, key=_by_last_day), on, acres, cash, share, _evening(desk, fields, dues))


def _line(
    field: Field,
    due: Due | None,
    legs: dict[UUID, list[Leg]],
    plans: dict[UUID, tuple[tuple[int, str, str], ...]],
    on: Scale,
) -> FieldLine:
    spans = ribbon(legs.get(field.id, []), plans.get(field.id, ()), on)
    later = due is not None and not _is_open(due, on.today)
    leg = land.leg_on(legs.get(field.id, []), on.today)
    return FieldLine(field, due, late_days(due, on.today) if due else 0, later, leg, spans)


def _by_last_day(line: FieldLine) -> tuple[bool, bool, date, str]:
    """By the last day; what has none after those, what may begin only later after all that."""
    last = line.due.last if line.due else None
    return (line.due is None or line.later, last is None, last or date.max, line.field.name)


def next_dues(dues: list[Due], today: date) -> dict[UUID, Due]:
    """The next job of each field: of those that may begin by now the one with the earliest last day, else what
    begins first."""
    out: dict[UUID, Due] = {}
    for due in sorted(dues, key=lambda one: _rank(one, today)):
        if due.field is not None:
            out.setdefault(due.field, due)
    return out


def _rank(due: Due, today: date) -> tuple[bool, date, date, str]:
    later = not _is_open(due, today)
    return (later, (due.earliest or today) if later else date.min, due.last or date.max, due.id)


def _is_open(due: Due, today: date) -> bool:
    return due.earliest is None or due.earliest <= today


def late_days(due: Due, today: date) -> int:
    return max(0, (today - due.last).days) if due.last is not None else 0


def _cash_in(legs: list[Leg], year: int) -> bool:
    """Whether a field carries a cash crop that is harvested in this year: one that stands in it at mid-year."""
    current = land.leg_on(legs, date(year, 7, 1))
    return current is not None and current.leg == "cash"


def _plans(farm: UUID) -> dict[UUID, tuple[tuple[int, str, str], ...]]:
    """The last plan written for each field."""
    out: dict[UUID, tuple[tuple[int, str, str], ...]] = {}
    for written in book.all_written(book.of_kinds(farm, ["plan"])):
        body = written.entry.body
        if isinstance(body, Plan) and written.entry.field is not None:
            out[written.entry.field] = body.years
    return out


def plan_of(farm: UUID, field: UUID) -> tuple[tuple[int, str, str], ...]:
    """The last plan written for one field; empty where there is none."""
    for row in reversed(book.of_field(farm, field, ["plan"])):
        written = book.written(row)
        if written is not None and isinstance(written.entry.body, Plan):
            return written.entry.body.years
    return ()


def _evening(desk: Desk, fields: list[Field], dues: list[Due]) -> Evening:
    farm = desk.farm.id
    by_phone = Counter(_came_in(desk))
    named = {field.id: field for field in fields}
    late = [(named.get(due.field), due, late_days(due, desk.today)) for due in dues if due.job != "answer"]
    tomorrow = desk.today + timedelta(days=1)
    jobs = [(named.get(due.field), due) for due in dues if _is_open(due, tomorrow) and due.job != "answer"]
    return Evening(
        entries=sum(by_phone.values()),
        phones=len(by_phone),
        unheard=people.unheard(farm, desk.now - UNHEARD_AFTER),
        held=held_unsettled(farm),
        queries=len(status.open_queries(farm)),
        clocks=[
            (phone, round(phone.skew_ms / MS_PER_MINUTE))
            for phone in people.phones(farm)
            if abs(phone.skew_ms) > CLOCK_OFF_MS.value and phone.stopped_at is None
        ],
        late=sorted((one for one in late if one[2]), key=lambda one: (-one[2], one[1].id)),
        jobs=jobs[:FIRST_JOBS],
        unread=days_unread(desk.farm, desk.today - timedelta(days=BACK_DAYS)),
    )


def _came_in(desk: Desk) -> list[UUID]:
    """The phone of each entry that arrived on the farm's today; the desk's own are left out."""
    begins = datetime.combine(desk.today, time(), desk.zone)
    found = book.rows(desk.farm.id).filter(arrived_at__gte=begins, phone__desk=False)
    return list(found.order_by().values_list("phone_id", flat=True))
