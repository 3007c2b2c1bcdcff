"""The lime that a laboratory's answer asks for: as the laboratory states it, else by the one method that its buffer
belongs to. A buffer pH or an acidity without the name of its method asks for nothing that anybody could know."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from shared.errors import InputError
from shared.reckoning.lime import (
    MEHLICH_BUFFER,
    NEAR_NEUTRAL,
    NEUTRAL,
    NORTH_CAROLINA,
    PENN_STATE_LIME,
    lime_north_carolina,
    lime_pennsylvania,
    mehlich_acidity,
)
from shared.units import LB_PER_TON, Figure, Source

How = Literal["stated", "pennsylvania", "north_carolina"]
Values = Iterable[tuple[str, float, str]]

LIME_TO = Source("lime_to", "Univ. of Delaware extension, target pH: 6.2 for many vegetables", None, "read")
USUAL_TARGET = Figure(6.2, "pH", LIME_TO)
MOST_TONS = Figure(20.0, "tons/ac", Source("lime_most", "more is a slip of the pen", None, "practice"))

LIME_NAMES = frozenset(
    ("lime", "lime requirement", "lime recommendation", "lime rate", "limestone", "cal", "encalado")
)
ACIDITY_NAMES = frozenset(("acidity", "exchangeable acidity", "ac", "acidez"))
BUFFER_NAMES = frozenset(("buffer ph", "bph", "ph buffer", "ph tampon", "ph tampón"))
PH_NAMES = frozenset(("ph", "water ph", "soil ph", "ph agua"))
TONS, POUNDS = "tons/ac", "lb/ac"


@dataclass(frozen=True, slots=True)
class LimeAsked:
    """Tons of calcium carbonate equivalent an acre (0: none is called for), how it was come by, the soil's own pH
    (None where it was not given) and the pH that it is meant to reach (None where the laboratory did not say)."""

    tons_per_ac: float
    how: How
    ph: float | None
    target: float | None


def lime_asked(method: str, values: Values, target: float | None = None) -> LimeAsked | None:
    """What an answer asks for: the laboratory's own lime requirement (lb or tons an acre) first, else Penn State's or
    North Carolina's computation where ``method`` names them. ``target`` is the pH to lime to, Delaware's 6.2 where
    None; Penn State's is the next of its two targets. None where the answer says nothing of lime, or can't be read.
    """
    told = {_plain(name): (number, unit) for name, number, unit in values}
    ph = _first(told, PH_NAMES)
    stated = _stated(told)
    if stated is not None:
        return LimeAsked(stated, "stated", ph, None) if 0.0 <= stated <= MOST_TONS.value else None
    wanted = USUAL_TARGET.value if target is None else target
    words = _plain(method)
    try:
        if "penn state" in words or "pennsylvania" in words:
            return _pennsylvania(_first(told, ACIDITY_NAMES), ph, wanted)
        if "north carolina" in words or "ncda" in words:
            return _north_carolina(told, ph, wanted)
    except InputError:
        return None
    return None


def _plain(word: str) -> str:
    return " ".join(word.lower().replace("_", " ").replace("-", " ").split())


def _first(told: dict[str, tuple[float, str]], names: frozenset[str]) -> float | None:
    return next((told[name][0] for name in told if name in names), None)


def _stated(told: dict[str, tuple[float, str]]) -> float | None:
    for name in told:
        if name in LIME_NAMES and told[name][1] in (TONS, POUNDS):
            number, unit = told[name]
            return number if unit == TONS else number / LB_PER_TON.value
    return None


def _pennsylvania(acidity: float | None, ph: float | None, target: float) -> LimeAsked | None:
    if acidity is None or ph is None:
        return None
    aim = NEAR_NEUTRAL.value if target <= NEAR_NEUTRAL.value else NEUTRAL.value
    lb = lime_pennsylvania(acidity, ph, aim).lime_lb_per_ac
    return LimeAsked(lb / LB_PER_TON.value, "pennsylvania", ph, aim)


def _north_carolina(told: dict[str, tuple[float, str]], ph: float | None, target: float) -> LimeAsked | None:
    buffer, acidity = _first(told, BUFFER_NAMES), _first(told, ACIDITY_NAMES)
    if acidity is None and buffer is not None:
        acidity = mehlich_acidity(buffer).acidity_meq
    if acidity is None or ph is None:
        return None
    aim = min(target, MEHLICH_BUFFER.value)
    return LimeAsked(lime_north_carolina(acidity, ph, aim).lime_tons_per_ac, "north_carolina", ph, aim)


SOURCE_OF: dict[How, Source | None] = {
    "stated": None,
    "pennsylvania": PENN_STATE_LIME,
    "north_carolina": NORTH_CAROLINA,
}
"""Where each way is from; the laboratory itself where it stated it."""
