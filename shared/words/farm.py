"""The farm itself, as a phone needs to know it."""

from __future__ import annotations

from dataclasses import dataclass
from uuid import UUID


@dataclass(frozen=True, slots=True)
class Farm:
    """``zone`` is an IANA time zone: a farm-day is midnight to midnight there."""

    id: UUID
    name: str
    zone: str
    units: str = "us"


@dataclass(frozen=True, slots=True)
class SheetInForce:
    """A rule sheet that the farm has chosen: ``id`` is its name and version; ``text`` a sheet of its own."""

    id: str
    sheet: str
    in_force: bool
    text: str | None = None
