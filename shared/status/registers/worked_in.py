"""*Worked in*: each run of the work-in clock, from the first spreading on a part until its ground was
worked (R9)."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from uuid import UUID

from shared.rules.calendar import days_taken
from shared.rules.work_in_clock import Clock
from shared.status.fact import Fact
from shared.status.leaf_room import work_in_clocks
from shared.status.registers.register import Ground, Register, Word
from shared.units import FT2_PER_ACRE
from shared.words.bodies.work import Work

WORKED_IN = Register(
    "worked_in",
    ("place", "spread_on", "yards_yd3", "covered_ac", "worked_in_on", "days", "work", "by", "change"),
)
EVENT_IS_DAY_0 = "event_is_day_0"
HUNDREDTH = Decimal("0.01")


@dataclass(frozen=True, slots=True)
class WorkedInRow:
    """One run: the field or part, the first day of spreading, the yards that came on it, the acres
    covered, the day it was all worked in (None: not yet) and the days that took, the jobs that did it and
    by whom. ``change`` is *running* while it isn't done."""

    place: UUID
    spread_on: date
    yards_yd3: Decimal
    covered_ac: Decimal
    worked_in_on: date | None
    days: int | None
    work: tuple[Word, ...]
    by: UUID | None
    change: Word | None
    entries: tuple[UUID, ...]


def worked_in(facts: Iterable[Fact], fields: Sequence[Ground]) -> tuple[WorkedInRow, ...]:
    """The rows of all runs of these fields' clocks, by first day; ``facts`` say who did the work."""
    by_id = {fact.id: fact for fact in facts if isinstance(fact.body, Work)}
    rows = [
        _row(run, ground, by_id) for ground in fields for run in work_in_clocks(ground.status, ground.land)
    ]
    return tuple(sorted(rows, key=lambda row: (row.spread_on, str(row.place))))


def _row(run: Clock, ground: Ground, by_id: dict[UUID, Fact]) -> WorkedInRow:
    place = UUID(run.part)
    end = run.worked_on or date.max
    done = [one for one in ground.status.worked if run.started <= one.on <= end and one.part in (None, place)]
    facts = [by_id[one.entry] for one in done if one.entry in by_id]
    jobs = sorted({fact.body.job for fact in facts if isinstance(fact.body, Work)})
    return WorkedInRow(
        place=place,
        spread_on=run.started,
        yards_yd3=Decimal(str(sum(one.yards_yd3 for one in run.spreads))).quantize(HUNDREDTH),
        covered_ac=Decimal(str(run.covered_ft2 / FT2_PER_ACRE.value)).quantize(HUNDREDTH),
        worked_in_on=run.worked_on,
        days=days_taken(run.started, run.worked_on, EVENT_IS_DAY_0) if run.worked_on else None,
        work=tuple(Word(job) for job in jobs),
        by=facts[-1].by if facts else None,
        change=None if run.worked_on else Word("running"),
        entries=tuple(one.entry for one in done),
    )
