"""Days of weather in the book: written once, and again only where a figure is another."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date, datetime
from uuid import UUID

from server.intake.desk import Draft, write
from server.people.models import Farm
from server.registers.facts import facts_of
from shared.status.fact import Fact
from shared.words.bodies.told import Weather

Days = dict[tuple[date, str | None], tuple[Weather, UUID]]
"""By day and station what stands, and the entry that says it."""


def known(farm: Farm, since: date | None = None) -> dict[tuple[date, str | None], Weather]:
    """The last that stands of each day and station, since a day where one is told; struck days are none."""
    return {key: body for key, (body, _) in told_by(farm, since).items()}


def told_by(farm: Farm, since: date | None = None) -> Days:
    """The same, each with the entry that says it."""
    return _in_force(facts_of(farm, ("weather",), since or date.min, date.max))


def _in_force(facts: Iterable[Fact]) -> Days:
    out: Days = {}
    for one in facts:
        if isinstance(one.body, Weather) and not one.struck:
            out[one.body.date, one.body.station] = (one.body, one.id)
    return out


def keep(
    farm: Farm, person: UUID, days: Sequence[Weather], now: datetime, paper: bool = False
) -> tuple[int, int]:
    """Write these days; how many, and how many stood there already just so. What somebody has struck or corrected is
    not written again because a station says it once more; only a hand at the desk (``paper``) may."""
    facts = facts_of(farm, ("weather",), min((one.date for one in days), default=date.max), date.max)
    there = {key: body for key, (body, _) in _in_force(facts).items()}
    put_by = {one.before or one.body for one in facts if one.struck or one.before is not None}
    fresh = [
        one
        for one in dict.fromkeys(days)
        if there.get((one.date, one.station)) != one and (paper or one not in put_by)
    ]
    if fresh:
        write(farm.id, person, [Draft(one, done_at=one.date, from_paper=paper) for one in fresh], now)
    return len(fresh), len(days) - len(fresh)


def named(days: Iterable[Weather], station: str) -> list[Weather]:
    """Days without a station, with the one that they were asked of."""
    return [one if one.station else replace(one, station=station) for one in days]
