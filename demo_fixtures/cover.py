"""Rounds of cover heights: sorghum-sudan before and after each mowing, hay before each cutting, lead-ins."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from decimal import Decimal
from itertools import pairwise
from random import Random
from typing import Literal

from demo_fixtures.fact import Fact
from demo_fixtures.people import ANA, TOBIN, Hand
from demo_fixtures.rotation import LEAD_IN, ORCHARDGRASS, SORGHUM, TIMOTHY
from demo_fixtures.season import Season, on
from demo_fixtures.stands import DUE_TO_MOW, HAYS, LEAD_INS, SMOTHERS, Stand
from demo_fixtures.walk import Walk
from shared.words.bodies.walked import Cover, CoverPlant

PLANT: dict[str, CoverPlant] = {
    SORGHUM: "sorghum_sudan",
    ORCHARDGRASS: "orchardgrass",
    TIMOTHY: "timothy",
    LEAD_IN: "rye_vetch",
    "oats": "oats",
}
STOPS = 10
Heads = Literal["none", "few", "many"]


def facts(season: Season) -> list[Fact]:
    out: list[Fact] = []
    for stand in (*SMOTHERS, *HAYS, *LEAD_INS):
        for day in _round_days(season, stand):
            if season.first_day <= day <= season.last_day:
                out += _round(season, stand, day)
    return out


def _round_days(season: Season, stand: Stand) -> list[date]:
    """Once when it has got going and once a day or two before it is cut; a lead-in in late fall and in spring."""
    starts, ended = stand.starts(season), season.day(*stand.ended) if stand.ended else None
    if stand in LEAD_INS:
        fall = starts[0] + timedelta(days=48)
        spring = [ended - timedelta(days=6)] if ended and ended.month < 7 else []
        return [fall, *spring] if ended is None or fall < ended else [ended - timedelta(days=6)]
    if stand in HAYS:
        return _hay_days(starts, ended)
    days = []
    for start, following in zip(starts, [*starts[1:], ended], strict=True):
        days += [start + timedelta(days=15), start + timedelta(days=26)]
        days.append(following - timedelta(days=2) if following else start + timedelta(days=41))
    if stand.plot == DUE_TO_MOW and stand.seeded[0] == 0:
        days.append(season.day(0, 6, 29))
    frost = date(starts[0].year, 10, 19)
    return sorted(day for day in {_working(one) for one in days} if day < min(ended or frost, frost))


def _hay_days(starts: list[date], ended: date | None) -> list[date]:
    """Every fortnight while the grass grows, and once just before each cutting."""
    days = [starts[0] + timedelta(days=50)] if len(starts) == 1 else []
    for start, following in pairwise([*starts[1:], ended]):
        assert start is not None
        days.append(start - timedelta(days=3))
        between = [start + timedelta(days=gap) for gap in range(14, 120, 14)]
        days += [day for day in between if day.month < 10 and (following is None or day < following)]
    return sorted({_working(day) for day in days if day.month > 4})


def _working(day: date) -> date:
    """The last working day up to it."""
    return day - timedelta(days=max(0, day.weekday() - 4))


def walker(day: date, plot: str) -> tuple[str, Hand]:
    """Ana and Tobin take turns."""
    return ("red", ANA) if (day.toordinal() + len(plot)) % 2 else ("yellow", TOBIN)


def _round(season: Season, stand: Stand, day: date) -> list[Fact]:
    dice = season.dice("cover", stand.plot, *stand.seeded, day.month, day.day)
    height = stand.height_in(season, day)
    patchy = 0.10 if stand.cover == SORGHUM else 0.13
    bodies = [_stop(dice, stand, season, day, height, patchy) for _ in range(STOPS)]
    phone, hand = walker(day, stand.plot)
    return Walk("cover", stand.plot, _began(dice, day), phone, hand).facts(season, list(bodies))


def _began(dice: Random, day: date) -> datetime:
    return on(day, dice.choice((7, 8, 9, 13, 14)), dice.randint(0, 40))


def _stop(dice: Random, stand: Stand, season: Season, day: date, height: float, patchy: float) -> Cover:
    tall = max(1.0, height * (1 + dice.gauss(0, patchy)))
    return Cover(
        cover=PLANT[stand.cover],
        height_in=Decimal(round(tall)),
        heads=_heads(dice, stand, season, day),
        stand_pct=Decimal(5 * round(min(100.0, max(55.0, dice.gauss(88, 7))) / 5)),
        frost="killing" if stand.cover == SORGHUM and day >= date(day.year, 10, 19) else None,
    )


def _heads(dice: Random, stand: Stand, season: Season, day: date) -> Heads:
    """Sorghum-sudan shows heads some forty days from a cut; grasses by their date."""
    start = [one for one in stand.starts(season) if one <= day][-1]
    if stand.cover == SORGHUM:
        share = max(0.0, ((day - start).days - (36 if start != stand.starts(season)[0] else 58)) / 14)
    elif stand.cover == ORCHARDGRASS:
        share = 0.7 if day.month == 5 and day.day > 12 else 0.0
    elif stand.cover == TIMOTHY:
        share = 0.8 if day.month == 6 and day.day > 5 else 0.0
    else:
        share = 0.3 if day.month == 5 and day.day > 10 else 0.0
    shown = dice.random()
    return "none" if shown >= share else ("many" if shown < share - 0.6 else "few")
