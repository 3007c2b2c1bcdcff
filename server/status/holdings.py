"""The farm's ground as the folds take it, and which field a place belongs to."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from uuid import UUID

from server.land import reads as land
from server.land.overlay import overlay
from shared.status.holding import Holding, holding
from shared.words.field import Field, Part, Pile


@dataclass(frozen=True, slots=True)
class Ground:
    """Fields by id, parts by the field that they are of, piles."""

    fields: dict[UUID, Field]
    parts: dict[UUID, list[Part]]
    piles: tuple[Pile, ...]

    def fields_of(self, places: Iterable[UUID]) -> set[UUID]:
        """The fields that these places are, or are parts of."""
        of_part = {part.id: part.field for parts in self.parts.values() for part in parts}
        return {field for place in places if (field := of_part.get(place, place)) in self.fields}

    def places_of(self, field: UUID) -> set[UUID]:
        return {field, *(part.id for part in self.parts.get(field, ()))}

    def holding(self, field: UUID) -> Holding:
        parts = self.parts.get(field, [])
        return holding(self.fields[field], parts, self.piles, overlay=overlay(parts))


def ground_of(farm: UUID) -> Ground:
    parts: dict[UUID, list[Part]] = {}
    for part in land.parts(farm, retired=True):
        parts.setdefault(part.field, []).append(part)
    fields = {field.id: field for field in land.fields(farm, retired=True)}
    return Ground(fields, parts, tuple(land.piles(farm, retired=True)))
