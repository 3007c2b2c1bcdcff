"""What *Lie of the land* shows, gathered in a number of queries that does not grow with the fields."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from datetime import date, timedelta
from uuid import UUID

from server.book import reads as book
from server.land import reads as land
from server.people import reads as people
from server.people.models import Phone
from server.status import reads as status
from server.web.desk import Desk
from server.web.ribbons import Scale, Span, ribbon, scale
from shared.words.bodies.desk import Plan
from shared.words.due import Due
from shared.words.field import Field
from shared.words.leg import Leg

CLOCK_OFF_MS = 5 * 60 * 1000
FIRST_JOBS = 4
UNHEARD_AFTER = timedelta(hours=12)


@dataclass(frozen=True, slots=True)
class FieldLine:
    """One field: its next job, its ribbon."""

    field: Field
    due: Due | None
    late_days: int
    spans: list[Span]


@dataclass(frozen=True, slots=True)
class Evening:
    """The evening's three: what came in today, what looks wrong, tomorrow's first jobs."""

    entries: int
    phones: int
    unheard: list[Phone]
    held: int
    clocks: list[tuple[Phone, int]]
    late: list[tuple[Field, Due, int]]
    jobs: list[tuple[Field | None, Due]]


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
    first_due = _first_dues(status.dues(desk.farm.id))
    lines = [
        FieldLine(
            field,
            first_due.get(field.id),
            _late(first_due.get(field.id), desk.today),
            ribbon(legs.get(field.id, []), plans.get(field.id, ()), on),
        )
        for field in fields
    ]
    acres = sum(field.area_ac or 0.0 for field in fields)
    cash = sum(field.area_ac or 0.0 for field in fields if _cash_in(legs.get(field.id, []), desk.today.year))
    share = 100 * cash / acres if acres else 0.0
    return Lie(sorted(lines, key=_by_last_day), on, acres, cash, share, _evening(desk, fields, first_due))


def _by_last_day(line: FieldLine) -> tuple[bool, date, str]:
    last = line.due.last if line.due else None
    return (last is None, last or date.max, line.field.name)


def _first_dues(dues: list[Due]) -> dict[UUID, Due]:
    out: dict[UUID, Due] = {}
    for due in dues:
        if due.field is not None:
            out.setdefault(due.field, due)
    return out


def _late(due: Due | None, today: date) -> int:
    return max(0, (today - due.last).days) if due is not None and due.last is not None else 0


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


def _evening(desk: Desk, fields: list[Field], first_due: dict[UUID, Due]) -> Evening:
    farm = desk.farm.id
    by_phone = Counter(book.of_day(farm, desk.today).values_list("phone_id", flat=True))
    named = {field.id: field for field in fields}
    late = [
        (named[field], due, _late(due, desk.today))
        for field, due in first_due.items()
        if _late(due, desk.today) and field in named
    ]
    tomorrow = desk.today + timedelta(days=1)
    jobs = [
        (named.get(due.field) if due.field else None, due)
        for due in status.dues(farm)
        if due.earliest is None or due.earliest <= tomorrow
    ]
    return Evening(
        entries=sum(by_phone.values()),
        phones=len(by_phone),
        unheard=people.unheard(farm, desk.now - UNHEARD_AFTER),
        held=book.held(farm).count(),
        clocks=[
            (phone, round(phone.skew_ms / 60_000))
            for phone in people.phones(farm)
            if abs(phone.skew_ms) > CLOCK_OFF_MS and phone.stopped_at is None
        ],
        late=sorted(late, key=lambda one: -one[2]),
        jobs=jobs[:FIRST_JOBS],
    )
