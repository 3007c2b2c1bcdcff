"""Two rounds of one field beside each other: what of weeds and hard points surely moved."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

from shared.status.field_year import RoundWalked
from shared.status.rounds import firm_round, weed_round

Move = Literal["fell", "rose", "can_not_say"]


@dataclass(frozen=True, slots=True)
class Moved:
    """A field's weeds or hard points, % with 95 % interval: the last round of the year against the last before it.
    It *fell* or *rose* only where the two intervals do not touch."""

    name: str
    measure: str
    was_on: date
    was: tuple[float, float, float]
    now_on: date
    now: tuple[float, float, float]

    @property
    def word(self) -> Move:
        if self.now[2] < self.was[1]:
            return "fell"
        return "rose" if self.now[1] > self.was[2] else "can_not_say"


def seen_round(walked: RoundWalked, measure: str) -> tuple[date, tuple[float, float, float]] | None:
    """A round's day, and its % with the interval; None without an interval."""
    if measure == "weeds":
        weeds = weed_round(walked)
        if weeds is None or weeds.mean_pct is None or weeds.low_pct is None or weeds.high_pct is None:
            return None
        return weeds.on, (weeds.mean_pct, weeds.low_pct, weeds.high_pct)
    firm = firm_round(walked)
    if firm is None or firm.over_pct is None or firm.low_pct is None or firm.high_pct is None:
        return None
    return firm.on, (firm.over_pct, firm.low_pct, firm.high_pct)
