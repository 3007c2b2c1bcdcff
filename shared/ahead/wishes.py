"""What a ten-year plan is asked for: the ground as it stands, the grower's wishes, and a plan as a value."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date

from shared.ahead.crops import Crop, usual_crop
from shared.reckoning.rotation import RESTS, Grown
from shared.words.leg import LegName

YEARS = 10
Use = tuple[LegName, str]
"""A year's leg and its crop; a rest's crop does not matter to a plan, so it may be empty."""
Plan = Mapping[str, Mapping[int, Use]]
"""By field and year. A field whose lease is over has no year any more."""


@dataclass(frozen=True, slots=True)
class Ground:
    """A field to be planned, as it stands when the plan begins.

    ``grown``: the cash crops harvested on it before, on any of its parts. ``before``: the use of the last year
    before the plan: *cash* where anything was harvested in it, else the leg it is in at its end. ``standing``:
    a crop already in the ground for the first year. ``organic_from``: from when harvests are organic, None for
    other ground. ``ill``: diseases found in it. ``present``: what the farm's plan has so far. ``pinned``: years
    held as they are said. ``acres`` above 0."""

    id: str
    name: str
    acres: float
    before: Use = ("idle", "")
    grown: tuple[Grown, ...] = ()
    standing: str = ""
    organic_from: date | None = None
    lease_end: date | None = None
    plantback: date | None = None
    ill: tuple[str, ...] = ()
    present: Mapping[int, Use] = field(default_factory=dict)
    pinned: Mapping[int, Use] = field(default_factory=dict)

    @property
    def parts(self) -> tuple[str, ...]:
        return tuple(sorted({one.part for one in self.grown}))

    def years(self, first: int, count: int) -> range:
        """The years that it can be planned for: up to the lease's last."""
        last = first + count - 1
        return range(first, min(last, self.lease_end.year if self.lease_end else last) + 1)


def read_diseases() -> tuple[str, ...]:
    """Diseases whose years without a host were read in a text; those from memory are kept only where asked for."""
    shown = {
        ill
        for (_, ill), rest in RESTS.items()
        if rest.least is None or rest.least.source.standing != "memory"
    }
    return tuple(sorted(shown))


@dataclass(frozen=True, slots=True)
class Wishes:
    """What the grower wants of the years ``first`` on.

    ``share_pct`` of the land in cash crops each year, within ``within_pct`` of the land; what is within
    ``near_pct`` of it is as good as met. ``rest_years`` between
    two cash years (R10). ``intervals``: the diseases whose host-free years are kept, the shortest advised or, with
    ``longest``, the longest (R11). ``yards``: what the towns bring, by year, and ``organic_yards`` of it from towns
    approved for organic ground; None: not limited. ``yards_per_ac``: what an acre takes. ``hay_ac`` wanted each
    year, as a must or as near as can be. ``hay_least``: years that a stand stays at the least."""

    first: int
    crops: tuple[Crop, ...]
    count: int = YEARS
    share_pct: float = 20.0
    within_pct: float = 10.0
    near_pct: float = 1.0
    rest_years: int = 4
    intervals: tuple[str, ...] = field(default_factory=read_diseases)
    longest: bool = False
    yards: float | None = None
    organic_yards: float | None = None
    yards_per_ac: float = 806.67
    hay_ac: float = 0.0
    hay_must: bool = False
    hay_least: int = 2
    lead_in: bool = True

    @property
    def years(self) -> range:
        return range(self.first, self.first + self.count)

    @property
    def last(self) -> int:
        return self.first + self.count - 1

    def crop(self, name: str) -> Crop | None:
        return next((one for one in self.crops if one.name == name), None)

    def every_crop(self, grounds: tuple[Ground, ...]) -> tuple[Crop, ...]:
        """The crops wished for, and those that stand or are pinned and are not among them, in a fixed order."""
        held = {one.standing for one in grounds if one.standing}
        for ground in grounds:
            held |= {crop for leg, crop in ground.pinned.values() if leg == "cash"}
        others = sorted(held - {one.name for one in self.crops})
        return (*self.crops, *(usual_crop(one) for one in others))

    def dated_breaches(self, ground: Ground, crop: Crop, year: int) -> Iterator[str]:
        """What rules a crop out on a field in a year, by its dates: a spray's wait, a lease's end, organic ground."""
        if ground.plantback is not None and crop.planted(year) < ground.plantback:
            yield "plantback"
        if ground.lease_end is not None and crop.lifted(year) > ground.lease_end:
            yield "lease"
        if crop.organic and (ground.organic_from is None or crop.lifted(year) < ground.organic_from):
            yield "organic"

    def free_years(self, family: str, disease: str) -> int | None:
        """The years without a host that are asked for before this family; None: never again."""
        rest = RESTS[family, disease]
        if rest.least is None:
            return None
        longest = rest.most if self.longest and rest.most is not None else rest.least
        return int(longest.value)

    def land_ac(self, grounds: tuple[Ground, ...], year: int) -> float:
        """The acres that the farm has in a year."""
        return sum(one.acres for one in grounds if year in one.years(self.first, self.count))

    def target_ac(self, grounds: tuple[Ground, ...], year: int) -> float:
        return self.land_ac(grounds, year) * self.share_pct / 100.0

    def near_ac(self, grounds: tuple[Ground, ...], year: int) -> float:
        return self.land_ac(grounds, year) * self.near_pct / 100.0

    def band_ac(self, grounds: tuple[Ground, ...], year: int) -> float:
        return self.land_ac(grounds, year) * self.within_pct / 100.0


@dataclass(frozen=True, slots=True)
class Weights:
    """What a year's acre costs that is not as wished: what makes one good plan another than the next."""

    share: float = 10.0
    leaf: float = 3.0
    hay: float = 3.0
    crop: float = 2.0
    change: float = 1.0


EMPHASES: dict[str, Weights] = {
    "few_changes": Weights(share=5.0, crop=1.0, change=5.0),
    "even_acres": Weights(share=40.0, change=0.1),
    "most_leaves": Weights(share=5.0, leaf=15.0, hay=6.0, change=0.1),
}


def kept_diseases(ground: Ground, wishes: Wishes) -> Iterator[str]:
    """The diseases whose intervals bind on a field: those asked for, and those found in it."""
    seen = set()
    for disease in (*wishes.intervals, *ground.ill):
        known = any(ill == disease for _, ill in RESTS)
        if known and disease not in seen:
            seen.add(disease)
            yield disease
