"""A field, a part of one, a pile, a buffer: the land as it stands in one version."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Literal
from uuid import UUID

from shared.words.place import Outline

Around = Literal["house", "well", "water", "line", "road", "drain", "wetland", "crop", "other"]


@dataclass(frozen=True, slots=True)
class Field:
    """A field as drawn: ``area_ac`` the geodesic area of the outline, ``spreadable_ac`` of it less buffers
    (None until computed), ``cap_in`` the farm's own target depth where it is stricter than the sheet."""

    id: UUID
    name: str
    version: int
    outline: Outline | None
    area_ac: float | None
    spreadable_ac: float | None = None
    cap_in: Decimal | None = None
    organic_from: date | None = None
    lease_end: date | None = None
    retired: bool = False


@dataclass(frozen=True, slots=True)
class Part:
    """A part of a field with an outline of its own."""

    id: UUID
    field: UUID
    name: str
    version: int
    outline: Outline | None
    area_ac: float | None
    retired: bool = False


@dataclass(frozen=True, slots=True)
class Pile:
    """A stockpile of leaves, in a field or beside one."""

    id: UUID
    name: str
    version: int
    outline: Outline | None
    in_field: UUID | None = None
    retired: bool = False


@dataclass(frozen=True, slots=True)
class Buffer:
    """Ground to keep leaves off: what it is kept around, and by how much."""

    id: UUID
    name: str
    version: int
    around: Around
    outline: Outline | None
    setback_ft: Decimal | None
    retired: bool = False
