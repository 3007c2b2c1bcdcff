"""The truck factor by town and packing: the loads that lay under each depth round that measures one."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from datetime import date
from uuid import UUID

from server.registers.facts import facts_of
from server.web.desk import Desk
from shared.status.fact import Fact
from shared.status.factor_by_sort import NINETY, RoundYards, Sort, SortFactor, factors_by_sort
from shared.status.truck_factor import MeasuredFactor
from shared.words.bodies.gate import Load

MOST_ROUNDS = 60
ASTRAY = 0.01
"""Where loads and what lies there differ by more than this share, leaves came another way: by way of a pile."""


def factors(desk: Desk, measured: Sequence[MeasuredFactor]) -> list[SortFactor]:
    """By town and packing, from the last rounds of all fields."""
    last = sorted(measured, key=lambda one: one.on, reverse=True)[:MOST_ROUNDS]
    if not last:
        return []
    first = min(one.since for one in last)
    loads = facts_of(desk.farm, ("load",), first, max(one.on for one in last))
    by_field: dict[UUID, list[tuple[date, Sort, float]]] = defaultdict(list)
    for place, on, sort, yards in _sent(loads, desk):
        by_field[place].append((on, sort, yards))
    return factors_by_sort([one for each in last if (one := _round(each, by_field[each.field])) is not None])


def _sent(loads: Iterable[Fact], desk: Desk) -> Iterable[tuple[UUID, date, Sort, float]]:
    for fact in loads:
        body, on = fact.body, fact.day(desk.zone)
        if isinstance(body, Load) and body.is_taken and not fact.struck and on is not None:
            for place, yards in body.to:
                yield place, on, (body.town, body.packing), float(yards)


def _round(one: MeasuredFactor, loads: Iterable[tuple[date, Sort, float]]) -> RoundYards | None:
    sent: dict[Sort, float] = defaultdict(float)
    for on, sort, yards in loads:
        if one.since < on <= one.on:
            sent[sort] += yards
    truck = float(one.truck_yd3)
    if abs(sum(sent.values()) - truck) > ASTRAY * truck:
        return None
    error = (one.high - one.low) / (2 * NINETY.value)
    return RoundYards(one.factor * truck, error * truck, sent)
