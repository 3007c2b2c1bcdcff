"""A field's ground as a fold needs it: its acres, its parts and the pieces that these make where they
overlap."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from math import fsum
from uuid import UUID

from shared.words.field import Field, Part, Pile

REST = "rest"
"""The piece of a field that no part covers."""


@dataclass(frozen=True, slots=True)
class PartHeld:
    """A part's acres (None: known by name only) and the pieces of ground that it is made of."""

    id: UUID
    area_ac: float | None
    pieces: frozenset[str]


@dataclass(frozen=True, slots=True)
class Holding:
    """``spreadable_ac`` is the field's ground that leaves may go on, None where it isn't known.
    ``pieces`` are the smallest pieces with their acres; together they are the field. ``piles`` are all
    piles of the farm: what is drawn from one counts where it is spread. ``factor`` is ground yards a
    truck yard, None until measured."""

    field: UUID
    spreadable_ac: float | None
    pieces: Mapping[str, float]
    parts: Mapping[UUID, PartHeld]
    piles: frozenset[UUID] = frozenset()
    cap_in: Decimal | None = None
    organic_from: date | None = None
    factor: float | None = None

    def holds(self, place: UUID | None) -> bool:
        """Whether a place is this field or a part of it."""
        return place == self.field or place in self.parts

    def part(self, place: UUID | None) -> UUID | None:
        """The place as a part; None for the whole field."""
        return place if place in self.parts else None

    def ground(self, part: UUID | None) -> frozenset[str]:
        """The pieces of a part; all of them for the field, or for a part that isn't drawn."""
        held = self.parts.get(part) if part is not None else None
        return held.pieces if held and held.pieces else frozenset(self.pieces)

    def acres(self, part: UUID | None) -> float | None:
        """The acres of a part, or of the field."""
        held = self.parts.get(part) if part is not None else None
        return held.area_ac if held and held.area_ac else self.spreadable_ac


def holding(
    field: Field,
    parts: Iterable[Part] = (),
    piles: Iterable[Pile] = (),
    factor: float | None = None,
    overlay: Mapping[frozenset[UUID], float] | None = None,
) -> Holding:
    """The ground of a field. ``overlay`` gives, where parts overlap, the acres that lie in exactly that
    set of parts; without it parts are taken to lie side by side. What no part covers is a piece of its
    own."""
    acres = field.spreadable_ac if field.spreadable_ac is not None else field.area_ac
    own = [one for one in parts if one.field == field.id]
    drawn = {one.id: one.area_ac for one in own if not one.retired and one.area_ac}
    layers = overlay if overlay is not None else {frozenset((one,)): area for one, area in drawn.items()}
    pieces = {"+".join(sorted(str(one) for one in those)): area for those, area in layers.items() if area > 0}
    made_of = {one.id: frozenset(name for name in pieces if str(one.id) in name.split("+")) for one in own}
    left = (acres or 0.0) - fsum(pieces.values())
    if left > 0.0 or not pieces:
        pieces[REST] = max(left, 0.0)
    return Holding(
        field=field.id,
        spreadable_ac=acres,
        pieces=pieces,
        parts={one.id: PartHeld(one.id, one.area_ac, made_of[one.id]) for one in own},
        piles=frozenset(one.id for one in piles),
        cap_in=field.cap_in,
        organic_from=field.organic_from,
        factor=factor,
    )
