"""Days from a load's arrival to its spreading."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date

from shared.rules.calendar import days_taken, last_day
from shared.rules.judging import check, judged
from shared.rules.sheet import Sheet
from shared.words.finding import Finding


@dataclass(frozen=True, slots=True)
class Arrival:
    """A load with the farm-local days on which it came and was spread (None: still in the pile)."""

    load: str
    arrived_on: date
    spread_on: date | None = None


@check
def spread_in_time(sheets: Iterable[Sheet], arrival: Arrival, today: date) -> Iterator[Finding]:
    """A load spread later after its arrival than a sheet allows, or waiting longer on ``today``."""
    end = arrival.spread_on or today
    for sheet in sheets:
        clause = sheet.spread_within_days
        if clause is None:
            continue
        taken = days_taken(arrival.arrived_on, end, clause.basis)
        if taken > clause.value:
            yield judged(
                sheet,
                clause,
                "spread_late" if arrival.spread_on else "spread_overdue",
                arrival.load,
                cure="note_why_late" if arrival.spread_on else "spread_now",
                value=taken,
                last_day=last_day(arrival.arrived_on, clause.value, clause.basis),
            )


def spread_by(sheets: Iterable[Sheet], arrived_on: date) -> date | None:
    """The earliest last day for spreading a load by any sheet, None where no sheet sets one."""
    clauses = [one.spread_within_days for one in sheets if one.spread_within_days]
    return min((last_day(arrived_on, one.value, one.basis) for one in clauses), default=None)
