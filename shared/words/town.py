"""Where loads come from: towns, haulers, their trucks."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from uuid import UUID


@dataclass(frozen=True, slots=True)
class Town:
    """A town that brings leaves. ``organic_approved_on`` is the certifier's approval, None without one."""

    id: UUID
    name: str
    organic_approved_on: date | None = None
    season_cap_yd3: Decimal | None = None
    retired: bool = False


@dataclass(frozen=True, slots=True)
class Hauler:
    """Who drives a town's leaves."""

    id: UUID
    name: str
    retired: bool = False


@dataclass(frozen=True, slots=True)
class Vehicle:
    """A truck with its bed, measured once. ``label`` is what the tallier calls it (*Fallowdale 6*)."""

    id: UUID
    label: str
    town: UUID
    bed_yd3: Decimal
    packing: str
    hauler: UUID | None = None
    plate: str | None = None
    retired: bool = False
