"""The farm's ground as the folds take it, and which field a place belongs to."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from uuid import UUID

from server.land import reads as land
from server.land.overlay import overlay
from shared.status.holding import Holding, holding
from shared.words.field import Field, Part, Pile


@dataclass(frozen=True, slots=True)
class Ground:
    """Fields by id, parts by the field that they are of, piles; and of a field that was cut off others or joined from
    them, those."""

    fields: dict[UUID, Field]
    parts: dict[UUID, list[Part]]
    piles: tuple[Pile, ...]
    before: dict[UUID, tuple[UUID, ...]] = field(default_factory=dict)

    def followers(self, fields: Iterable[UUID]) -> set[UUID]:
        """Every field that came of these, and of those in turn."""
        found: set[UUID] = set()
        newest = set(fields)
        while newest:
            newest = {one for one, before in self.before.items() if newest & set(before)} - found
            found |= newest
        return found & self.fields.keys()

    def fields_of(self, places: Iterable[UUID]) -> set[UUID]:
        """The fields that these places are, or are parts of."""
        of_part = {part.id: part.field for parts in self.parts.values() for part in parts}
        return {field for place in places if (field := of_part.get(place, place)) in self.fields}

    def places_of(self, field: UUID) -> set[UUID]:
        return {field, *(part.id for part in self.parts.get(field, ()))}

    def holding(self, field: UUID, factor: float | None = None) -> Holding:
        parts = self.parts.get(field, [])
        return holding(self.fields[field], parts, self.piles, factor, overlay(parts))


def ground_of(farm: UUID) -> Ground:
    parts: dict[UUID, list[Part]] = {}
    for part in land.parts(farm, retired=True):
        parts.setdefault(part.field, []).append(part)
    fields = {one.id: one for one in land.fields(farm, retired=True)}
    return Ground(fields, parts, tuple(land.piles(farm, retired=True)), land.came_of(farm))
