"""What only the desk writes: land, legs, plans, papers, seals."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Annotated, Literal
from uuid import UUID

from shared.errors import Unsound
from shared.words.bodies.body import Body
from shared.words.leg import LegName
from shared.words.span import span

Degrees = Annotated[Decimal, span("-180", "180", "degrees")]
Corners = tuple[tuple[Degrees, Degrees], ...]


@dataclass(frozen=True, slots=True)
class LegChange(Body):
    """A field's leg from a day on, and why. The envelope names the field and part."""

    leg: LegName
    starts_on: date
    why: str
    crop: str | None = None


@dataclass(frozen=True, slots=True)
class Land(Body):
    """A version of a piece of land. ``pieces`` are polygons; in each the first ring is the outer, the rest
    holes; each corner is latitude, longitude. None for a piece of land that is known by name only. What a buffer
    is around may be a point (a piece of one corner) or a line (pieces of two corners)."""

    what: Literal["field", "part", "pile", "buffer"]
    subject: UUID
    version: Annotated[int, span("1", "100000", "")]
    name: str
    why: str
    pieces: tuple[tuple[Corners, ...], ...] | None = None
    in_field: UUID | None = None
    around: Literal["house", "well", "water", "line", "road", "drain", "wetland", "crop", "other"] | None = (
        None
    )
    setback_ft: Annotated[Decimal, span("0", "5280", "ft")] | None = None
    before: tuple[UUID, ...] | None = None
    retired: bool | None = None
    block_lot: str | None = None
    drainage: str | None = None
    slope_pct: Annotated[Decimal, span("0", "100", "%")] | None = None
    lease_end: date | None = None
    organic_from: date | None = None
    cap_in: Annotated[Decimal, span("0", "24", "in")] | None = None
    other_text: str | None = None

    def check(self) -> None:
        least = 1 if self.what == "buffer" else 3
        for piece in self.pieces or ():
            if not piece or any(len(ring) < least for ring in piece):
                raise Unsound("contradiction", "body.pieces", "a ring has three corners or more")


@dataclass(frozen=True, slots=True)
class Document(Body):
    """A paper with its dates: an approval, a notice, an agreement, a visit."""

    what: Literal["notice", "approval", "plan", "licence", "agreement", "visit", "report", "other"]
    title: str
    town: UUID | None = None
    issued_on: date | None = None
    expires_on: date | None = None
    cure_by: date | None = None
    text: str | None = None
    season_cap_yd3: Annotated[Decimal, span("0", "1000000", "yd3")] | None = None
    price_per_yd3: Annotated[Decimal, span("-100", "100", "a yd3")] | None = None
    other_text: str | None = None


@dataclass(frozen=True, slots=True)
class Plan(Body):
    """One field's years in a plan: (year, leg, crop or empty)."""

    plan: UUID
    name: str
    years: tuple[tuple[Annotated[int, span("1990", "2200", "")], LegName, str], ...]
    pinned: tuple[int, ...] | None = None


@dataclass(frozen=True, slots=True)
class SheetChoice(Body):
    """A rule sheet put in force from a day on, or taken out of it."""

    sheet: str
    in_force: bool
    starts_on: date
    why: str


@dataclass(frozen=True, slots=True)
class Job(Body):
    """A due put to a person for a day."""

    due: str
    person: UUID
    on: date
    place: Annotated[int, span("1", "1000", "")] | None = None
    text: str | None = None


@dataclass(frozen=True, slots=True)
class Seal(Body):
    """The day's seal over the book numbers ``first`` to ``last``; ``before`` is the seal that it follows."""

    first: int
    last: int
    root: str
    before: UUID | None
    day: date | None = None


@dataclass(frozen=True, slots=True)
class Restored(Body):
    """The server was put back from a backup that reached ``number``."""

    number: int
    backup_of: str
    why: str


@dataclass(frozen=True, slots=True)
class Redact(Body):
    """A person's name erased on request; the chain still proves."""

    person: UUID
    why: str
    entries: tuple[UUID, ...] | None = None
