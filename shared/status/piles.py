"""A pile of leaves: what went in, what was drawn out, its oldest load, its towns and its heat.

A pile's status is a pure function of the facts in force that name it (``touches``), in any order.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from shared.status.fact import Fact, Order
from shared.status.gathering import EXACT
from shared.status.tree import tree_of, value_from
from shared.words.bodies.gate import Load, PileCheck
from shared.words.bodies.work import Work
from shared.words.span import outside

DRAWS = ("spread", "move", "pick_trash", "clean")
"""Work that takes yards out of a pile; picked or cleaned out is removed, not spread."""
NONE = Decimal(0)


@dataclass(frozen=True, slots=True)
class Checked:
    """The last check: its day, the hottest reading in F and the size in feet, each None where not taken."""

    on: date
    order: Order
    entry: UUID
    temp_f: Decimal | None
    height_ft: Decimal | None
    width_ft: Decimal | None
    length_ft: Decimal | None


@dataclass(frozen=True, slots=True)
class PileStatus:
    """Truck yards in, out and on hand (never below 0); ``oldest_on`` the arrival of the oldest load that
    may still be in it, first in first out; yards in by town. Of the yards in: ``taken`` at the gate, ``moved_in``
    from elsewhere on the farm; of those out: ``spread``, ``moved_on`` to a place of the farm, ``moved_off`` where
    nobody named one (off the farm, which is to be looked at), ``removed`` as trash. ``doubtful``: entries whose
    yards can't be believed or are missing."""

    pile: UUID
    in_yd3: Decimal = NONE
    out_yd3: Decimal = NONE
    oldest_on: date | None = None
    towns: tuple[tuple[UUID, Decimal], ...] = ()
    checked: Checked | None = None
    doubtful: tuple[UUID, ...] = ()
    taken_yd3: Decimal = NONE
    moved_in_yd3: Decimal = NONE
    spread_yd3: Decimal = NONE
    moved_on_yd3: Decimal = NONE
    moved_off_yd3: Decimal = NONE
    removed_yd3: Decimal = NONE

    @property
    def on_hand_yd3(self) -> Decimal:
        return max(NONE, self.in_yd3 - self.out_yd3)

    def to_tree(self) -> dict[str, Any]:
        """As JSON takes it; ``id`` is the pile's."""
        tree: dict[str, Any] = {"id": str(self.pile)} | tree_of(self)
        return tree

    @staticmethod
    def from_tree(tree: Mapping[str, Any]) -> PileStatus:
        status: PileStatus = value_from(PileStatus, tree)
        return status


@dataclass(frozen=True, slots=True)
class _Flow:
    """Yards in (or, below 0, out) on a day, from a town or none; which sort of the balance they are."""

    on: date
    yards_yd3: Decimal
    town: UUID | None
    sort: str


def pile_status(pile: UUID, facts: Iterable[Fact], zone: ZoneInfo) -> PileStatus:
    """The status of one pile from facts, struck ones and those of other piles being passed over."""
    flows: list[_Flow] = []
    checks: list[Checked] = []
    doubtful: set[UUID] = set()
    for fact in {one.id: one for one in facts if not one.struck}.values():
        on = fact.day(zone)
        if on is None:
            continue
        if isinstance(fact.body, PileCheck) and fact.body.pile == pile:
            if outside(fact.body):
                doubtful.add(fact.id)
            else:
                checks.append(_checked(fact, fact.body, on))
        elif isinstance(fact.body, Load) and fact.body.is_taken:
            flows += _in(fact, fact.body, pile, on, doubtful)
        elif isinstance(fact.body, Work):
            flows += _worked(fact, fact.body, pile, on, doubtful)
    return PileStatus(
        pile=pile,
        in_yd3=sum((one.yards_yd3 for one in flows if one.yards_yd3 > 0), NONE),
        out_yd3=-sum((one.yards_yd3 for one in flows if one.yards_yd3 < 0), NONE),
        oldest_on=_oldest(flows),
        towns=_towns(flows),
        checked=max(checks, key=lambda one: (one.on, one.order, str(one.entry)), default=None),
        doubtful=tuple(sorted(doubtful, key=str)),
        **{f"{sort}_yd3": _sum(flows, sort) for sort in SORTS},
    )


SORTS = ("taken", "moved_in", "spread", "moved_on", "moved_off", "removed")


def _sum(flows: Iterable[_Flow], sort: str) -> Decimal:
    return sum((abs(one.yards_yd3) for one in flows if one.sort == sort), NONE)


def _checked(fact: Fact, body: PileCheck, on: date) -> Checked:
    size = (body.height_ft, body.width_ft, body.length_ft)
    return Checked(on, fact.order, fact.id, body.temp_f, *size)


def _in(fact: Fact, body: Load, pile: UUID, on: date, doubtful: set[UUID]) -> list[_Flow]:
    here = [yards for place, yards in body.to if place == pile]
    if here and outside(body):
        doubtful.add(fact.id)
        return []
    return [_Flow(on, yards, body.town, "taken") for yards in here if yards > 0]


def _worked(fact: Fact, body: Work, pile: UUID, on: date, doubtful: set[UUID]) -> list[_Flow]:
    """Drawn out by spreading, moving or picking, in equal shares where several piles were drawn on; or moved here."""
    sources = body.from_ or ()
    drawn = body.job in DRAWS and pile in sources
    brought = body.job == "move" and body.to == pile and not drawn
    if not drawn and not brought:
        return []
    if body.yards_yd3 is None or outside(body) or len(sources) > 1:
        doubtful.add(fact.id)
    if body.yards_yd3 is None or outside(body):
        return []
    if brought:
        return [_Flow(on, body.yards_yd3, None, "moved_in")]
    return [_Flow(on, -(body.yards_yd3 / len(sources)).quantize(EXACT), None, _sort(body))]


def _sort(body: Work) -> str:
    if body.job == "move":
        return "moved_on" if body.to is not None else "moved_off"
    return "spread" if body.job == "spread" else "removed"


def _oldest(flows: Iterable[_Flow]) -> date | None:
    """The arrival of the oldest yards that are left when the oldest go out first."""
    out = -sum((one.yards_yd3 for one in flows if one.yards_yd3 < 0), NONE)
    for one in sorted((one for one in flows if one.yards_yd3 > 0), key=lambda one: one.on):
        out -= one.yards_yd3
        if out < 0:
            return one.on
    return None


def _towns(flows: Iterable[_Flow]) -> tuple[tuple[UUID, Decimal], ...]:
    sums: dict[UUID, Decimal] = {}
    for one in flows:
        if one.town is not None:
            sums[one.town] = sums.get(one.town, NONE) + one.yards_yd3
    return tuple(sorted(sums.items(), key=lambda item: str(item[0])))
