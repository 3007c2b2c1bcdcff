"""The invented weather, day by day, and what it leaves of the ground."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from functools import cache
from typing import Literal

from demo_fixtures.fact import Fact
from demo_fixtures.people import DESK, OWNER
from demo_fixtures.season import Season, next_workday, on
from shared.words.bodies.told import Weather

GroundState = Literal["frozen", "dry", "moist", "wet", "standing_water", "snow"]


@dataclass(frozen=True, slots=True)
class Sky:
    """One day: its low and high in degrees Fahrenheit, its rain in inches."""

    low_f: int
    high_f: int
    rain_in: Decimal


@cache
def weather(season: Season) -> Mapping[date, Sky]:
    """A year's wave (high 86 in late July, 38 in late January), spells of a few days, rain on a third."""
    out, spell = {}, 0.0
    for day in season.days():
        dice = season.dice("sky", day.year - season.year, day.month, day.day)
        wave = math.cos(2 * math.pi * (day.timetuple().tm_yday - 203) / 365)
        spell = 0.7 * spell + dice.gauss(0, 4.0)
        high = 62 + 24 * wave + spell
        low = high - 18 - 2 * wave + dice.uniform(-3, 3)
        rained = dice.random() < 0.3
        rain = min(2.6, -0.34 * math.log(1 - dice.random())) if rained else 0.0
        out[day] = Sky(round(low), round(high), Decimal(str(round(rain, 2))))
    return out


def rain_before_in(season: Season, day: date, days: int = 2) -> Decimal:
    """The rain of so many days up to and with the day before."""
    sky = weather(season)
    past = (day - timedelta(days=back) for back in range(1, days + 1))
    return sum((sky[one].rain_in for one in past if one in sky), Decimal(0))


def ground_state(season: Season, day: date) -> GroundState:
    """What the ground is on a morning."""
    sky = weather(season)
    nights = [sky[one].low_f for one in (day - timedelta(days=back) for back in range(3)) if one in sky]
    fell = rain_before_in(season, day)
    if nights and max(nights) <= 22:
        return "frozen"
    if fell >= Decimal("1.3"):
        return "standing_water"
    if fell >= Decimal("0.5"):
        return "wet"
    return "moist" if fell >= Decimal("0.08") or day.month in (10, 11, 12) else "dry"


def fair(season: Season, day: date, days: int = 1) -> bool:
    """Whether a job that wants it dry can be done, and stay dry for so many days."""
    sky = weather(season)
    coming = (day + timedelta(days=ahead) for ahead in range(days))
    return ground_state(season, day) in ("dry", "moist") and all(
        sky[one].rain_in < Decimal("0.1") for one in coming if one in sky
    )


def fair_day(season: Season, wanted: date, days: int = 1) -> date:
    """The first such working day from the one wanted on, within a fortnight; else the one wanted."""
    for ahead in range(14):
        day = wanted + timedelta(days=ahead)
        if day.weekday() < 6 and fair(season, day, days):
            return day
    return wanted


def facts(season: Season) -> list[Fact]:
    """A line a day at the desk, off the gauge and the thermometer in the yard; a weekend's on Monday evening."""
    out = []
    for day, sky in weather(season).items():
        evening = on(next_workday(day), 20, 10)
        body = Weather(day, Decimal(sky.low_f), Decimal(sky.high_f), sky.rain_in, "yard")
        late = day if evening.date() != day else None
        out.append(Fact(("weather", day.isoformat()), evening, DESK, OWNER, body, done_at=late))
    return out
