"""A time as somebody's clock showed it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

FIRST_YEAR, LAST_YEAR = 1900, 2199
"""The years that a farm's records can be of: a day outside is a clock's or a finger's, and no span is counted from
it."""


@dataclass(frozen=True, slots=True)
class Moment:
    """An RFC 3339 time: ``text`` exactly as it was written, ``utc`` where it can be had, else None
    (a leap second, the year 0000, an offset that leaves the calendar)."""

    text: str
    utc: datetime | None

    def day(self, zone: ZoneInfo) -> date | None:
        """The calendar day in a farm's zone, None where there is no UTC time."""
        return in_zone(self.utc, zone).date() if self.utc is not None else None


def can_be(day: date) -> bool:
    """Whether a record can be of this day at all."""
    return FIRST_YEAR <= day.year <= LAST_YEAR


def day_of(told: Iterable[Moment | date | None], zone: ZoneInfo) -> date | None:
    """The farm-day that something belongs to: the first of these times that a record can be of, as the farm's zone
    dates it. None where none is such a time. Of an entry they are ``done_at``, ``made_at``, when it arrived."""
    for one in told:
        on = one.day(zone) if isinstance(one, Moment) else one
        if on is not None and can_be(on):
            return on
    return None


def in_zone(at: datetime, zone: ZoneInfo) -> datetime:
    """What a clock in ``zone`` showed then; in the calendar's first and last hours, which a zone would leave, the
    UTC time itself."""
    try:
        return at.astimezone(zone)
    except OverflowError:
        return at
