"""Which spreads a cap counts on a given day, by the period that the cap is meant for (rulings R4 and R5)."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date

from shared.reckoning.deadlines import IDLE_DAYS, MONTHS_PER_YEAR, months_before
from shared.rules.spread import Spread, in_day_order

Worked = Mapping[Spread, date | None]

PERIODS = ("one_application", "calendar_year", "rolling_twelve_months", "until_worked_in")
"""The periods of ruling R4. A sheet whose text was not read takes the strictest of them."""


def counted(
    basis: str, piece: str, spreads: Iterable[Spread], worked: Worked, on: date
) -> tuple[Spread, ...]:
    """The spreads on one piece of ground that count against a cap on the day ``on``, by day.

    ``accumulated`` counts all there ever were; ``strictest`` takes, of the four periods, the one that counts
    most yards on this ground.
    """
    there = tuple(one for one in in_day_order(spreads) if one.on <= on and piece in one.ground)
    if basis == "strictest":
        return max((_in_period(period, there, worked, on) for period in PERIODS), key=_laid)
    return _in_period(basis, there, worked, on)


def _laid(spreads: Sequence[Spread]) -> float:
    return sum(one.yards_yd3 / one.area_ft2 for one in spreads)


def _in_period(basis: str, there: tuple[Spread, ...], worked: Worked, on: date) -> tuple[Spread, ...]:
    match basis:
        case "one_application":
            groups = one_by_one(there, worked)
            return groups[-1] if groups and not _over(groups[-1], worked, on) else ()
        case "calendar_year":
            return tuple(one for one in there if one.on.year == on.year)
        case "rolling_twelve_months":
            opened = months_before(on, int(MONTHS_PER_YEAR.value))
            return tuple(one for one in there if one.on > opened)
        case "until_worked_in":
            return tuple(one for one in there if not _done(worked[one], on))
        case "accumulated":
            return there
    raise ValueError(f"{basis!r} is no period")


def _done(worked_on: date | None, on: date) -> bool:
    # On the day itself the leaves still lay there.
    return worked_on is not None and worked_on < on


def _over(group: Sequence[Spread], worked: Worked, on: date) -> bool:
    """Whether an application had ended before the day: a spreading on that day would begin another."""
    last = group[-1]
    return _done(worked[last], on) or (on - last.on).days > IDLE_DAYS.value


def one_by_one(there: Sequence[Spread], worked: Worked) -> tuple[tuple[Spread, ...], ...]:
    """The applications on one piece of ground: each runs until worked in or idle for thirty days (ruling R5).

    ``there`` are the spreads on that piece by day. Thirty idle days are thirty days with no spreading between
    two that have it.
    """
    groups: list[list[Spread]] = []
    for spread in there:
        if groups and not _over(groups[-1], worked, spread.on):
            groups[-1].append(spread)
        else:
            groups.append([spread])
    return tuple(tuple(group) for group in groups)
