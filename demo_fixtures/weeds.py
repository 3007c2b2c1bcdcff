"""Rounds of weeds, in early June and in September: many in the first year of rest, fewer with each that follows."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from random import Random
from typing import get_args

from demo_fixtures import farm
from demo_fixtures.cover import walker
from demo_fixtures.fact import Fact
from demo_fixtures.rotation import COURSES, leg_on
from demo_fixtures.season import TREND_YEARS, Season, next_workday, on
from demo_fixtures.walk import Walk
from shared.words.bodies.walked import CoverClass, Weeds

STOPS, QUADRATS = 10, 2
CLASSES: tuple[CoverClass, ...] = get_args(CoverClass)
UPPER_PCT = (0.0, 0.99, 5.0, 25.0, 50.0, 75.0, 95.0, 100.0)
"""The upper end of each class."""
KINDS = ("lambsquarters", "pigweed", "foxtail", "galinsoga", "ragweed")
FALL = 0.52
"""What is left of the weeds after each further year without seed. Invented."""


def facts(season: Season) -> list[Fact]:
    out: list[Fact] = []
    for plot in farm.PLOTS:
        for years in TREND_YEARS:
            out += _round(season, plot.key, next_workday(season.day(years, 9, 10 + len(plot.key) % 9)))
        out += _round(season, plot.key, next_workday(season.day(0, 6, 2 + len(plot.key) % 14)))
        out += _round(season, plot.key, next_workday(season.day(0, 9, 8 + len(plot.key) % 12)))
    return out + _counted(season)


def mean_pct(plot: str, day: date, year: int) -> float:
    """The cover of weeds that the round is drawn around: it falls with the years since the last cash crop."""
    past = [year + at for at, _ in COURSES[plot].cash if year + at <= day.year]
    rested = day.year - past[-1]
    return max(0.6, 38.0 * FALL**rested)


def _round(season: Season, plot: str, day: date) -> list[Fact]:
    dice = season.dice("weeds", plot, day.year - season.year, day.month)
    middle = mean_pct(plot, day, season.year)
    bodies = [_stop(dice, middle) for _ in range(STOPS)]
    phone, hand = walker(day, plot)
    began = on(day, dice.choice((8, 9, 10)), dice.randint(0, 50))
    return Walk("weeds", plot, began, phone, hand).facts(season, list(bodies), seconds=120)


def _stop(dice: Random, middle: float) -> Weeds:
    here = middle * dice.lognormvariate(-0.2, 0.65)
    classes = tuple(_class(min(99.0, here * dice.uniform(0.5, 1.5))) for _ in range(QUADRATS))
    kinds = tuple(sorted(dice.sample(KINDS, 2))) if here > 1 else None
    setting = "none" if here < 12 else ("some" if here < 45 else "much")
    return Weeds(seed_set=setting, scale="cover8", classes=classes, kinds=kinds)  # type: ignore[arg-type]


def _class(pct: float) -> CoverClass:
    if pct < 0.2:
        return "none"
    return next(name for name, upper in zip(CLASSES, UPPER_PCT, strict=True) if pct <= upper)


def _counted(season: Season) -> list[Fact]:
    """One round in a frame of a quarter square metre, by kind: the lead-in after Hedge Strip's short rest."""
    day = next_workday(season.day(0, 5, 5))
    assert leg_on("hedge_strip", day, season.year).leg == "lead_in"
    dice = season.dice("weeds counted")
    bodies = [
        Weeds(
            seed_set="none",
            counts=tuple((kind, int(dice.expovariate(1 / 3.0))) for kind in KINDS[:3]),
            frame_m2=Decimal("0.25"),
        )
        for _ in range(STOPS)
    ]
    phone, hand = walker(day, "hedge_strip")
    return Walk("weeds", "hedge_strip", on(day, 10, 5), phone, hand).facts(season, list(bodies))
