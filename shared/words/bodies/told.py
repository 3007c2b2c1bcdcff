"""What is told in words, and the weather."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Annotated, Literal
from uuid import UUID

from shared.words.bodies.body import Body, other_needs_words
from shared.words.span import span

AirF = Annotated[Decimal, span("-60", "130", "F")]


@dataclass(frozen=True, slots=True)
class Occurrence(Body):
    """Something that happened and must be on record."""

    what: Literal[
        "fire",
        "hot_pile",
        "injury",
        "complaint",
        "blown_leaves",
        "prohibited_material",
        "trash_found",
        "drift",
        "disease",
        "nematode",
        "other",
    ]
    action: str
    name: str | None = None
    temp_f: Annotated[Decimal, span("-20", "2000", "F")] | None = None
    trash_lb: Annotated[Decimal, span("0", "100000", "lb")] | None = None
    residue_to: str | None = None
    cure_by: date | None = None
    other_text: str | None = None

    def check(self) -> None:
        other_needs_words(self.what == "other", self.other_text)


@dataclass(frozen=True, slots=True)
class Weather(Body):
    """One day's low, high and rain."""

    date: date
    low_f: AirF | None = None
    high_f: AirF | None = None
    rain_in: Annotated[Decimal, span("0", "30", "in")] | None = None
    station: str | None = None


@dataclass(frozen=True, slots=True)
class PutOff(Body):
    """A due that can't be done today, and why."""

    due: str
    why: Literal["wet", "broken", "other"]
    other_text: str | None = None

    def check(self) -> None:
        other_needs_words(self.why == "other", self.other_text)


@dataclass(frozen=True, slots=True)
class Note(Body):
    """Words, with a photo or without. ``about`` names an entry."""

    text: str
    about: UUID | None = None
