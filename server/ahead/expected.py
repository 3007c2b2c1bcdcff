"""The height that is looked for of a smother crop, day by day since it was sown or cut, from published growth and the
heat that was written: what a field's page draws behind the stops, which have no part in it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise
from uuid import UUID

from server.ahead.foreseeing import LOWERS, USUAL_UNITS, heat_of
from server.ahead.growth import looked_for
from shared.status.field_status import FieldStatus
from shared.status.job_done import JobDone

AHEAD = timedelta(days=21)
SOWS = ("seed", "plant")
EVERY_DAYS = 2

Expected = tuple[date, float, float, float]


@dataclass(frozen=True, slots=True)
class Grown:
    """A smother crop in its last year, from ``since`` to the last day drawn: a stretch for each time it grew up, each
    a day's low (5 %), middle and high (95 %) in inches."""

    since: date
    until: date
    stretches: tuple[tuple[Expected, ...], ...]


def grown_since(farm: UUID, stands: FieldStatus, jobs: Iterable[JobDone], today: date) -> Grown | None:
    """The last smother crop of the field in the last year in which it was sown or cut, None where it never had one."""
    smother = [place for place, leg in enumerate(stands.legs) if leg.leg == "smother"]
    begun = [place for place in smother if stands.legs[place].starts_on <= today]
    if not begun:
        return None
    leg = stands.legs[begun[-1]]
    gone = [one.starts_on for one in stands.legs[begun[-1] + 1 :]]
    there = [one for one in jobs if leg.starts_on <= one.on < min([*gone, today + AHEAD])]
    sown = {leg.starts_on} | {one.on for one in there if one.job in SOWS}
    marks = sorted(sown | {one.on for one in there if one.job in LOWERS})
    marks = [on for on in marks if on.year == marks[-1].year]
    heat = heat_of(farm)
    frosts = [night for night in heat.frosts if night > marks[0]]
    until = min([*gone, *frosts, today + AHEAD, date(marks[0].year, 12, 31)])
    ends = [*(on for on in marks if on < until), until]
    stretches = tuple(_stretch(heat.units, since, to, since in sown) for since, to in pairwise(ends))
    since = marks[0] if marks[0] in sown else date(marks[0].year, 1, 1)
    return Grown(since, until, stretches) if stretches else None


def _stretch(units: Mapping[date, float], since: date, to: date, from_seed: bool) -> tuple[Expected, ...]:
    days: list[date] = []
    sums: list[float] = []
    total, on = 0.0, since
    while on <= to:
        if (on - since).days % EVERY_DAYS == 0 or on == to:
            days.append(on)
            sums.append(total)
        on += timedelta(days=1)
        total += units.get(on, USUAL_UNITS.value)
    return tuple((day, *ends) for day, ends in zip(days, looked_for(sums, from_seed), strict=True))
