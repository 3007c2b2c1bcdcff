"""What happens at the gate and at the piles."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Annotated, Literal
from uuid import UUID

from shared.errors import Unsound
from shared.words.bodies.body import Body, other_needs_words
from shared.words.span import span

Packing = Literal["loose", "vacuumed", "compacted"]
TrashItem = Literal[
    "glass",
    "plastic",
    "metal",
    "wood",
    "sharps",
    "food",
    "animal_waste",
    "soil",
    "container",
    "battery",
    "other",
]
LoadOutcome = Literal["taken", "taken_after_picking", "turned_back"]
Yards = Annotated[Decimal, span("0", "10000", "yd3")]
Pounds = Annotated[Decimal, span("0", "120000", "lb")]


@dataclass(frozen=True, slots=True)
class Load(Body):
    """A load of leaves at the gate. ``beds`` are (bed yards, per cent full); ``to`` decides where it went."""

    ticket: str
    town: UUID
    beds: tuple[
        tuple[Annotated[Decimal, span("1", "150", "yd3")], Annotated[Decimal, span("0", "150", "%")]], ...
    ]
    packing: Packing
    bags: Literal["none", "few", "many"]
    checked: Literal["glance", "tipped", "weighed"]
    trash: Literal["none", "picked", "over", "hazard"]
    trash_items: tuple[TrashItem, ...]
    trash_basis: Literal["seen", "weighed", "by_volume"]
    outcome: LoadOutcome
    to: tuple[tuple[UUID, Yards], ...]
    hauler: UUID | None = None
    vehicle: UUID | None = None
    plate: str | None = None
    driver: str | None = None
    slip: str | None = None
    collected: Literal["raked", "vacuumed", "swept"] | None = None
    bag_kind: str | None = None
    grass_pct: Annotated[Decimal, span("0", "100", "%")] | None = None
    woody_pct: Annotated[Decimal, span("0", "100", "%")] | None = None
    gross_lb: Pounds | None = None
    tare_lb: Pounds | None = None
    sample_lb: Pounds | None = None
    trash_lb: Pounds | None = None
    trash_gal: Annotated[Decimal, span("0", "40000", "gal")] | None = None
    reason: str | None = None
    again_of: UUID | None = None
    removed_yd3: Yards | None = None
    residue_to: str | None = None
    other_text: str | None = None

    def check(self) -> None:
        other_needs_words("other" in self.trash_items, self.other_text)
        if self.outcome == "turned_back" and self.to:
            raise Unsound("contradiction", "body.to", "a load turned back went nowhere on the farm")

    @property
    def carried_yd3(self) -> Decimal:
        """Truck yards at the gate: each bed by how full it was."""
        return sum((bed * fill / 100 for bed, fill in self.beds), Decimal(0))

    @property
    def is_taken(self) -> bool:
        return self.outcome != "turned_back"


@dataclass(frozen=True, slots=True)
class PileCheck(Body):
    """A pile looked at: its temperature and size."""

    pile: UUID
    temp_f: Annotated[Decimal, span("-20", "250", "F")] | None = None
    height_ft: Annotated[Decimal, span("0", "60", "ft")] | None = None
    width_ft: Annotated[Decimal, span("0", "1000", "ft")] | None = None
    length_ft: Annotated[Decimal, span("0", "5000", "ft")] | None = None
    action: str | None = None


@dataclass(frozen=True, slots=True)
class AgreedCount(Body):
    """A count that the tallier and the driver agreed on at the end of a shift."""

    town: UUID
    loads: Annotated[int, span("0", "1000", "loads")]
    yards_yd3: Yards
    with_: str
