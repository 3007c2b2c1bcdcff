"""The phones' clocks: when each was switched on, what its steady clock says, how far its wall clock is ahead."""

from __future__ import annotations

from datetime import datetime, timedelta
from uuid import UUID

from demo_fixtures.people import AHEAD_MIN, DESK
from demo_fixtures.season import Season
from demo_fixtures.seed import identity
from shared.wire.scalars import moment, written_moment
from shared.words.moment import Moment


def switched_on(season: Season, phone: str, at: datetime) -> datetime:
    """When the phone was last switched on: the first of each month, early; the red phone also when its battery
    had been out."""
    monthly = at.replace(day=1, hour=5, minute=12, second=0, microsecond=0)
    if monthly > at:
        monthly = (monthly - timedelta(days=1)).replace(day=1)
    again = [start for start, _ in _ahead(season) if phone == "red" and monthly < start <= at]
    return max([monthly, *again])


def _ahead(season: Season) -> tuple[tuple[datetime, datetime], ...]:
    """From when to when the red phone's clock ran ahead: until the phone was next switched on and set right."""
    return (
        (season.at(0, 6, 22, 6, 31), season.at(0, 7, 1, 5, 12)),
        (season.at(0, 11, 16, 6, 40), season.at(0, 12, 1, 5, 12)),
    )


def ahead(season: Season, phone: str, at: datetime) -> timedelta:
    """How far the phone's wall clock runs ahead of the true time."""
    fast = phone == "red" and any(start <= at < end for start, end in _ahead(season))
    return timedelta(minutes=AHEAD_MIN) if fast else timedelta(0)


def shown(season: Season, phone: str, at: datetime) -> datetime:
    """The true time as the phone's wall clock shows it."""
    return at + ahead(season, phone, at)


def steady(season: Season, phone: str, at: datetime) -> tuple[UUID | None, int | None]:
    """The boot and the milliseconds since it; nothing at the desk."""
    if phone == DESK:
        return None, None
    since = switched_on(season, phone, at)
    return identity(since, "boot", phone), int((at.timestamp() - since.timestamp()) * 1000)


def told(at: datetime) -> Moment:
    """A time with its offset, to the millisecond, as an entry keeps it."""
    return moment(written_moment(at), "at")
