"""The yearly report of what came in: when it is due, to whom, and what blocks it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from typing import Literal

from shared.reckoning.computation import Input
from shared.rules.judging import check, judged
from shared.rules.sheet import Sheet
from shared.words.finding import Finding

Measure = Literal["yd3", "tons", "ft3", "gal"]

_RATIO = Input("yd3_per_ton", unit="yd3/ton", low=0, above_low=True)


@dataclass(frozen=True, slots=True)
class ReportFacts:
    """One calendar year's report: its unit, the conversion ratio that it states (None: none), and the day it
    was handed in (None: not yet). Raises ``OutOfRange`` for a ratio not above 0."""

    year: int
    measure: Measure
    yd3_per_ton: float | None = None
    handed_in_on: date | None = None

    def __post_init__(self) -> None:
        if self.yd3_per_ton is not None:
            _RATIO.check(self.yd3_per_ton)


@check
def report(sheets: Iterable[Sheet], facts: ReportFacts, today: date) -> Iterator[Finding]:
    """A report in yards that states no conversion ratio is blocked; one not handed in by its day is late."""
    for sheet in sheets:
        ratio = sheet.report_ratio
        if ratio and ratio.value and facts.measure == "yd3" and facts.yd3_per_ton is None:
            yield judged(sheet, ratio, "report_blocked", str(facts.year), cure="state_ratio", value=False)
        clause = sheet.report_due
        if clause is None:
            continue
        due = report_due_on(clause.value, facts.year)
        handed_in = facts.handed_in_on or today
        if handed_in > due:
            yield judged(
                sheet,
                clause,
                "report_late" if facts.handed_in_on else "report_overdue",
                str(facts.year),
                cure="note_why_late" if facts.handed_in_on else "hand_in_report",
                value=handed_in,
                limit=due,
                to=clause.to,
            )


def report_due_on(month_day: str, year: int) -> date:
    """The day on which the report of a calendar year is due: in the year after it."""
    return date.fromisoformat(f"{year + 1:04d}-{month_day}")


@dataclass(frozen=True, slots=True)
class ReportDue:
    """One report that falls due: by which sheet, when, and to whom."""

    sheet: Sheet
    due_on: date
    to: tuple[str, ...]
    binds: bool


def reports_due(sheets: Iterable[Sheet], year: int) -> tuple[ReportDue, ...]:
    """Every report of a calendar year, the earliest first."""
    dues = [
        ReportDue(one, report_due_on(one.report_due.value, year), one.report_due.to, one.report_due.binds)
        for one in sheets
        if one.report_due
    ]
    return tuple(sorted(dues, key=lambda one: (one.due_on, one.sheet.name)))
