"""Whether leaves come to the gate at this time of the year, by the farm's own load days."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta

from shared.units import Figure, Source

LEAF_FALL = Source(
    "leaf_fall", "towns collect leaves from October to January, common practice, no source", None, "practice"
)
HOUSE_SEASON = Source(
    "house_season", "how long a gate stands open round its loads, a choice of this project", None, "practice"
)
FIRST_MONTH = Figure(10, "month", LEAF_FALL)
LAST_MONTH = Figure(1, "month", LEAF_FALL)
OPEN_AFTER_DAYS = Figure(14, "days after the last load", HOUSE_SEASON)
AROUND_DAYS = Figure(21, "days round last year's loads", HOUSE_SEASON)
SEASON_STARTS = Figure(7, "month", HOUSE_SEASON)
"""A leaf season is told from July to June: it is never cut by the year's end."""
YEARS_BACK = 2
DAYS_A_YEAR = 365


def in_leaf_season(today: date, load_days: Iterable[date]) -> bool:
    """Whether the gate is likely to be wanted on a farm-day: within two weeks after a load; from three weeks
    before to three weeks after the days on which loads came a year or two ago; on a farm that has none so far,
    from October to January. Days after ``today`` are passed over."""
    known = [one for one in load_days if one <= today]
    if any((today - one).days <= OPEN_AFTER_DAYS.value for one in known):
        return True
    around = timedelta(days=AROUND_DAYS.value)
    earlier = [(one, years) for one in known for years in range(1, YEARS_BACK + 1)]
    for day, years in earlier:
        again = day + timedelta(days=DAYS_A_YEAR * years)
        if again - around <= today <= again + around:
            return True
    return not known and (today.month >= FIRST_MONTH.value or today.month <= LAST_MONTH.value)


def season_of(on: date) -> int:
    """The year in which the leaf season of a day began."""
    return on.year if on.month >= SEASON_STARTS.value else on.year - 1


def span_of(season: int) -> tuple[date, date]:
    """The first and the last day of a leaf season. Raises ``ValueError`` for a year that has no such days."""
    month = int(SEASON_STARTS.value)
    return date(season, month, 1), date(season + 1, month, 1) - timedelta(days=1)
