"""The farm's calendar: the season's year, and times in the farm's zone by year, month and day.

The season's year is the year that the visitor's day lies in, and all that is after that day is cut off: whenever
the demo is laid, the farm stands where a farm stands at that time of the year. Entries run from the first of July
of the year before (a full leaf season and a full summer lie behind any later day of the year), with thinner years
before those for the trends.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from random import Random

from demo_fixtures import seed as seeds
from demo_fixtures.farm import ZONE

TREND_YEARS = (-5, -4, -3, -2, -1)
"""Earlier years with a sample and a few rounds a field."""


@dataclass(frozen=True, slots=True)
class Season:
    """A year of the farm, from a seed number. Months and days are counted with ``years`` from its year."""

    year: int
    seed: int = seeds.SEED

    def dice(self, *subject: object) -> Random:
        return seeds.dice(*subject, seed=self.seed)

    def day(self, years: int, month: int, day: int) -> date:
        return date(self.year + years, month, day)

    def at(self, years: int, month: int, day: int, hour: int = 8, minute: int = 0) -> datetime:
        return on(self.day(years, month, day), hour, minute)

    @property
    def first_day(self) -> date:
        """The first day of the entries that are kept in full."""
        return self.day(-1, 7, 1)

    @property
    def last_day(self) -> date:
        return self.day(0, 12, 31)

    def days(self) -> tuple[date, ...]:
        count = (self.last_day - self.first_day).days + 1
        return tuple(self.first_day + timedelta(days=place) for place in range(count))


def on(day: date, hour: int = 8, minute: int = 0, second: int = 0) -> datetime:
    """A time of day on the farm."""
    return datetime(day.year, day.month, day.day, hour, minute, second, tzinfo=ZONE)


def workday(day: date) -> bool:
    """Towns bring leaves and the crew works Monday to Friday."""
    return day.weekday() < 5


def next_workday(day: date) -> date:
    while not workday(day):
        day += timedelta(days=1)
    return day
