"""The legs of a rotation: the stages that a field passes through."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal, get_args
from uuid import UUID

LegName = Literal["cash", "leaf", "hay", "smother", "lead_in", "idle"]
LEGS: tuple[LegName, ...] = get_args(LegName)


@dataclass(frozen=True, slots=True)
class Leg:
    """A field in one leg from a day on. ``evidence`` are the entries that it follows from."""

    leg: LegName
    starts_on: date
    crop: str | None = None
    evidence: tuple[UUID, ...] = ()
    why: str | None = None
