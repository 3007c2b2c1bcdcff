"""How much of the leaves is grass."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from shared.reckoning.computation import Input
from shared.rules.judging import check, judged, over
from shared.rules.sheet import Sheet
from shared.words.finding import Finding

GRASS_PCT = Input("grass_pct", unit="%", low=0, high=100)


@check
def grass(sheets: Iterable[Sheet], load: str, grass_pct: float) -> Iterator[Finding]:
    """A load with a larger share of grass, by volume, than a sheet allows. Raises ``OutOfRange`` outside 0 to
    100."""
    share = GRASS_PCT.check(grass_pct)
    for sheet in sheets:
        if sheet.grass_pct and over(share, sheet.grass_pct.value):
            yield judged(sheet, sheet.grass_pct, "grass_over", load, cure="turn_back_or_pick", value=share)
