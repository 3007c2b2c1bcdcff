"""Three invented boroughs that bring leaves, who drives them, and the trucks with their beds measured."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from uuid import UUID

from demo_fixtures.seed import FOUNDED, identity
from shared.words.bodies.gate import Packing


@dataclass(frozen=True, slots=True)
class Borough:
    """A town. ``approved_month_day`` is the certifier's approval, the year before; None without one."""

    key: str
    name: str
    approved_month_day: tuple[int, int] | None
    season_cap_yd3: str | None

    @property
    def id(self) -> UUID:
        return identity(FOUNDED, "town", self.key)

    def approved_on(self, year: int) -> date | None:
        return date(year - 1, *self.approved_month_day) if self.approved_month_day else None


@dataclass(frozen=True, slots=True)
class Driver:
    """A hauler: who drives a town's leaves."""

    key: str
    name: str

    @property
    def id(self) -> UUID:
        return identity(FOUNDED, "hauler", self.key)


@dataclass(frozen=True, slots=True)
class Truck:
    """A truck. ``bed_ft`` is how its bed was measured: length, width, height. ``share`` is how often it
    comes, beside the others; ``careless`` how often in a hundred its load is turned back."""

    key: str
    label: str
    town: Borough
    driver: Driver
    packing: Packing
    bed_ft: tuple[str, str, str]
    share: int
    careless: float

    @property
    def id(self) -> UUID:
        return identity(FOUNDED, "vehicle", self.key)

    @property
    def plate(self) -> str:
        """No state's plate looks like this."""
        return f"DEMO-{self.key.upper()}"

    @property
    def bed_yd3(self) -> Decimal:
        """Cubic yards of the bed, to a tenth: 27 cubic feet a yard."""
        length, width, height = (Decimal(side) for side in self.bed_ft)
        return (length * width * height / 27).quantize(Decimal("0.1"))


FALLOWDALE = Borough("fallowdale", "Fallowdale", (9, 8), "4000")
EASTMERE = Borough("eastmere", "Eastmere", (9, 15), "2500")
QUILLHAM = Borough("quillham", "Quillham", None, None)
TOWNS: tuple[Borough, ...] = (FALLOWDALE, EASTMERE, QUILLHAM)
BY_ID: Mapping[UUID, Borough] = {town.id: town for town in TOWNS}

FALLOWDALE_ROADS = Driver("fallowdale_roads", "Fallowdale road crew")
EASTMERE_ROADS = Driver("eastmere_roads", "Eastmere street crew")
ROOKBARROW = Driver("rookbarrow", "Rookbarrow Carting")
HAULERS: tuple[Driver, ...] = (FALLOWDALE_ROADS, EASTMERE_ROADS, ROOKBARROW)

TRUCKS: tuple[Truck, ...] = (
    Truck("f3", "Fallowdale 3", FALLOWDALE, FALLOWDALE_ROADS, "vacuumed", ("15", "7.5", "4.8"), 5, 1.0),
    Truck("f6", "Fallowdale 6", FALLOWDALE, FALLOWDALE_ROADS, "vacuumed", ("15", "7.5", "4.8"), 5, 1.0),
    Truck("f9", "Fallowdale 9", FALLOWDALE, FALLOWDALE_ROADS, "vacuumed", ("18", "7.5", "5"), 3, 2.0),
    Truck("e2", "Eastmere 2", EASTMERE, EASTMERE_ROADS, "compacted", ("14", "7", "5"), 4, 5.0),
    Truck("e5", "Eastmere 5", EASTMERE, EASTMERE_ROADS, "compacted", ("14", "7", "5"), 3, 9.0),
    Truck("q1", "Quillham 1", QUILLHAM, ROOKBARROW, "loose", ("20", "8", "5.5"), 2, 4.0),
    Truck("q4", "Quillham 4", QUILLHAM, ROOKBARROW, "loose", ("16", "7.5", "5"), 2, 4.0),
)
TRUCK: Mapping[str, Truck] = {truck.key: truck for truck in TRUCKS}
