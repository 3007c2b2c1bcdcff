"""How long and how much may lie in a pile."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from shared.reckoning.deadlines import months_before
from shared.reckoning.leaf import YARDS_YD3
from shared.rules.calendar import days_taken
from shared.rules.judging import check, judged, over
from shared.rules.sheet import Sheet
from shared.words.finding import Finding


@dataclass(frozen=True, slots=True)
class Stored:
    """A pile: since when its oldest leaves lie there, and how many yards it holds. Raises ``OutOfRange`` for
    yards below 0."""

    pile: str
    oldest_on: date
    yards_yd3: float

    def __post_init__(self) -> None:
        YARDS_YD3.check(self.yards_yd3)


@check
def storage(sheets: Iterable[Sheet], stored: Stored, today: date) -> Iterator[Finding]:
    """A pile older on ``today`` than a sheet allows, by days or by months, or larger. An empty pile has no
    age."""
    for sheet in sheets:
        if stored.yards_yd3 > 0:
            yield from _age(sheet, stored, today)
        if sheet.storage_yd3 and over(stored.yards_yd3, sheet.storage_yd3.value):
            yield judged(
                sheet,
                sheet.storage_yd3,
                "pile_too_large",
                stored.pile,
                cure="draw_pile_down",
                value=stored.yards_yd3,
            )


def stored_until(sheets: Iterable[Sheet], oldest_on: date) -> date | None:
    """The last day on which a pile whose oldest leaves came on ``oldest_on`` is not too old under any sheet, the
    strictest of days and of months; None where none sets either."""
    ends: list[date] = []
    for sheet in sheets:
        if sheet.storage_days:
            ends.append(oldest_on + timedelta(days=int(sheet.storage_days.value)))
        if sheet.storage_months:
            ends.append(months_before(oldest_on, -int(sheet.storage_months.value)))
    return min(ends, default=None)


def _age(sheet: Sheet, stored: Stored, today: date) -> Iterator[Finding]:
    days = sheet.storage_days
    age = days_taken(stored.oldest_on, today, "")
    if days and age > days.value:
        yield judged(sheet, days, "pile_too_old_days", stored.pile, cure="spread_now", value=age)
    months = sheet.storage_months
    if months and stored.oldest_on < months_before(today, months.value):
        yield judged(
            sheet,
            months,
            "pile_too_old_months",
            stored.pile,
            cure="spread_now",
            value=age,
            oldest_on=stored.oldest_on,
        )
