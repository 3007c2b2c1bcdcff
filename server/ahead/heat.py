"""The farm's temperatures as forecasts take them, from the weather that is in force: struck days do not count."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from functools import lru_cache
from uuid import UUID

from server.book.reads import looked_up
from server.status.dues import facts_of
from shared.errors import OutOfRange
from shared.reckoning.heat import heat_units, soil_temperature
from shared.status.needs.asked import SoilByAir
from shared.units import Figure, Source
from shared.words.bodies.told import Weather

KILLS_F = Figure(
    24.0, "F", Source("killing_frost", "Nebraska: a killing frost of sorghum, about 24 F", 2024, "read")
)
FREEZES_F = 32.0
AUTUMN_FROM = 8
"""Frosts from August on are autumn's."""
SOIL_DAYS = 7
BINDING = ("correction", "strike")


@dataclass(frozen=True, slots=True)
class Heat:
    """Heat units (base 50, cap 86) and mean temperature in F of each day that has both ends, the nights of a killing
    frost, and the first autumn frost of each year that was written down so far into autumn."""

    units: Mapping[date, float]
    frosts: frozenset[date]
    means_f: Mapping[date, float]
    first_frosts: Mapping[int, date]

    def soil(self, today: date) -> SoilByAir | None:
        """By the seven days up to the last with a temperature, yesterday's at the earliest; None with a gap in them."""
        last = next((on for back in (0, 1) if (on := today - timedelta(days=back)) in self.means_f), None)
        if last is None:
            return None
        days = [last - timedelta(days=back) for back in reversed(range(SOIL_DAYS))]
        if any(on not in self.means_f for on in days):
            return None
        found = soil_temperature([self.means_f[on] for on in days])
        return SoilByAir(last, found.low_f, found.high_f)

    def frost_on(self, today: date) -> date | None:
        """This year's day of the earliest first frost of the years before."""
        days = [(on.month, on.day) for year, on in self.first_frosts.items() if year < today.year]
        return date(today.year, *min(days)) if days else None


def heat_of(farm: UUID) -> Heat:
    """What was written of the weather; of a day told twice the last in the book counts."""
    return _heat(farm, _edition(farm))


def _edition(farm: UUID) -> tuple[tuple[int, str] | None, ...]:
    """What the weather in the book is known by: its newest row, and the newest row that could change one."""
    rows = looked_up(farm)
    newest = (rows.filter(kind="weather"), rows.filter(kind__in=BINDING, field=None))
    return tuple(one.order_by("-number").values_list("number", "sha").first() for one in newest)


@lru_cache(maxsize=8)
def _heat(farm: UUID, edition: object) -> Heat:
    units, means, lows = {}, {}, {}
    for fact in sorted(facts_of(farm, "weather"), key=lambda one: one.order):
        body = fact.body
        if not isinstance(body, Weather) or body.low_f is None:
            continue
        lows[body.date] = float(body.low_f)
        if body.high_f is not None and body.high_f >= body.low_f:
            try:
                units[body.date] = heat_units(float(body.high_f), float(body.low_f), "clamped").units
            except OutOfRange:
                continue
            means[body.date] = float(body.high_f + body.low_f) / 2
    kills = frozenset(on for on, low in lows.items() if low <= KILLS_F.value)
    return Heat(units, kills, means, _first_frosts(lows))


def _first_frosts(lows: Mapping[date, float]) -> dict[int, date]:
    out: dict[int, date] = {}
    for on in sorted(lows):
        if lows[on] <= FREEZES_F and on.month >= AUTUMN_FROM:
            out.setdefault(on.year, on)
    return out
