"""A time as somebody's clock showed it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo


@dataclass(frozen=True, slots=True)
class Moment:
    """An RFC 3339 time: ``text`` exactly as it was written, ``utc`` where it can be had, else None
    (a leap second, the year 0000, an offset that leaves the calendar)."""

    text: str
    utc: datetime | None

    def day(self, zone: ZoneInfo) -> date | None:
        """The calendar day in a farm's zone, None where there is no UTC time."""
        return self.utc.astimezone(zone).date() if self.utc is not None else None
