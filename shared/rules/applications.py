"""How many applications a piece of ground has had in twelve months (rulings R4 and R5)."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from typing import Literal

from shared.reckoning.deadlines import applications as applications_in_window
from shared.rules.judging import check, judged
from shared.rules.period import one_by_one
from shared.rules.sheet import Clause, Sheet
from shared.rules.spread import Spread, WorkedIn, in_day_order, pieces_of
from shared.rules.work_in_clock import worked_days
from shared.words.finding import Finding

Zone = Literal["farm", "other"]
"""``farm``: ground zoned for farming alone; ``other``: any other zone."""


@check
def applications(
    sheets: Iterable[Sheet],
    spreads: Sequence[Spread],
    workings: Sequence[WorkedIn],
    on: date,
    zone: Zone | None = None,
) -> Iterator[Finding]:
    """More applications on one piece of ground than a sheet allows in the twelve months up to ``on``.

    An application counts from its last day. Where the ground's zone is not known and a sheet tells zones
    apart, the stricter number is a reminder.
    """
    held = [one for one in in_day_order(spreads) if one.on <= on]
    worked = worked_days(held, workings)
    for piece in pieces_of(held):
        groups = one_by_one([one for one in held if piece in one.ground], worked)
        dates = tuple(group[-1].on for group in groups)
        count = applications_in_window(dates=dates, on=on).count
        for sheet in sheets:
            for clause, firm in _clauses(sheet, zone):
                if count > clause.value:
                    yield judged(
                        sheet,
                        clause,
                        "applications_over",
                        piece,
                        cure="wait_for_the_window",
                        value=count,
                        firm=firm,
                    )


def _clauses(sheet: Sheet, zone: Zone | None) -> Iterator[tuple[Clause[int], bool]]:
    if sheet.applications:
        yield sheet.applications, True
    farm, other = sheet.applications_farm_zone, sheet.applications_other_zone
    if zone == "farm" and farm:
        yield farm, True
    elif zone == "other" and other:
        yield other, True
    elif zone is None and (told := [one for one in (farm, other) if one]):
        yield min(told, key=lambda one: one.value), False
