"""A round's walk through a field: its stops in the field's own shape, and the way from one to the next."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cache

from demo_fixtures import farm, ground
from demo_fixtures.fact import Fact
from demo_fixtures.ground import Spot
from demo_fixtures.people import Hand
from demo_fixtures.season import Season
from shared.reckoning.spreadable import keep_off
from shared.reckoning.stops import stops
from shared.words.bodies import Body


@cache
def spots(key: str, count: int) -> tuple[Spot, ...]:
    """Where a round of so many stops stops, on the plan, from the gap in the hedge on."""
    plot = farm.BY_KEY[key]
    off = tuple(keep_off(one.value()) for one in farm.KEEP_OFF)
    laid = stops(plot.outline, count, off, start=ground.degrees(plot.way_in))
    return tuple(ground.plan(lat, lon) for lat, lon in laid)


@dataclass(frozen=True, slots=True)
class Walk:
    """One round: what it is called, in which field, when it began, who walked it with which phone."""

    subject: str
    plot: str
    began: datetime
    phone: str
    by: Hand

    def facts(self, season: Season, bodies: list[Body], what: str = "", seconds: int = 95) -> list[Fact]:
        """A fact a stop; ``what`` tells apart the measures that one round takes together."""
        dice = season.dice("walk", self.subject, self.plot, self.began.date(), what)
        places = spots(self.plot, len(bodies))
        at, out = self.began, []
        round_key = (self.subject, self.plot, self.began.date().isoformat())
        for stop, (place, body) in enumerate(zip(places, bodies, strict=True), 1):
            at += timedelta(seconds=seconds + dice.randint(-20, 40), milliseconds=dice.randint(0, 999))
            key = (*round_key, what, stop)
            out.append(
                Fact(key, at, self.phone, self.by, body, self.plot, place, round_key, self.began, stop)
            )
        return out
