"""Days of weather in the book: written once, and again only where a figure is another."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date, datetime
from uuid import UUID

from server.book import reads as book
from server.intake.desk import Draft, write
from server.people.models import Farm
from shared.words.bodies.told import Weather


def known(farm: Farm, since: date | None = None) -> dict[tuple[date, str | None], Weather]:
    """The last that was written of each day and station, since a day where one is told."""
    rows = book.of_kinds(farm.id, ("weather",), since).filter(outcome="kept")
    bodies = (entry.body for row in rows if (entry := book.entry_of(row)) is not None)
    return {(one.date, one.station): one for one in bodies if isinstance(one, Weather)}


def keep(
    farm: Farm, person: UUID, days: Sequence[Weather], now: datetime, paper: bool = False
) -> tuple[int, int]:
    """Write these days; how many, and how many stood there already just so."""
    there = known(farm, min((one.date for one in days), default=None))
    fresh = [one for one in dict.fromkeys(days) if there.get((one.date, one.station)) != one]
    if fresh:
        write(farm.id, person, [Draft(one, done_at=one.date, from_paper=paper) for one in fresh], now)
    return len(fresh), len(days) - len(fresh)


def named(days: Iterable[Weather], station: str) -> list[Weather]:
    """Days without a station, with the one that they were asked of."""
    return [one if one.station else replace(one, station=station) for one in days]
