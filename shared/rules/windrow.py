"""Leaves heaped to compost instead of spread: other rules begin there, and the farm should notice."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from shared.reckoning.computation import Input
from shared.reckoning.leaf import YARDS_YD3
from shared.rules.grass import GRASS_PCT
from shared.rules.judging import check, judged, over
from shared.rules.sheet import Clause, Sheet
from shared.words.finding import Finding

_AREA = Input("area_ac", unit="ac", low=0)
_DISTANCE = Input("distance_ft", unit="ft", low=0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Windrows:
    """One place where leaves are composted in a calendar year: yards taken in, acres, share of grass by
    volume, and the feet to the nearest line and house (None: not known). Raises ``OutOfRange`` below 0."""

    place: str
    yards_yd3: float
    area_ac: float
    grass_pct: float = 0
    line_ft: float | None = None
    residence_ft: float | None = None

    def __post_init__(self) -> None:
        YARDS_YD3.check(self.yards_yd3)
        _AREA.check(self.area_ac)
        GRASS_PCT.check(self.grass_pct)
        for feet in (self.line_ft, self.residence_ft):
            if feet is not None:
                _DISTANCE.check(feet)


@check
def windrows(sheets: Iterable[Sheet], heaped: Windrows) -> Iterator[Finding]:
    """What passes a sheet's limits for composting in windrows. The wider distance to houses holds as soon as
    there is any grass."""
    for sheet in sheets:
        for clause, most, code in (
            (sheet.windrow_yd3_per_year, heaped.yards_yd3, "windrow_yards_over"),
            (sheet.windrow_area_ac, heaped.area_ac, "windrow_area_over"),
            (sheet.windrow_grass_pct, heaped.grass_pct, "windrow_grass_over"),
        ):
            if clause and over(most, clause.value):
                yield judged(sheet, clause, code, heaped.place, cure="spread_or_ask", value=most)
        for near, feet, code in (
            (sheet.windrow_line_ft, heaped.line_ft, "windrow_near_line"),
            (_house(sheet, heaped), heaped.residence_ft, "windrow_near_residence"),
        ):
            if near and feet is not None and feet < near.value:
                yield judged(sheet, near, code, heaped.place, cure="move_windrow", value=feet)


def _house(sheet: Sheet, heaped: Windrows) -> Clause[float] | None:
    if heaped.grass_pct > 0 and sheet.windrow_residence_grass_ft:
        return sheet.windrow_residence_grass_ft
    return sheet.windrow_residence_ft
