"""The ten-year plan as a mixed-integer model: a column for each field, year and use, a row for each wish's bound.

Every row and every ban carries the wish that it comes from, so that a wish can be left out: that is how a
smallest set in conflict is found.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field

import numpy as np

from server.ahead.aims import Aims, aims_of
from server.ahead.rows import Rows
from shared.ahead.crops import Crop
from shared.ahead.plan_check import is_change
from shared.ahead.wishes import Ground, Use, Weights, Wishes, kept_diseases
from shared.reckoning.rotation import last_host_year

RESTS: tuple[Use, ...] = (("leaf", ""), ("hay", ""), ("smother", ""), ("lead_in", ""))
Place = tuple[str, int]


@dataclass(slots=True)
class Model:
    """``uses[field, year]`` are the columns of that field's year by use. Columns past ``binaries`` are acres: how
    far a year is from what was wanted."""

    grounds: tuple[Ground, ...]
    wishes: Wishes
    aims: dict[int, Aims]
    crops: dict[str, Crop]
    uses: dict[Place, dict[Use, int]] = field(default_factory=dict)
    bans: dict[str, list[int]] = field(default_factory=lambda: defaultdict(list))
    rows: Rows = field(default_factory=Rows)
    binaries: int = 0
    columns: int = 0
    over: dict[int, int] = field(default_factory=dict)
    under: dict[int, int] = field(default_factory=dict)
    hay_short: dict[int, int] = field(default_factory=dict)
    crop_short: dict[tuple[int, str], int] = field(default_factory=dict)

    @property
    def keys(self) -> tuple[str, ...]:
        """The wishes that bind anywhere in the model, in a fixed order; what is always so is none of them."""
        return tuple(sorted({one for one in (*self.rows.wishes, *self.bans) if one}))

    def cash(self, ground: str, year: int) -> list[int]:
        return [at for use, at in self.uses.get((ground, year), {}).items() if use[0] == "cash"]

    def leg(self, ground: str, year: int, leg: str) -> list[int]:
        return [at for use, at in self.uses.get((ground, year), {}).items() if use[0] == leg]

    def costs(self, weights: Weights) -> np.ndarray:
        """What each column costs; the constant part is what was missed before the plan began."""
        out = np.zeros(self.columns)
        for one in (*self.over.values(), *self.under.values()):
            out[one] = weights.share
        for one in self.hay_short.values():
            out[one] = weights.hay
        for one in self.crop_short.values():
            out[one] = weights.crop
        for ground in self.grounds:
            for year in ground.years(self.wishes.first, self.wishes.count):
                for use, at in self.uses[ground.id, year].items():
                    out[at] += weights.change * ground.acres * is_change(ground, year, use)
                    out[at] += weights.leaf * ground.acres * self._leaf_cost(ground, year, use)
        return out

    def _leaf_cost(self, ground: Ground, year: int, use: Use) -> float:
        """A cash year costs a missed year of leaves, which a leaf year after it gives back."""
        after = year + 1 in ground.years(self.wishes.first, self.wishes.count)
        owed = year > self.wishes.first or ground.before[0] == "cash"
        return float(use[0] == "cash" and after) - float(use[0] == "leaf" and owed)

    def constant(self, weights: Weights) -> float:
        """What is added to the columns' cost, so that it is the cost of the plan: leaves that the first year
        owes to the crop before it."""
        owed = 0.0
        for ground in self.grounds:
            if ground.before[0] == "cash" and ground.years(self.wishes.first, self.wishes.count):
                owed += ground.acres
        return weights.leaf * owed


def model_of(grounds: tuple[Ground, ...], wishes: Wishes, aims: dict[int, Aims] | None = None) -> Model:
    """The model of these fields and wishes; ``aims`` where they are only a part of the farm."""
    crops = {one.name: one for one in wishes.every_crop(grounds)}
    model = Model(grounds, wishes, aims or aims_of(grounds, wishes), crops)
    for ground in grounds:
        _uses(model, ground)
    model.binaries = model.columns
    for ground in grounds:
        _one_use_a_year(model, ground)
        _rest(model, ground)
        _order(model, ground)
        _hay(model, ground)
        _bans(model, ground)
        _intervals(model, ground)
    for year in wishes.years:
        _share(model, year)
        _leaves(model, year)
        _hay_acres(model, year)
        _crops(model, year)
    return model


def _uses(model: Model, ground: Ground) -> None:
    wishes = model.wishes
    for year in ground.years(wishes.first, wishes.count):
        uses: list[Use] = [*RESTS, *(("cash", crop.name) for crop in wishes.crops)]
        pinned = ground.pinned.get(year)
        if pinned is not None:
            fixed = (pinned[0], pinned[1] if pinned[0] == "cash" else "")
            uses += [fixed] if fixed not in uses else []  # type: ignore[list-item]
        if ground.standing and year == wishes.first and ("cash", ground.standing) not in uses:
            uses.append(("cash", ground.standing))
        model.uses[ground.id, year] = {use: model.columns + place for place, use in enumerate(uses)}
        model.columns += len(uses)


def _one_use_a_year(model: Model, ground: Ground) -> None:
    wishes = model.wishes
    for year in ground.years(wishes.first, wishes.count):
        columns = model.uses[ground.id, year]
        model.rows.add("", dict.fromkeys(columns.values(), 1.0), 1.0, 1.0)
        pinned = ground.pinned.get(year)
        for use, at in columns.items():
            plain = (pinned[0], pinned[1] if pinned[0] == "cash" else "") if pinned else None
            if plain is not None and use != plain:
                model.bans[f"pin:{ground.id}:{year}"].append(at)
            elif plain is None and use[0] == "cash" and wishes.crop(use[1]) is None:
                model.bans[""] += [at] if ground.standing != use[1] or year != wishes.first else []
    if ground.standing and (ground.id, wishes.first) in model.uses:
        columns = model.uses[ground.id, wishes.first]
        model.bans[""] += [at for use, at in columns.items() if use != ("cash", ground.standing)]


def _rest(model: Model, ground: Ground) -> None:
    """At most one cash year in any run of a rest and its crop; the crops before the plan bar its first years."""
    wishes = model.wishes
    years, span = ground.years(wishes.first, wishes.count), wishes.rest_years + 1
    for year in years:
        window = [at for one in range(year, year + span) for at in model.cash(ground.id, one)]
        if span > 1 and year + 1 in years:
            model.rows.at_most("rest", window, 1.0)
    last = max((one.harvested.year for one in ground.grown), default=None)
    for year in years:
        standing = bool(ground.standing) and year == wishes.first
        if last is not None and year - last <= wishes.rest_years and not standing:
            model.bans["rest"] += model.cash(ground.id, year)


def _order(model: Model, ground: Ground) -> None:
    """Leaves only after a cash crop; a cash crop only after a lead-in, and a lead-in only before one."""
    wishes = model.wishes
    years = ground.years(wishes.first, wishes.count)
    for year in years:
        leaf, lead = model.leg(ground.id, year, "leaf"), model.leg(ground.id, year, "lead_in")
        cash, first = model.cash(ground.id, year), year == wishes.first
        if first:
            if ground.before[0] != "cash":
                model.bans["leaf_first"] += leaf
            if wishes.lead_in and ground.before[0] != "lead_in" and not ground.standing:
                model.bans["lead_in"] += cash
        else:
            _only_after(model, "leaf_first", True, leaf, model.cash(ground.id, year - 1))
            _only_after(model, "lead_in", wishes.lead_in, cash, model.leg(ground.id, year - 1, "lead_in"))
        if year + 1 in years:
            _only_after(model, "lead_in", wishes.lead_in, lead, model.cash(ground.id, year + 1))


def _only_after(model: Model, wish: str, wanted: bool, these: list[int], those: list[int]) -> None:
    if wanted:
        model.rows.add(wish, dict.fromkeys(these, 1.0) | dict.fromkeys(those, -1.0), -np.inf, 0.0)


def _hay(model: Model, ground: Ground) -> None:
    """A stand that begins stays for its years."""
    wishes = model.wishes
    years = ground.years(wishes.first, wishes.count)
    for year in years:
        begins = dict.fromkeys(model.leg(ground.id, year, "hay"), 1.0)
        if year == wishes.first and ground.before[0] == "hay":
            continue
        if year > wishes.first:
            begins |= dict.fromkeys(model.leg(ground.id, year - 1, "hay"), -1.0)
        for ahead in range(1, wishes.hay_least):
            if year + ahead in years:
                stays = dict.fromkeys(model.leg(ground.id, year + ahead, "hay"), -1.0)
                model.rows.add("hay_stand", begins | stays, -np.inf, 0.0)


def _bans(model: Model, ground: Ground) -> None:
    wishes = model.wishes
    for year in ground.years(wishes.first, wishes.count):
        for use, at in model.uses[ground.id, year].items():
            crop = model.crops.get(use[1]) if use[0] == "cash" else None
            if crop is None or (ground.standing and year == wishes.first):
                continue
            for wish in wishes.dated_breaches(ground, crop, year):
                model.bans[wish].append(at)


def _intervals(model: Model, ground: Ground) -> None:
    """Years without a host before each family (R11), from crops before the plan on every part, and within it."""
    wishes = model.wishes
    years = ground.years(wishes.first, wishes.count)
    for disease in kept_diseases(ground, wishes):
        needs: dict[int | None, list[str]] = defaultdict(list)
        for crop in model.crops.values():
            if crop.hosts(disease):
                needs[wishes.free_years(crop.family, disease)].append(crop.name)
        hosts = [crop.name for crop in model.crops.values() if crop.hosts(disease)]
        last = [
            one for part in ground.parts if (one := last_host_year(ground.grown, part, disease)) is not None
        ]
        for needed, names in needs.items():
            for year in years:
                these = _cash_of(model, ground.id, year, names)
                standing = bool(ground.standing) and year == wishes.first
                if last and not standing and (needed is None or year - max(last) - 1 < needed):
                    model.bans[f"interval:{disease}"] += these
                for one in _barring(years, year, needed):
                    both = [*these, *_cash_of(model, ground.id, one, hosts)]
                    model.rows.at_most(f"interval:{disease}", both, 1.0)


def _barring(years: range, year: int, needed: int | None) -> Iterator[int]:
    first = years[0] if needed is None else max(years[0], year - needed)
    yield from range(first, year)


def _cash_of(model: Model, ground: str, year: int, names: list[str]) -> list[int]:
    return [at for use, at in model.uses[ground, year].items() if use[0] == "cash" and use[1] in names]


def _acres(model: Model, year: int, leg: str, crop: str | None = None) -> dict[int, float]:
    """The acres that each column of a leg brings in a year."""
    out: dict[int, float] = {}
    for ground in model.grounds:
        for use, at in model.uses.get((ground.id, year), {}).items():
            if use[0] == leg and crop in (None, use[1]):
                out[at] = ground.acres
    return out


def _column(model: Model) -> int:
    model.columns += 1
    return model.columns - 1


def _share(model: Model, year: int) -> None:
    over, under = model.over[year], model.under[year] = _column(model), _column(model)
    cash, aim = _acres(model, year, "cash"), model.aims[year]
    model.rows.add("", cash | {over: -1.0}, -np.inf, aim.cash + aim.near)
    model.rows.add("", cash | {under: 1.0}, aim.cash - aim.near, np.inf)
    model.rows.add("share", cash, max(0.0, aim.cash - aim.band), aim.cash + aim.band)


def _leaves(model: Model, year: int) -> None:
    aim, leaf = model.aims[year], _acres(model, year, "leaf")
    if aim.leaf is not None:
        model.rows.add("yards", leaf, -np.inf, aim.leaf)
    if aim.organic_leaf is not None:
        apart = {one.id for one in model.grounds if one.organic_from is not None}
        held = {at: leaf[at] for one in sorted(apart) for at in model.leg(one, year, "leaf")}
        model.rows.add("organic_yards", held, -np.inf, aim.organic_leaf)


def _hay_acres(model: Model, year: int) -> None:
    wanted = model.aims[year].hay
    if wanted > 0:
        short = model.hay_short[year] = _column(model)
        hay = _acres(model, year, "hay")
        model.rows.add("", hay | {short: 1.0}, wanted, np.inf)
        if model.wishes.hay_must:
            model.rows.add("hay", hay, wanted, np.inf)


def _crops(model: Model, year: int) -> None:
    for crop, wanted in model.aims[year].crops.items():
        if wanted > 0:
            short = model.crop_short[year, crop] = _column(model)
            model.rows.add("", _acres(model, year, "cash", crop) | {short: 1.0}, wanted, np.inf)
