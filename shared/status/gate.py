"""The gate's tally: loads taken and turned back by town, yards by place, and the counts agreed with the
drivers.

A day is a value that merges: a gate sheet of a day, a week or a season is the same tally over its days.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from shared.reckoning.loads import load_tons
from shared.status.fact import Fact
from shared.status.tree import tree_of, value_from
from shared.words.bodies.gate import AgreedCount, Load, Packing
from shared.words.span import outside

NONE = Decimal(0)


@dataclass(frozen=True, slots=True)
class TownDay:
    """One town's loads of one packing on one day. ``yards_yd3`` are truck yards of what was taken, less
    what was taken off again; ``picked`` of the taken ones had trash picked out."""

    town: UUID
    packing: Packing
    taken: int
    picked: int
    turned_back: int
    yards_yd3: Decimal


@dataclass(frozen=True, slots=True)
class PlaceDay:
    """Loads and yards that went to one field, part or pile on one day."""

    place: UUID
    loads: int
    yards_yd3: Decimal


@dataclass(frozen=True, slots=True)
class AgreedDay:
    """A count agreed with a driver."""

    entry: UUID
    town: UUID
    loads: int
    yards_yd3: Decimal
    with_: str


@dataclass(frozen=True, slots=True)
class GateDay:
    """One day at the gate. ``doubtful``: loads with a figure that can't be believed, not in the sums."""

    on: date
    towns: tuple[TownDay, ...] = ()
    places: tuple[PlaceDay, ...] = ()
    agreed: tuple[AgreedDay, ...] = ()
    doubtful: tuple[UUID, ...] = ()

    def merged(self, other: GateDay) -> GateDay:
        """Both together; a load must not be in both."""
        return _together(self.on, (self, other))

    def to_tree(self) -> dict[str, Any]:
        tree: dict[str, Any] = tree_of(self)
        return tree

    @staticmethod
    def from_tree(tree: Mapping[str, Any]) -> GateDay:
        day: GateDay = value_from(GateDay, tree)
        return day


@dataclass(frozen=True, slots=True)
class TownTally:
    """A town over some days, with its reporting tons (by packing; never dry matter). ``agreed_*`` are
    what was agreed with its drivers, None where nothing was; ``off_*`` our count less theirs on the days
    that have one."""

    town: UUID
    taken: int
    picked: int
    turned_back: int
    yards_yd3: Decimal
    tons: float
    agreed_loads: int | None
    agreed_yd3: Decimal | None
    off_loads: int | None
    off_yd3: Decimal | None


@dataclass(frozen=True, slots=True)
class GateSheet:
    """A tally over some days: towns and places sorted by yards, most first."""

    towns: tuple[TownTally, ...]
    places: tuple[PlaceDay, ...]
    taken: int
    turned_back: int
    yards_yd3: Decimal
    doubtful: tuple[UUID, ...]


def gate_days(facts: Iterable[Fact], zone: ZoneInfo) -> dict[date, GateDay]:
    """The days at the gate from facts, struck ones passed over, each fact once."""
    days: dict[date, list[GateDay]] = defaultdict(list)
    for fact in {one.id: one for one in facts if not one.struck}.values():
        on = fact.day(zone)
        if on is None:
            continue
        if isinstance(fact.body, Load):
            days[on].append(_load(fact, fact.body, on))
        elif isinstance(fact.body, AgreedCount):
            body = fact.body
            agreed = AgreedDay(fact.id, body.town, body.loads, body.yards_yd3, body.with_)
            days[on].append(GateDay(on, agreed=(agreed,)))
    return {on: _together(on, those) for on, those in sorted(days.items())}


def _load(fact: Fact, body: Load, on: date) -> GateDay:
    if outside(body):
        return GateDay(on, doubtful=(fact.id,))
    if not body.is_taken:
        return GateDay(on, towns=(TownDay(body.town, body.packing, 0, 0, 1, NONE),))
    picked = int(body.outcome == "taken_after_picking")
    yards = max(NONE, body.carried_yd3 - (body.removed_yd3 or NONE))
    places = tuple(PlaceDay(place, 1, share) for place, share in body.to)
    return GateDay(on, towns=(TownDay(body.town, body.packing, 1, picked, 0, yards),), places=places)


