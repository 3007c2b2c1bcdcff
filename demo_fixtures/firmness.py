"""Rounds with the penetrometer each April: the hard layer breaking with the years of rest. One was walked dry."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from random import Random

from demo_fixtures import farm
from demo_fixtures.cover import walker
from demo_fixtures.fact import Fact
from demo_fixtures.rotation import COURSES
from demo_fixtures.season import TREND_YEARS, Season, next_workday, on
from demo_fixtures.walk import Walk
from shared.words.bodies.walked import Firmness, Spade

POINTS = 12
LIMIT_PSI = 300
"""Where roots are stopped: the figure that the trade goes by (the checks name its source)."""


def facts(season: Season) -> list[Fact]:
    out: list[Fact] = []
    for place, plot in enumerate(farm.PLOTS):
        for years in (*TREND_YEARS[place % 2 :: 2], 0):
            day = next_workday(season.day(years, 4, 6 + len(plot.key) % 15))
            out += _round(season, plot.key, day)
    fall = next_workday(season.day(-1, 11, 19))
    return out + _round(season, "lower_rest", fall) + _dry(season) + _spades(season)


def middle_psi(plot: str, day: date, year: int) -> float:
    """What the readings are drawn around: 390 psi after a cash crop, some 45 less with each year of rest."""
    past = [year + at for at, _ in COURSES[plot].cash if year + at < day.year]
    return max(205.0, 390.0 - 45.0 * (day.year - past[-1] - 1))


def _round(season: Season, plot: str, day: date) -> list[Fact]:
    dice = season.dice("firmness", plot, day.year - season.year, day.month)
    middle = middle_psi(plot, day, season.year)
    bodies = [_point(dice, middle) for _ in range(POINTS)]
    phone, hand = walker(day, plot)
    began = on(day, dice.choice((8, 9, 13)), dice.randint(0, 50))
    return Walk("firmness", plot, began, phone, hand).facts(season, list(bodies), seconds=110)


def _point(dice: Random, middle: float) -> Firmness:
    peak = 5 * round(dice.gauss(middle, 52) / 5)
    hard = peak > LIMIT_PSI
    top = Decimal(str(round(dice.uniform(6, 9) * 2) / 2)) if hard else None
    bottom = top + Decimal(str(round(dice.uniform(2, 5) * 2) / 2)) if top is not None else None
    stone = dice.random() < 0.03
    return Firmness(
        cone="half_inch",
        moisture="ready",
        where="body",
        peak_psi=Decimal(max(110, peak)),
        top_in=top,
        bottom_in=bottom,
        reached_in=Decimal(dice.choice((7, 9)) if stone else 18),
        stopped="stone" if stone else "none",
    )


def _dry(season: Season) -> list[Fact]:
    """Walked in a dry August, so that its high readings say nothing; kept as profiles."""
    dice = season.dice("firmness dry")
    bodies = []
    for _ in range(POINTS):
        profile = tuple(
            (Decimal(depth), Decimal(5 * round(dice.gauss(130 + 24 * depth - depth * depth * 0.8, 30) / 5)))
            for depth in (3, 6, 9, 12, 15)
        )
        bodies.append(Firmness(cone="half_inch", moisture="dry", where="body", profile=profile))
    day = next_workday(season.day(0, 8, 11))
    return Walk("firmness", "far_meadow", on(day, 14, 12), "yellow", walker(day, "far_meadow")[1]).facts(
        season, list(bodies)
    )


def _spades(season: Season) -> list[Fact]:
    """What the spade showed under old sod, where the cone alone would mislead."""
    out = []
    for place, (plot, roots, worms) in enumerate((("two_stones", "free", 9), ("lower_rest", "bent", 6))):
        day = next_workday(season.day(0, 4, 14 + place))
        body = Spade(roots=roots, structure="crumb", depth_in=Decimal(14), worms=worms)  # type: ignore[arg-type]
        phone, hand = walker(day, plot)
        spot = farm.BY_KEY[plot].way_in[0] + 12, farm.BY_KEY[plot].way_in[1] - 30
        out.append(Fact(("spade", plot), on(day, 15, 5), phone, hand, body, plot, spot))
    return out
