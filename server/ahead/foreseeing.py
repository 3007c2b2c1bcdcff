"""When each smother crop stands at the mow height and when it boots, from the farm's own weather and rounds.

What is missing is named and widens the answer: days without a temperature, a season that nobody has walked yet.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import accumulate
from statistics import mean
from typing import Literal
from uuid import UUID

from server.ahead.growth import Crossing, Walk, crossing
from server.ahead.heat import Heat, heat_of
from server.land import reads as land
from server.status import reads as status
from shared.reckoning.cover import SORGHUMS
from shared.status.field_status import FieldStatus
from shared.status.needs.asked import Forecast
from shared.status.rounds import CoverRound
from shared.units import Figure, Source
from shared.words.leg import Leg

Lack = Literal["rounds", "weather", "days", "past_years"]
LOOKED_AT_DAYS = 150
WINDOW_DAYS = 10
USUAL_UNITS = Figure(
    22.0,
    "F days a day in summer",
    Source("usual_heat", "mid-Atlantic June and July, about 24 a day", None, "derived"),
)
KNOWN_SPREAD, BORROWED_SPREAD, UNKNOWN_SPREAD = 0.10, 0.18, 0.30
"""How far the coming heat may be off, in logarithms: with this farm's past years, with this season alone, with
neither."""
MOST_MISSING = 0.2
BOOT_UNITS = Figure(
    1232.0,
    "F days from emergence",
    Source("hprcc_boot", "High Plains Regional Climate Center, sorghum", None, "read"),
)
EMERGES = Figure(
    130.0, "F days from seeding", Source("kstate_emerge", "K-State eUpdate 661: 99 to 198", None, "read")
)
BOOT_OFF_DAYS = 10
"""A hybrid may boot so many days sooner or later than grain sorghum."""
NINETY_T = 1.645
LONGEST_DAYS = 200
"""A smother crop that was sown longer ago is of another year, and winter has had it."""
LOWERS = ("mow", "cut_hay", "kill", "plow", "disk", "work_in")


@dataclass(frozen=True, slots=True)
class Foreseen:
    """A field's cover: the days on which it crosses, when it boots, the rounds it is judged by, what is lacking."""

    field: UUID
    name: str
    since: date
    from_seed: bool
    crossing: Crossing
    boot: Forecast | None
    rounds: tuple[CoverRound, ...]
    lacks: tuple[Lack, ...]
    today: date

    def on(self, days: int | None) -> date | None:
        return None if days is None else self.today + timedelta(days=days)

    @property
    def early(self) -> date | None:
        return self.on(self.crossing.early)

    @property
    def middle(self) -> date | None:
        return self.on(self.crossing.middle)

    @property
    def late(self) -> date | None:
        return self.on(self.crossing.late)


def foreseen(farm: UUID, today: date) -> list[Foreseen]:
    """Every field that is under a sorghum smother crop which no frost has killed yet, by name."""
    heat = heat_of(farm)
    stands = status.standings(farm)
    known = [
        (field.name, FieldStatus.from_tree(stands[field.id]))
        for field in land.fields(farm)
        if field.id in stands
    ]
    found = (of_field(name, one, heat, today) for name, one in known)
    return [one for one in found if one is not None]


def smothered(stands: FieldStatus, today: date) -> Leg | None:
    """The leg of a field under a smother crop that is a sorghum as far as anybody said."""
    leg = stands.leg_on(today)
    if leg is None or leg.leg != "smother":
        return None
    named = (leg.crop or "sorghum").lower()
    return leg if any(one in named for one in ("sorghum", "sudan")) else None


def of_field(name: str, stands: FieldStatus, heat: Heat, today: date) -> Foreseen | None:
    """The forecast of one field, None where none can be of it."""
    leg = smothered(stands, today)
    if leg is None:
        return None
    cut = stands.last_done(*LOWERS)
    since = max(leg.starts_on, cut.on) if cut is not None else leg.starts_on
    since = min(since, today)
    if any(since < night <= today for night in heat.frosts) or (today - since).days > LONGEST_DAYS:
        return None
    units, from_seed = heat.units, since == leg.starts_on
    rounds = tuple(one for one in stands.cover if since < one.on <= today and one.cover in SORGHUMS)
    if stands.cover and stands.cover[0].on > since and not rounds:
        return None
    ahead, spread, lacks = _coming(units, today)
    known, missing = _summed(units, since, today, mean(ahead[:WINDOW_DAYS]))
    if missing > MOST_MISSING * max(1, (today - since).days):
        lacks, spread = [*lacks, "days"], spread + KNOWN_SPREAD
    lacks += [] if rounds else ["rounds"]
    walks = [Walk(known[one.on], one.mean_in, _error(one)) for one in reversed(rounds) if one.on in known]
    sums = [known[on] for on in sorted(known)][1:]
    found = crossing(walks, known[today], ahead, spread, from_seed, sums)
    boot = _boot(known, ahead, today) if from_seed else None
    told = tuple(dict.fromkeys(lacks))
    return Foreseen(stands.field, name, since, from_seed, found, boot, rounds, told, today)


def _error(one: CoverRound) -> float:
    if one.low_in is None or one.high_in is None:
        return 0.3 * one.mean_in
    return (one.high_in - one.low_in) / (2 * NINETY_T)


def _coming(units: Mapping[date, float], today: date) -> tuple[list[float], float, list[Lack]]:
    """The units looked for on each coming day, how far they may be off, and what is lacking for it."""
    lately = [units[on] for back in range(WINDOW_DAYS) if (on := today - timedelta(days=back)) in units]
    days = [today + timedelta(days=one) for one in range(1, LOOKED_AT_DAYS + 1)]
    past = [_of_past_years(units, on) for on in days]
    if all(one is not None for one in past):
        return [one for one in past if one is not None], KNOWN_SPREAD, []
    if lately:
        level = mean(lately)
        return [level if one is None else one for one in past], BORROWED_SPREAD, ["past_years"]
    return [USUAL_UNITS.value] * LOOKED_AT_DAYS, UNKNOWN_SPREAD, ["weather"]


def _of_past_years(units: Mapping[date, float], on: date) -> float | None:
    """The mean of the days around this one in the years before, None without any."""
    found: list[float] = []
    for back in (1, 2, 3):
        middle = on - timedelta(days=365 * back)
        near = (middle + timedelta(days=one) for one in range(-5, 6))
        found += [units[one] for one in near if one in units]
    return mean(found) if found else None


def _summed(
    units: Mapping[date, float], since: date, today: date, usual: float
) -> tuple[dict[date, float], int]:
    """The sum up to each day since the start, a missing day at what is usual, and how many were missing."""
    out, total, missing, on = {since: 0.0}, 0.0, 0, since
    while on < today:
        on += timedelta(days=1)
        missing += on not in units
        total += units.get(on, usual)
        out[on] = total
    return out, missing


def _boot(known: Mapping[date, float], ahead: Sequence[float], today: date) -> Forecast | None:
    """When it boots, in the past too, by the sums up to today and the units looked for."""
    sums = [*sorted(known.items()), *_onward(known[today], ahead, today)]
    at = BOOT_UNITS.value + EMERGES.value
    middle = next((on for on, total in sums if total >= at), None)
    off = timedelta(days=BOOT_OFF_DAYS)
    return None if middle is None else Forecast(middle - off, middle, middle + off)


def _onward(units_now: float, ahead: Sequence[float], today: date) -> Iterator[tuple[date, float]]:
    for day, total in enumerate(accumulate(ahead), 1):
        yield today + timedelta(days=day), units_now + total
