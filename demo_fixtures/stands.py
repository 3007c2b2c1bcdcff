"""What grows on the resting ground, and how high it stands on any day."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date

from demo_fixtures.rotation import LEAD_IN, OATS, ORCHARDGRASS, SORGHUM, TIMOTHY
from demo_fixtures.season import Season

When = tuple[int, int, int]
"""Years from the season's, month, day."""


@dataclass(frozen=True, slots=True)
class Stand:
    """A cover on one field: seeded, cut, ended. ``cuts`` are mowings, or cuttings of hay."""

    plot: str
    cover: str
    seeded: When
    cuts: tuple[When, ...] = ()
    ended: When | None = None

    def starts(self, season: Season) -> list[date]:
        """Seeding and cuts: where each growth begins."""
        return [season.day(*one) for one in (self.seeded, *self.cuts)]

    def height_in(self, season: Season, day: date) -> float:
        """Inches that it stands on a day, 0 before it comes up."""
        begun = [start for start in self.starts(season) if start <= day]
        if not begun:
            return 0.0
        grown = (day - begun[-1]).days
        return _GROWTH[self.cover](grown, regrowth=len(begun) > 1, day=day)


def _wave(days: float, top: float, half: float, pace: float) -> float:
    return top / (1 + math.exp(-(days - half) / pace))


def _sorghum(days: int, regrowth: bool, day: date) -> float:
    """About 20 in at six weeks from seed, head high at nine; from a 7 in stubble faster. Frost ends it."""
    stop = date(day.year, 10, 19)
    days -= max(0, (day - stop).days)
    return 7 + _wave(days, 84, 38, 8) if regrowth else _wave(days, 100, 52, 10)


def _hay(top: float, again: float) -> object:
    def grown(days: int, regrowth: bool, day: date) -> float:
        green = (day - date(day.year, 3, 22)).days
        if days > green >= 0:
            return 2 + _wave(green, top, 46, 9)
        return 4 + _wave(days, again, 30, 8) if regrowth else _wave(days, 6, 35, 9)

    return grown


def _rye(days: int, regrowth: bool, day: date) -> float:
    if day.month >= 9:
        return _wave(days, 7, 28, 8)
    return 5 + _wave((day - date(day.year, 3, 20)).days, 58, 42, 9)


_GROWTH = {
    SORGHUM: _sorghum,
    ORCHARDGRASS: _hay(30, 17),
    TIMOTHY: _hay(34, 13),
    LEAD_IN: _rye,
    OATS: lambda days, regrowth, day: _wave(days, 24, 34, 8),
}

SMOTHERS: tuple[Stand, ...] = (
    Stand("spring_piece", SORGHUM, (-1, 6, 4), ((-1, 7, 23), (-1, 9, 3), (-1, 10, 16))),
    Stand("crow_bank", SORGHUM, (-1, 5, 24), ((-1, 7, 10), (-1, 8, 20), (-1, 10, 3))),
    Stand("plum_lot", SORGHUM, (-1, 5, 22), ((-1, 7, 9), (-1, 8, 19), (-1, 10, 2))),
    Stand("hedge_strip", SORGHUM, (-1, 5, 28), ((-1, 7, 15), (-1, 8, 26)), (-1, 9, 14)),
    Stand("spring_piece", SORGHUM, (0, 5, 14), ((0, 7, 7), (0, 8, 18))),
    Stand("crow_bank", SORGHUM, (0, 5, 23), ((0, 7, 13), (0, 8, 24), (0, 10, 6))),
    Stand("plum_lot", SORGHUM, (0, 5, 20), ((0, 7, 9),), (0, 8, 6)),
    Stand("long_twelve", SORGHUM, (0, 6, 4), ((0, 7, 24), (0, 9, 8), (0, 10, 15))),
)
DUE_TO_MOW = "spring_piece"
"""The field that wants mowing: in early July by its height, in the autumn because the mower was broken."""

HAYS: tuple[Stand, ...] = (
    Stand("mill_flat", TIMOTHY, (-4, 8, 26), ((-1, 6, 14), (-1, 8, 27)), (-1, 9, 14)),
    Stand("quarry_side", ORCHARDGRASS, (-4, 8, 26), ((-1, 5, 21), (-1, 7, 3)), (-1, 8, 8)),
    Stand("lower_rest", ORCHARDGRASS, (-2, 8, 26),
          ((-1, 5, 21), (-1, 7, 4), (-1, 8, 20), (0, 5, 20), (0, 6, 30), (0, 8, 12))),
    Stand("two_stones", TIMOTHY, (-3, 8, 26), ((-1, 6, 15), (-1, 8, 28), (0, 6, 14), (0, 8, 27)), (0, 9, 14)),
    Stand("far_meadow", ORCHARDGRASS, (-3, 8, 26),
          ((-1, 5, 22), (-1, 7, 5), (-1, 8, 21), (0, 5, 21), (0, 7, 1), (0, 8, 13)), (0, 9, 14)),
    Stand("kiln_corner", ORCHARDGRASS, (-1, 8, 26), ((0, 5, 22), (0, 7, 3), (0, 8, 14))),
    Stand("upper_rest", TIMOTHY, (-1, 8, 26), ((0, 6, 16), (0, 8, 28))),
    Stand("pond_field", TIMOTHY, (0, 8, 26)),
)  # fmt: skip

LEAD_INS: tuple[Stand, ...] = (
    Stand("mill_flat", LEAD_IN, (-1, 9, 16), (), (0, 5, 27)),
    Stand("saddle", LEAD_IN, (-1, 9, 16), (), (0, 4, 21)),
    Stand("hedge_strip", LEAD_IN, (-1, 9, 16), (), (0, 5, 14)),
    Stand("quarry_side", OATS, (-1, 8, 10), (), (-1, 10, 8)),
    Stand("two_stones", LEAD_IN, (0, 9, 16)),
    Stand("far_meadow", LEAD_IN, (0, 9, 16)),
    Stand("plum_lot", OATS, (0, 8, 10), (), (0, 10, 8)),
)
