"""The gate's reserve: the field that is next best when the first can take no more, and the loads that are kept
back for other phones that have not been heard."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal
from uuid import UUID

from shared.units import Figure, Source

Bears = Literal["fit", "light", "stay_off"]
HOUSE_RESERVE = Source(
    "house_reserve",
    "loads kept back at a gate for phones not heard, a choice of this project, common practice, no source",
    None,
    "practice",
)
LOADS_AN_HOUR = Figure(1, "loads an hour unheard", HOUSE_RESERVE)
MOST_KEPT_BACK = Figure(4, "loads", HOUSE_RESERVE)
MINUTES_AN_HOUR = 60
BEST_FIRST: tuple[Bears | None, ...] = ("fit", None, "light")
"""Ground that nobody has looked at stands before ground that was found to take light loads only."""


@dataclass(frozen=True, slots=True)
class MayReceive:
    """A field at the gate: its room in truck yards, the whole loads that still fit (None: no usual load was
    named), whether it is closed to this town today, what its ground bears (None: nobody has looked)."""

    field: UUID
    room_yd3: float
    whole_loads: int | None
    closed: bool
    bears: Bears | None

    @property
    def takes_one(self) -> bool:
        """Whether one more load may go there."""
        has_room = self.room_yd3 > 0 if self.whole_loads is None else self.whole_loads > 0
        return has_room and not self.closed and self.bears != "stay_off"


def next_best(fields: Iterable[MayReceive], now: UUID | None = None) -> UUID | None:
    """The field to send the next load to, other than ``now``: open, bearing, with room for one; the best
    ground first, then the most room. None where no other field takes any."""
    others = [one for one in fields if one.takes_one and one.field != now]
    best = min(
        others, key=lambda one: (BEST_FIRST.index(one.bears), -one.room_yd3, str(one.field)), default=None
    )
    return best.field if best is not None else None


def kept_back(unheard_min: int, whole_loads: int) -> int:
    """The whole loads of a field's room to keep back when nothing has been heard of other phones for so many
    minutes: one for each full hour, four at most, never more than there are."""
    hours = max(0, unheard_min) // MINUTES_AN_HOUR
    return max(0, min(hours * int(LOADS_AN_HOUR.value), int(MOST_KEPT_BACK.value), whole_loads))
