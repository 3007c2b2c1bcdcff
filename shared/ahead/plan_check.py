"""Whether a plan keeps to the wishes, wish by wish, and what it comes to: acres, yards, gaps, cost.

Written apart from the model that makes plans, so that each checks the other.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from shared.ahead.crops import Crop, usual_crop
from shared.ahead.wishes import Ground, Plan, Use, Weights, Wishes, kept_diseases
from shared.reckoning.rotation import last_host_year

SLACK_AC = 1e-6


@dataclass(frozen=True, slots=True)
class Breach:
    """A wish that a plan does not keep: the wish by its key, where and when. ``field`` empty: the whole farm."""

    wish: str
    year: int
    field: str = ""
    crop: str = ""


@dataclass(frozen=True, slots=True)
class YearSum:
    """A year of a plan: acres by leg, what was wanted, leaf yards needed, acres of each cash crop."""

    year: int
    land_ac: float
    target_ac: float
    acres: dict[str, float]
    crops: dict[str, float]
    yards: float
    organic_yards: float
    missed_leaf_ac: float
    changed_ac: float

    @property
    def cash_ac(self) -> float:
        return self.acres.get("cash", 0.0)

    @property
    def hay_ac(self) -> float:
        return self.acres.get("hay", 0.0)

    @property
    def gap_ac(self) -> float:
        """Cash acres over (+) or under (-) what was wanted."""
        return self.cash_ac - self.target_ac


def _use(ground: Ground, plan: Plan, wishes: Wishes, year: int) -> Use:
    return ground.before if year == wishes.first - 1 else plan[ground.id][year]


def breaches(grounds: tuple[Ground, ...], wishes: Wishes, plan: Plan) -> tuple[Breach, ...]:
    """Every wish that the plan breaks. Raises ``KeyError`` for a plan that leaves out a field or a year."""
    found: list[Breach] = []
    for ground in grounds:
        for year in ground.years(wishes.first, wishes.count):
            found += _of_year(ground, wishes, plan, year)
    for one in year_sums(grounds, wishes, plan):
        found += _of_farm(grounds, wishes, one)
    return tuple(dict.fromkeys(found))


def _of_year(ground: Ground, wishes: Wishes, plan: Plan, year: int) -> Iterator[Breach]:
    leg, crop = plan[ground.id][year]
    before = _use(ground, plan, wishes, year - 1)
    pinned = ground.pinned.get(year)
    if pinned is not None and (leg, crop if leg == "cash" else "") != (pinned[0], _cash_crop(pinned)):
        yield Breach(f"pin:{ground.id}:{year}", year, ground.id)
    if ground.standing and year == wishes.first and (leg, crop) != ("cash", ground.standing):
        yield Breach("standing", year, ground.id)
    if leg == "leaf" and before[0] != "cash":
        yield Breach("leaf_first", year, ground.id)
    after = plan[ground.id].get(year + 1, ("cash", ""))
    if wishes.lead_in and leg == "lead_in" and after[0] != "cash":
        yield Breach("lead_in", year, ground.id)
    if leg == "hay" and before[0] != "hay":
        stays = [plan[ground.id].get(year + ahead, ("hay", "")) for ahead in range(1, wishes.hay_least)]
        if any(one[0] != "hay" for one in stays):
            yield Breach("hay_stand", year, ground.id)
    if leg == "cash":
        yield from _of_cash(ground, wishes, plan, year, crop)


def _cash_crop(use: Use) -> str:
    return use[1] if use[0] == "cash" else ""


def _of_cash(ground: Ground, wishes: Wishes, plan: Plan, year: int, name: str) -> Iterator[Breach]:
    if bool(ground.standing) and year == wishes.first:
        return
    since = _years_since_cash(ground, wishes, plan, year)
    if wishes.crop(name) is None and year not in ground.pinned:
        yield Breach("crop", year, ground.id, name)
        return
    crop = _crop(wishes, name)
    if since is not None and since <= wishes.rest_years:
        yield Breach("rest", year, ground.id, name)
    if wishes.lead_in and _use(ground, plan, wishes, year - 1)[0] != "lead_in":
        yield Breach("lead_in", year, ground.id, name)
    if ground.plantback is not None and crop.planted(year) < ground.plantback:
        yield Breach("plantback", year, ground.id, name)
    if ground.lease_end is not None and crop.lifted(year) > ground.lease_end:
        yield Breach("lease", year, ground.id, name)
    if crop.organic and (ground.organic_from is None or crop.lifted(year) < ground.organic_from):
        yield Breach("organic", year, ground.id, name)
    for disease in kept_diseases(ground, wishes):
        if crop.hosts(disease) and _too_soon(ground, wishes, plan, year, name, disease):
            yield Breach(f"interval:{disease}", year, ground.id, name)


def _crop(wishes: Wishes, name: str) -> Crop:
    """The crop as wished for; one that stands or is pinned and is not, as is usual."""
    return wishes.crop(name) or usual_crop(name)


def _years_since_cash(ground: Ground, wishes: Wishes, plan: Plan, year: int) -> int | None:
    before = [one for one, use in plan[ground.id].items() if one < year and use[0] == "cash"]
    before += [one.harvested.year for one in ground.grown if one.harvested.year < year]
    return year - max(before) if before else None


def _too_soon(ground: Ground, wishes: Wishes, plan: Plan, year: int, name: str, disease: str) -> bool:
    crop = _crop(wishes, name)
    needed = wishes.free_years(crop.family, disease)
    hosts = [
        last for part in ground.parts if (last := last_host_year(ground.grown, part, disease)) is not None
    ]
    for one, use in plan[ground.id].items():
        if use[0] == "cash" and one < year and _crop(wishes, use[1]).hosts(disease):
            hosts.append(one)
    return any(needed is None or year - one - 1 < needed for one in hosts)


def _of_farm(grounds: tuple[Ground, ...], wishes: Wishes, one: YearSum) -> Iterator[Breach]:
    if abs(one.gap_ac) > wishes.band_ac(grounds, one.year) + SLACK_AC:
        yield Breach("share", one.year)
    if wishes.yards is not None and one.yards > wishes.yards + SLACK_AC:
        yield Breach("yards", one.year)
    if wishes.organic_yards is not None and one.organic_yards > wishes.organic_yards + SLACK_AC:
        yield Breach("organic_yards", one.year)
    if wishes.hay_must and one.hay_ac < wishes.hay_ac - SLACK_AC:
        yield Breach("hay", one.year)


def year_sums(grounds: tuple[Ground, ...], wishes: Wishes, plan: Plan) -> tuple[YearSum, ...]:
    """What each year of the plan comes to."""
    return tuple(_sum(grounds, wishes, plan, year) for year in wishes.years)


def _sum(grounds: tuple[Ground, ...], wishes: Wishes, plan: Plan, year: int) -> YearSum:
    acres: dict[str, float] = {}
    crops: dict[str, float] = {}
    organic = missed = changed = 0.0
    for one in grounds:
        if year not in one.years(wishes.first, wishes.count):
            continue
        leg, crop = plan[one.id][year]
        acres[leg] = acres.get(leg, 0.0) + one.acres
        if leg == "cash":
            crops[crop] = crops.get(crop, 0.0) + one.acres
        organic += one.acres if leg == "leaf" and one.organic_from is not None else 0.0
        missed += one.acres if _use(one, plan, wishes, year - 1)[0] == "cash" and leg != "leaf" else 0.0
        changed += one.acres if is_change(one, year, (leg, crop)) else 0.0
    leaf = acres.get("leaf", 0.0)
    per_ac = wishes.yards_per_ac
    land, target = wishes.land_ac(grounds, year), wishes.target_ac(grounds, year)
    return YearSum(year, land, target, acres, crops, leaf * per_ac, organic * per_ac, missed, changed)


def is_change(ground: Ground, year: int, use: Use) -> bool:
    """Whether a use is another than the farm's present plan has; a rest's crop makes no difference."""
    was = ground.present.get(year)
    return was is not None and (was[0], _cash_crop(was)) != (use[0], _cash_crop(use))


def cost(grounds: tuple[Ground, ...], wishes: Wishes, plan: Plan, weights: Weights) -> float:
    """What the plan costs: acres a year that are not as wished, weighed."""
    total = 0.0
    for one in year_sums(grounds, wishes, plan):
        far = max(0.0, abs(one.gap_ac) - wishes.near_ac(grounds, one.year))
        total += weights.share * far + weights.leaf * one.missed_leaf_ac
        total += weights.hay * max(0.0, wishes.hay_ac - one.hay_ac)
        total += weights.change * one.changed_ac
        short = (max(0.0, crop.want_ac - one.crops.get(crop.name, 0.0)) for crop in wishes.crops)
        total += weights.crop * sum(short)
    return total
