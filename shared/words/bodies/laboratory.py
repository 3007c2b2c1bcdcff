"""Samples taken and what a laboratory answered."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Annotated, Literal
from uuid import UUID

from shared.words.bodies.body import Body
from shared.words.bodies.walked import DepthIn
from shared.words.span import span


@dataclass(frozen=True, slots=True)
class Sample(Body):
    """Something bagged for a laboratory or a test of one's own."""

    of: Literal["soil", "nitrate", "leaves", "biomass", "tissue", "hay", "nematode", "bioassay"]
    lab_bag: str | None = None
    lab: str | None = None
    top_in: DepthIn | None = None
    bottom_in: DepthIn | None = None
    cores: Annotated[int, span("1", "200", "cores")] | None = None
    town: UUID | None = None
    grams: Annotated[Decimal, span("0", "100000", "g")] | None = None
    frame_m2: Annotated[Decimal, span("0.01", "10", "m2")] | None = None


@dataclass(frozen=True, slots=True)
class Result(Body):
    """A laboratory's answer: (name, number, unit) each, by that laboratory and method and no other."""

    sample: UUID
    lab: str
    method: str
    values: tuple[tuple[str, Decimal, str], ...]
