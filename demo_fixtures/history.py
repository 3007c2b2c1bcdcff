"""The thinner years before: what the old notebooks say of harvests, leaves spread and worked in, and hay."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from demo_fixtures import farm
from demo_fixtures.fact import Fact
from demo_fixtures.people import DESK, OWNER, TOBIN
from demo_fixtures.rotation import COURSES, HAY_SEEDED, OFF_ON, SMOTHER_SEEDED, is_hay
from demo_fixtures.season import Season, next_workday, on
from shared.words.bodies.work import Work

YEARS = range(-6, -1)
"""Crop years told from the notebooks; last year's and this one's are told by phones."""


def facts(season: Season) -> list[Fact]:
    out: list[Fact] = []
    for plot in farm.PLOTS:
        course = COURSES[plot.key]
        for (years, crop), rest in zip(course.cash, course.rests, strict=True):
            if years in YEARS:
                out += _after_a_crop(season, plot.key, years, crop, rest)
    return out


def spread_yd3(season: Season, plot: str, years: int) -> Decimal:
    """What was spread on a field in an earlier leaf season: four to five inches by truck yards, to ten yards."""
    depth_in = season.dice("spread before", plot, years).uniform(3.9, 5.2)
    return Decimal(10 * round(farm.acres(farm.BY_KEY[plot]) * depth_in * 13.444))


def _after_a_crop(season: Season, plot: str, years: int, crop: str, rest: str) -> list[Fact]:
    seeded = HAY_SEEDED if is_hay(rest) else SMOTHER_SEEDED
    acres = Decimal(str(round(farm.acres(farm.BY_KEY[plot]), 2)))
    jobs = (
        (season.day(years, *OFF_ON[crop]), Work(job="harvest", area_ac=acres, crop=crop)),
        (
            season.day(years, 11, 25),
            Work(job="spread", yards_yd3=spread_yd3(season, plot, years), bags_off=True),
        ),
        (season.day(years + 1, seeded[0], 1), Work(job="work_in", area_ac=acres, machine="offset disk")),
        (season.day(years + 1, *seeded), Work(job="seed", area_ac=acres, crop=rest)),
    )
    # From last July on the phones tell of the seeding; what was worked in before it stands in the notebook alone.
    told = [(day, body) for day, body in jobs if day < season.first_day or body.job == "work_in"]
    return [_from_paper(season, plot, next_workday(day), body) for day, body in told]


def _from_paper(season: Season, plot: str, day: date, body: Work) -> Fact:
    """Written at the desk on the evening of its day, from the notebook in the truck."""
    key = ("notebook", plot, body.job, day.isoformat())
    return Fact(key, on(day, 20, 30), DESK, OWNER, body, plot, done_at=day, done_by=TOBIN.id, from_paper=True)
