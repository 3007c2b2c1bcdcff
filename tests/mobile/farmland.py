"""The invented farm of the phone's tests: four fields round a lane, two towns with their trucks, what is due."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from uuid import UUID

from shared.reckoning.land import land_area
from shared.reckoning.plane import Plane
from shared.wire.pull import row_tree
from shared.words.due import Due
from shared.words.farm import SheetInForce
from shared.words.field import Buffer, Field
from shared.words.place import Polygon, Ring
from shared.words.town import Town, Vehicle
from tests.mobile.fake_server import FakeFarm

PLANE = Plane(40.31, -75.62)
SPRING_PIECE, QUARRY_SIDE, KILN_BOTTOM, OVER_LANE = (UUID(int=0x100 + place) for place in range(4))
FALLOWDALE, EASTMERE = UUID(int=0x200), UUID(int=0x201)
TRUCKS = tuple(UUID(int=0x300 + place) for place in range(4))
DUE_MOW = "mow-spring-piece"


def ring(*spots: tuple[float, float]) -> Ring:
    return tuple(PLANE.point(spot) for spot in spots)


OUTLINES = {
    SPRING_PIECE: ("Spring Piece", ring((0, 0), (150, 0), (170, 120), (60, 160), (-10, 110))),
    QUARRY_SIDE: ("Quarry Side", ring((150, 0), (320, 10), (310, 130), (170, 120))),
    KILN_BOTTOM: ("Kiln Bottom", ring((0, -20), (140, -20), (150, -130), (10, -120))),
    OVER_LANE: ("Over Lane", ring((160, -20), (300, -15), (310, -110), (150, -130))),
}


def a_field(id: UUID) -> Field:
    name, outline = OUTLINES[id]
    area = land_area(outline).area_ac
    return Field(
        id,
        name,
        1,
        (Polygon(outline),),
        area,
        area,
        organic_from=date(2020, 5, 1) if id == OVER_LANE else None,
    )


def stock(farm: FakeFarm) -> None:
    """Put the land, the towns, the sheet and the dues into a farm's reference rows."""
    for id in OUTLINES:
        farm.put("fields", row_tree(a_field(id)))
    well = ring((60, 60), (66, 60), (66, 66), (60, 66))
    farm.put("buffers", row_tree(Buffer(UUID(int=0x400), "Well", 1, "well", (Polygon(well),), Decimal(50))))
    farm.put("towns", row_tree(Town(FALLOWDALE, "Fallowdale", date(2025, 1, 1))))
    farm.put("towns", row_tree(Town(EASTMERE, "Eastmere")))
    for id, (label, town, bed) in zip(
        TRUCKS,
        (
            ("Fallowdale 3", FALLOWDALE, "20"),
            ("Fallowdale 6", FALLOWDALE, "20"),
            ("Eastmere 2", EASTMERE, "25"),
            ("Eastmere 5", EASTMERE, "16"),
        ),
        strict=True,
    ):
        farm.put("vehicles", row_tree(Vehicle(id, label, town, Decimal(bed), "vacuumed")))
    farm.put("sheets", row_tree(SheetInForce("new_jersey", "new_jersey", True)))
    farm.put("dues", row_tree(mow(date(2026, 5, 9))))


def mow(last: date) -> Due:
    return Due(DUE_MOW, "mow", SPRING_PIECE, None, date(2026, 5, 1), date(2026, 5, 5), last, "heads_near", {})


def spot(x_m: float, y_m: float) -> tuple[str, str]:
    """A place on the farm's plan as a receiver tells it."""
    lat, lon = PLANE.point((x_m, y_m))
    return f"{lat:.7f}", f"{lon:.7f}"
