"""The cheapest whole bags that bring what is called for, by HiGHS."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import ceil

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp

from shared.ahead.fertilizer_amount import NUTRIENTS, Nutrient
from shared.ahead.fertilizer_need import hundreds
from shared.ahead.fertilizer_tables import Material

SLACK_LB = 1e-6


@dataclass(frozen=True, slots=True)
class Bags:
    """Bags of each material, what they cost together, and lb of each nutrient that they bring. ``over`` names the
    nutrients of which they bring some though none is called for: there was no way without."""

    counts: tuple[tuple[Material, int], ...]
    cost: float
    brings: Mapping[Nutrient, float]
    over: tuple[Nutrient, ...] = ()

    @property
    def loose(self) -> tuple[tuple[Material, int], ...]:
        """The same by the 100 lb, for what is bought loose."""
        return tuple((one, hundreds(count * one.bag_lb)) for one, count in self.counts)


NOTHING = Bags((), 0.0, dict.fromkeys(NUTRIENTS, 0.0))


def cheapest(
    wanted: Mapping[Nutrient, float], materials: Sequence[Material], never: Sequence[Nutrient] = ()
) -> Bags | None:
    """The cheapest whole bags with at least ``wanted`` lb of each nutrient. A nutrient of which none is wanted comes
    with no bag, unless there is no other way; one in ``never`` (the soil holds enough) on no account. None where
    these materials can't bring what is wanted."""
    pounds = tuple(round(max(0.0, wanted[one]), 6) for one in NUTRIENTS)
    return _cheapest(pounds, tuple(materials), tuple(never))


@lru_cache(maxsize=2048)
def _cheapest(
    pounds: tuple[float, ...], materials: tuple[Material, ...], never: tuple[Nutrient, ...]
) -> Bags | None:
    """The same sums stand on several pages: each is solved once."""
    wanted = dict(zip(NUTRIENTS, pounds, strict=True))
    if all(wanted[one] <= SLACK_LB for one in NUTRIENTS):
        return NOTHING
    none_wanted = tuple(one for one in NUTRIENTS if wanted[one] <= SLACK_LB)
    for kept_out in dict.fromkeys((none_wanted, never)):
        found = _solved(wanted, [one for one in materials if not any(one.holds(n) > 0 for n in kept_out)])
        if found is not None:
            over = tuple(one for one in none_wanted if found.brings[one] > SLACK_LB)
            return Bags(found.counts, found.cost, found.brings, over)
    return None


def _solved(wanted: Mapping[Nutrient, float], materials: Sequence[Material]) -> Bags | None:
    if not materials:
        return None
    holds = np.array([[one.holds(n) for one in materials] for n in NUTRIENTS])
    low = np.array([max(0.0, wanted[n] - SLACK_LB) for n in NUTRIENTS])
    if any(low[row] > 0 and not holds[row].any() for row in range(len(NUTRIENTS))):
        return None
    cost = np.array([one.price for one in materials])
    most = [
        max(ceil(low[n] / holds[n, one]) if holds[n, one] > 0 else 0 for n in range(len(NUTRIENTS)))
        for one in range(len(materials))
    ]
    found = milp(
        cost,
        constraints=LinearConstraint(holds, low, np.inf),
        bounds=Bounds(0, np.array(most, dtype=float)),
        integrality=np.ones(len(materials)),
    )
    if found.x is None:
        return None
    return _bags(materials, [round(one) for one in found.x])


def _bags(materials: Sequence[Material], counts: Sequence[int]) -> Bags:
    told = tuple((one, count) for one, count in zip(materials, counts, strict=True) if count)
    brings: dict[Nutrient, float] = {n: sum(one.holds(n) * count for one, count in told) for n in NUTRIENTS}
    return Bags(told, sum(one.price * count for one, count in told), brings)


def all_of(several: Sequence[Bags | None]) -> Bags | None:
    """All of them together, None where one is."""
    known = [one for one in several if one is not None]
    if len(known) < len(several):
        return None
    counts: dict[Material, int] = {}
    for material, count in (each for one in known for each in one.counts):
        counts[material] = counts.get(material, 0) + count
    brings: dict[Nutrient, float] = {n: sum(one.brings[n] for one in known) for n in NUTRIENTS}
    over = tuple(n for n in NUTRIENTS if any(n in one.over for one in known))
    return Bags(tuple(counts.items()), sum(one.cost for one in known), brings, over)
