"""When hay is first cut: what is published of each grass, held to this field's own first cuts of the years before.

The stage decides, never the calendar; this says only when to look, and a stage that was seen takes its place.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from statistics import NormalDist, mean

from shared.status.needs.asked import Forecast
from shared.units import Figure, Source

ORCHARDGRASS_HEADS = Source(
    "orchardgrass_heads",
    "orchardgrass heads about 12 to 19 May in southeast Pennsylvania, cut at late boot, mid to late May; "
    "read in a summary",
    2015,
    "summary",
)
TIMOTHY_FLOWERS = Source(
    "timothy_flowers",
    "Penn State: timothy flowers late May (south) to June (north), cut in bloom",
    None,
    "read",
)
FARMS_DIFFER = Source("first_cuts_differ", "how far farms and years lie apart, a choice", None, "practice")
BETWEEN_FARMS = Figure(9.0, "days, one standard deviation", FARMS_DIFFER)
BETWEEN_YEARS = Figure(7.0, "days, one standard deviation", FARMS_DIFFER)
AHEAD_DAYS, AFTER_DAYS = 60, 30
"""Looked for so long before its early day, and no longer than so long after its middle one."""


@dataclass(frozen=True, slots=True)
class Usual:
    """The day of a year about which a grass is first cut."""

    month: int
    day: int
    source: Source


USUAL = {
    "orchardgrass": Usual(5, 18, ORCHARDGRASS_HEADS),
    "timothy": Usual(6, 10, TIMOTHY_FLOWERS),
}


def grass_of(crop: str | None, today: date) -> str | None:
    """The grass that decides, in the weeks in which its first cut may come; of a mix the one that is cut first."""
    name = (crop or "").lower()
    grass = next((one for one in USUAL if one in name), None)
    if grass is None:
        return None
    window = first_cut(grass, (), today.year)
    begins, ends = window.early - timedelta(days=AHEAD_DAYS), window.middle + timedelta(days=AFTER_DAYS)
    return grass if begins <= today <= ends else None


def first_cut(grass: str, cuts: Sequence[date], year: int) -> Forecast:
    """The days before which one, five and nine in ten first cuts fall in ``year``. ``cuts``: this field's first cut of
    each year before; the more of them, the less the published day weighs."""
    usual = USUAL[grass]
    published = date(year, usual.month, usual.day)
    off = [one.timetuple().tm_yday - published.timetuple().tm_yday for one in cuts]
    farms, years = BETWEEN_FARMS.value**2, BETWEEN_YEARS.value**2
    known = len(off) / years
    centre = mean(off) * known / (known + 1 / farms) if off else 0.0
    spread = math.sqrt(1 / (known + 1 / farms) + years)
    reach = NormalDist(centre, spread)
    early, middle, late = (published + timedelta(days=round(reach.inv_cdf(at))) for at in (0.1, 0.5, 0.9))
    return Forecast(early, middle, late)
