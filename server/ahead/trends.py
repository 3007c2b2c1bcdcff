"""Is the rest working: weeds and hard points since the last cash crop, as a line with its interval (Theil-Sen)."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from uuid import UUID

from server.land import reads as land
from server.status import reads as status
from server.status.models import FieldYear
from shared.errors import OutOfRange
from shared.reckoning.trend import DAYS_PER_YEAR, Line, theil_sen
from shared.status.field_status import FieldStatus
from shared.status.field_year import FieldYear as YearValue
from shared.status.field_year import RoundWalked
from shared.status.rounds import firm_round, weed_round
from shared.words.leg import Leg

LEAST_ROUNDS = 4
"""Fewer rounds than this make no line that could say anything."""
SHARE = 0.90
Seen = tuple[date, float]


@dataclass(frozen=True, slots=True)
class Trend:
    """A measure's rounds since the rest began; ``line`` is per cent a year, None while there are too few."""

    rounds: int
    first: float | None
    last: float | None
    line: Line | None

    @property
    def word(self) -> str:
        if self.line is None:
            return "too_few"
        return {True: "rises", False: "falls", None: "can_not_say"}[self.line.rises]


@dataclass(frozen=True, slots=True)
class Rest:
    """A field that rests since a day: how its weeds and its hard points go."""

    field: UUID
    name: str
    since: date
    weeds: Trend
    hard: Trend


def rests(farm: UUID, today: date) -> list[Rest]:
    """Every field that is not in a cash crop and was in one before, by name."""
    stands = status.standings(farm)
    rounds: dict[UUID, list[RoundWalked]] = {}
    for row in FieldYear.objects.filter(farm_id=farm).order_by("year"):
        rounds.setdefault(row.field, []).extend(YearValue.from_tree(row.gathered).rounds)
    out = []
    for field in land.fields(farm):
        since = (
            _rest_since(FieldStatus.from_tree(stands[field.id]).legs, today) if field.id in stands else None
        )
        if since is not None:
            mine = rounds.get(field.id, [])
            weeds, hard = trend_since(mine, since, weeds_of), trend_since(mine, since, hard_of)
            out.append(Rest(field.id, field.name, since, weeds, hard))
    return out


def _rest_since(legs: Sequence[Leg], today: date) -> date | None:
    """The first day of the rest that a field is in, None in a cash crop or without one before."""
    known = [one for one in legs if one.starts_on <= today]
    cash = [place for place, one in enumerate(known) if one.leg == "cash"]
    if not cash or cash[-1] + 1 >= len(known):
        return None
    return known[cash[-1] + 1].starts_on


def trend_since(
    rounds: Iterable[RoundWalked], since: date, read: Callable[[RoundWalked], Seen | None]
) -> Trend:
    """How what is read of the rounds since a day goes; a round that ``read`` gives None for is not counted."""
    seen = sorted(found for one in rounds if (found := read(one)) is not None and found[0] >= since)
    line = None
    if len(seen) >= LEAST_ROUNDS:
        years = [(on - since).days / DAYS_PER_YEAR.value for on, _ in seen]
        try:
            line = theil_sen(years, [value for _, value in seen], SHARE)
        except OutOfRange:
            line = None
    return Trend(len(seen), seen[0][1] if seen else None, seen[-1][1] if seen else None, line)


def weeds_of(walked: RoundWalked) -> Seen | None:
    found = weed_round(walked)
    return None if found is None or found.mean_pct is None else (found.on, found.mean_pct)


def hard_of(walked: RoundWalked) -> Seen | None:
    found = firm_round(walked)
    return None if found is None or found.over_pct is None else (found.on, found.over_pct)
