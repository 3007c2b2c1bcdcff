"""How many of a day's loads were looked through."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from math import fsum

from shared.reckoning.leaf import YARDS_YD3
from shared.rules.judging import check, judged, over
from shared.rules.sheet import Sheet
from shared.words.finding import Finding


@dataclass(frozen=True, slots=True)
class LoadDay:
    """One day's loads in yards: all that came, and those among them that were tipped and looked through.

    Raises ``OutOfRange`` for yards below 0.
    """

    day: str
    came_yd3: tuple[float, ...]
    checked_yd3: tuple[float, ...]

    def __post_init__(self) -> None:
        for yards in (*self.came_yd3, *self.checked_yd3):
            YARDS_YD3.check(yards)


@check
def load_checks(sheets: Iterable[Sheet], loads: LoadDay) -> Iterator[Finding]:
    """Fewer loads looked through than a sheet asks, by share of the day's volume and by trucks: both must be
    met, so the greater decides. A day without loads needs none."""
    came = fsum(loads.came_yd3)
    if not loads.came_yd3 or came == 0:
        return
    share = fsum(loads.checked_yd3) / came * 100
    trucks = len(loads.checked_yd3)
    for sheet in sheets:
        pct, least = sheet.load_check_pct, sheet.load_check_trucks
        if pct and over(pct.value, share):
            yield judged(
                sheet, pct, "load_checks_short_volume", loads.day, cure="check_more_loads", value=share
            )
        if least and trucks < min(least.value, len(loads.came_yd3)):
            yield judged(
                sheet, least, "load_checks_short_trucks", loads.day, cure="check_more_loads", value=trucks
            )
