"""Soil samples each fall, bagged in the field, and what two invented laboratories answered over the years.

Fennel Ridge reports pounds an acre and Corbel parts in a million; both by Mehlich 3. Their figures for the same
field are not the same line: a trend is read within one laboratory.
"""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

from demo_fixtures import farm
from demo_fixtures.cover import walker
from demo_fixtures.fact import Fact
from demo_fixtures.people import DESK, OWNER
from demo_fixtures.season import TREND_YEARS, Season, next_workday, on
from demo_fixtures.walk import spots
from shared.words.bodies.laboratory import Result, Sample

FENNEL_RIDGE, CORBEL = "Fennel Ridge Soil Laboratory", "Corbel Agronomic Laboratory"
METHOD = {FENNEL_RIDGE: "Mehlich 3, Rutgers levels", CORBEL: "Mehlich 3, Delaware levels"}
CORBEL_FROM = -3
"""Both laboratories from three years before the season on."""


def facts(season: Season) -> list[Fact]:
    out: list[Fact] = []
    for place, plot in enumerate(farm.PLOTS):
        for years in (*TREND_YEARS, 0):
            out += _sampled(season, plot.key, years, FENNEL_RIDGE, place)
            if years >= CORBEL_FROM and place % 2 == 0:
                out += _sampled(season, plot.key, years, CORBEL, place)
    return out


def _sampled(season: Season, plot: str, years: int, lab: str, place: int) -> list[Fact]:
    day = next_workday(season.day(years, 10, 12 + place // 2))
    phone, hand = walker(day, plot)
    bag = f"{season.day(years, 1, 1).year % 100:02d}{'F' if lab == FENNEL_RIDGE else 'C'}{place + 1:02d}"
    body = Sample(
        of="soil",
        lab_bag=bag,
        lab=lab,
        top_in=Decimal(0),
        bottom_in=Decimal(7),
        cores=18 if place % 3 else 15,
    )
    minute = 10 + place * 3 + (lab == CORBEL)
    bagged = Fact(
        ("sample", plot, years, lab), on(day, 14, minute), phone, hand, body, plot, spots(plot, 10)[-1]
    )
    answered = Result(bagged.id(season), lab, METHOD[lab], _values(season, plot, years, lab))
    came = on(next_workday(day + timedelta(days=17)), 19, 20 + place)
    return [bagged, Fact(("result", plot, years, lab), came, DESK, OWNER, answered, plot)]


def _values(season: Season, plot: str, years: int, lab: str) -> tuple[tuple[str, Decimal, str], ...]:
    """Organic matter, pH and nutrients that rise slowly over the years, with a laboratory's own scatter."""
    own = season.dice("soil", plot)
    start = {name: own.uniform(*between) for name, between in _FROM.items()}
    dice = season.dice("soil", plot, years, lab)
    gone = years + 6
    unit, per = ("lb/ac", 1.0) if lab == FENNEL_RIDGE else ("ppm", 0.5)
    lean = 1.0 if lab == FENNEL_RIDGE else 0.94
    out = [
        ("ph", _round(start["ph"] + 0.03 * gone + dice.gauss(0, 0.06), 1), ""),
        ("om", _round(start["om"] + 0.07 * gone + dice.gauss(0, 0.11), 1), "%"),
    ]
    for name, yearly in (("p", 2.4), ("k", 5.0), ("mg", 3.0), ("ca", 38.0)):
        value = (start[name] + yearly * gone) * dice.gauss(1, 0.05) * per * lean
        out.append((name, _round(value, 0), unit))
    return tuple(out)


_FROM = {
    "ph": (5.9, 6.4),
    "om": (2.3, 3.1),
    "p": (48, 96),
    "k": (110, 210),
    "mg": (120, 220),
    "ca": (1050, 1650),
}


def _round(value: float, places: int) -> Decimal:
    return Decimal(str(round(value, places))) if places else Decimal(round(value))
