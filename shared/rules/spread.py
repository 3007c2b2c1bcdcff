"""Leaves put on the ground and worked into it, as the checks take them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Literal

from shared.reckoning.computation import Input
from shared.reckoning.leaf import UNSPREAD_FT2, YARDS_YD3

AreaFrom = Literal["drawn", "typed", "outline"]
"""How the covered area is known: ``drawn`` as a part, ``typed`` by a person, or only the spreadable
``outline`` of the field: then the true area may be smaller, and a depth from it is *at least* so much (ruling
R3)."""

YardsAre = Literal["ground", "truck"]
"""``ground``: yards as they lie. ``truck``: yards as they came, the farm's factor not yet measured (ruling
R2)."""

_AREA = Input("area_ft2", unit="ft2", low=0, above_low=True, high=UNSPREAD_FT2.high)
_TONS = Input("tons", unit="tons", low=0, optional=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """One spreading on one part of one field.

    ``pieces`` are the smallest pieces of ground that it lies on, where parts overlap; empty means the part
    alone. ``area_ft2`` is the ground covered by the outline in force on the day; ``area_now_ft2`` the same by
    today's outline where that was redrawn (ruling R19). ``dry_tons`` and ``wet_tons`` are of what was spread,
    None where not known; they are never reporting tons. Raises ``OutOfRange`` for yards below 0 or an area
    not above 0.
    """

    part: str
    on: date
    yards_yd3: float
    area_ft2: float
    area_from: AreaFrom = "drawn"
    yards_are: YardsAre = "ground"
    pieces: frozenset[str] = frozenset()
    area_now_ft2: float | None = None
    dry_tons: float | None = None
    wet_tons: float | None = None

    def __post_init__(self) -> None:
        YARDS_YD3.check(self.yards_yd3)
        _AREA.check(self.area_ft2)
        if self.area_now_ft2 is not None:
            _AREA.check(self.area_now_ft2)
        for tons in (self.dry_tons, self.wet_tons):
            if tons is not None:
                _TONS.check(tons)

    @property
    def ground(self) -> frozenset[str]:
        """The pieces of ground it lies on."""
        return self.pieces or frozenset((self.part,))


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkedIn:
    """One working-in. ``part`` None: somewhere in the field, and then it clears the oldest spread first.
    ``area_ft2`` None: all of the part (or of the field, where no part is named). ``pieces`` as for a
    ``Spread``."""

    on: date
    part: str | None = None
    area_ft2: float | None = None
    pieces: frozenset[str] = frozenset()

    def __post_init__(self) -> None:
        if self.area_ft2 is not None:
            _AREA.check(self.area_ft2)

    @property
    def ground(self) -> frozenset[str]:
        """The pieces of ground worked; empty where no part is named."""
        return self.pieces or (frozenset((self.part,)) if self.part is not None else frozenset())


def pieces_of(spreads: Iterable[Spread]) -> tuple[str, ...]:
    """Every piece of ground that any of them lies on, sorted."""
    return tuple(sorted({piece for spread in spreads for piece in spread.ground}))


def in_day_order(spreads: Iterable[Spread]) -> tuple[Spread, ...]:
    """The spreads by day, those of one day in an order that doesn't depend on how they were fed: what one
    spreading says that another doesn't decides, to the last figure."""
    return tuple(sorted(spreads, key=_every_figure))


def _every_figure(one: Spread) -> tuple[object, ...]:
    ways = (one.area_from, one.yards_are)
    figures = tuple(
        (figure is None, figure or 0.0) for figure in (one.area_now_ft2, one.dry_tons, one.wet_tons)
    )
    return (
        one.on,
        one.part,
        sorted(one.ground),
        one.yards_yd3,
        one.area_ft2,
        ways,
        figures,
        sorted(one.pieces),
    )