def _together(on: date, days: Iterable[GateDay]) -> GateDay:
    those = tuple(days)
    return GateDay(
        on=on,
        towns=_towns(one for day in those for one in day.towns),
        places=_places(one for day in those for one in day.places),
        agreed=tuple(sorted((one for day in those for one in day.agreed), key=lambda one: str(one.entry))),
        doubtful=tuple(sorted((one for day in those for one in day.doubtful), key=str)),
    )


def _towns(rows: Iterable[TownDay]) -> tuple[TownDay, ...]:
    sums: dict[tuple[str, str], TownDay] = {}
    for one in rows:
        key = (str(one.town), one.packing)
        so_far = sums.get(key, TownDay(one.town, one.packing, 0, 0, 0, NONE))
        sums[key] = TownDay(
            one.town,
            one.packing,
            so_far.taken + one.taken,
            so_far.picked + one.picked,
            so_far.turned_back + one.turned_back,
            so_far.yards_yd3 + one.yards_yd3,
        )
    return tuple(sums[key] for key in sorted(sums))


def _places(rows: Iterable[PlaceDay]) -> tuple[PlaceDay, ...]:
    sums: dict[UUID, PlaceDay] = {}
    for one in rows:
        so_far = sums.get(one.place, PlaceDay(one.place, 0, NONE))
        sums[one.place] = PlaceDay(one.place, so_far.loads + one.loads, so_far.yards_yd3 + one.yards_yd3)
    return tuple(sums[place] for place in sorted(sums, key=str))


def gate_sheet(days: Iterable[GateDay]) -> GateSheet:
    """The tally over some days, each once."""
    those = tuple(days)
    rows = _towns(one for day in those for one in day.towns)
    named = {one.town for one in rows} | {one.town for one in _agreed(those)}
    towns = [_tally(town, those) for town in named]
    towns.sort(key=lambda one: (-one.yards_yd3, str(one.town)))
    places = sorted(
        _places(one for day in those for one in day.places), key=lambda one: (-one.yards_yd3, str(one.place))
    )
    return GateSheet(
        towns=tuple(towns),
        places=tuple(places),
        taken=sum(one.taken for one in rows),
        turned_back=sum(one.turned_back for one in rows),
        yards_yd3=sum((one.yards_yd3 for one in rows), NONE),
        doubtful=tuple(sorted((one for day in those for one in day.doubtful), key=str)),
    )


def _agreed(days: Iterable[GateDay]) -> tuple[AgreedDay, ...]:
    return tuple(one for day in days for one in day.agreed)


def _tally(town: UUID, days: tuple[GateDay, ...]) -> TownTally:
    rows = [one for day in days for one in day.towns if one.town == town]
    counted = [day for day in days if any(one.town == town for one in day.agreed)]
    agreed = [one for one in _agreed(days) if one.town == town]
    ours = [one for day in counted for one in day.towns if one.town == town]
    loads, yards = sum(one.loads for one in agreed), sum((one.yards_yd3 for one in agreed), NONE)
    our_loads, our_yards = sum(one.taken for one in ours), sum((one.yards_yd3 for one in ours), NONE)
    return TownTally(
        town=town,
        taken=sum(one.taken for one in rows),
        picked=sum(one.picked for one in rows),
        turned_back=sum(one.turned_back for one in rows),
        yards_yd3=sum((one.yards_yd3 for one in rows), NONE),
        tons=sum(load_tons(float(one.yards_yd3), one.packing).tons for one in sorted(rows, key=_by_yards)),
        agreed_loads=loads if agreed else None,
        agreed_yd3=yards if agreed else None,
        off_loads=our_loads - loads if agreed else None,
        off_yd3=our_yards - yards if agreed else None,
    )


def _by_yards(one: TownDay) -> tuple[Decimal, str]:
    return (one.yards_yd3, one.packing)
