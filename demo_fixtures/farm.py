"""The land: fourteen fields in rolling upland, their piles and the ground that leaves stay off.

The plan is in metres east and north of the peg at the gate. The lane runs east from the gate along north 0
to 8. Neighbours that share a hedge share its corners, so that standing near one is *not sure*.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from uuid import UUID
from zoneinfo import ZoneInfo

from geographiclib.geodesic import Geodesic

from demo_fixtures import ground
from demo_fixtures.ground import Spot
from demo_fixtures.seed import FOUNDED, identity
from shared.words.field import Around, Buffer
from shared.words.place import Outline, Polygon

NAME = "Tansywold Farm"
ZONE = ZoneInfo("America/New_York")
M2_PER_ACRE = 4046.8564224
FT = 0.3048
GATE: Spot = (-14.0, 4.0)
"""Where the trucks stop, at the west end of the lane."""

Plan = tuple[Spot, ...]


@dataclass(frozen=True, slots=True)
class Plot:
    """A field on the plan: ``pieces`` are (outer, holes). ``way_in`` is its gap in the hedge.
    ``organic_since`` and ``lease_ends`` count in years from the season's year."""

    key: str
    name: str
    pieces: tuple[tuple[Plan, tuple[Plan, ...]], ...]
    way_in: Spot
    drainage: str
    slope_pct: str
    cap_in: str | None = None
    organic_since: int | None = None
    lease_ends: int | None = None

    @property
    def id(self) -> UUID:
        return identity(FOUNDED, "field", self.key)

    @property
    def outline(self) -> Outline:
        return tuple(
            Polygon(ground.ring(outer), tuple(ground.ring(hole) for hole in holes))
            for outer, holes in self.pieces
        )


def _plot(key: str, way_in: Spot, drainage: str, slope_pct: str, *outers: Plan, **more: object) -> Plot:
    holes = more.pop("holes", ())
    pieces = tuple((outer, holes if place == 0 else ()) for place, outer in enumerate(outers))
    return Plot(key, key.replace("_", " ").title(), pieces, way_in, drainage, slope_pct, **more)  # type: ignore[arg-type]


POND: Plan = ((278, 62), (292, 55), (305, 58), (310, 70), (303, 82), (288, 84), (277, 75))
"""The pond: a hole in Pond Field."""

PLOTS: tuple[Plot, ...] = (
    _plot("quarry_side", (48, 9), "well", "4",
          ((2, 9), (94, 9), (97, 74), (95, 139), (52, 142), (49, 112), (30, 104), (27, 140), (4, 138))),
    _plot("spring_piece", (128, 9), "moderate", "6",
          ((94, 9), (196, 9), (201, 60), (178, 72), (181, 92), (203, 99), (206, 141), (95, 139), (97, 74))),
    _plot("pond_field", (226, 9), "moderate", "3",
          ((214, 9), (345, 9), (343, 68), (347, 140), (219, 141), (223, 80)), holes=(POND,)),
    _plot("saddle", (380, 9), "well", "7",
          ((345, 9), (411, 9), (416, 64), (409, 121), (346, 122), (343, 68))),
    _plot("crow_bank", (452, 9), "well", "8",
          ((431, 9), (560, 9), (571, 70), (563, 131), (437, 136), (429, 66))),
    _plot("upper_rest", (150, 151), "well", "9",
          ((12, 151), (120, 152), (206, 149), (211, 201), (160, 247), (96, 232), (15, 228)),
          lease_ends=5),
    _plot("plum_lot", (40, -1), "well", "2",
          ((2, -1), (86, -1), (86, -111), (2, -112))),
    _plot("kiln_corner", (118, -1), "well", "3",
          ((86, -1), (171, -1), (173, -62), (151, -66), (150, -88), (172, -92), (174, -118), (86, -111))),
    _plot("mill_flat", (240, -1), "somewhat poor", "1",
          ((182, -1), (304, -1), (304, -132), (184, -133))),
    _plot("hedge_strip", (330, -1), "moderate", "1",
          ((304, -1), (353, -1), (353, -133), (304, -132))),
    _plot("lower_rest", (380, -1), "moderate", "4",
          ((367, -1), (471, -1), (478, -30), (470, -64), (480, -96), (474, -121), (367, -119))),
    _plot("two_stones", (520, -1), "moderate", "5",
          ((507, -1), (584, -1), (581, -70), (585, -121), (509, -119), (513, -60)),
          ((598, -6), (640, -9), (643, -110), (600, -116), (596, -60))),
    _plot("far_meadow", (60, -126), "somewhat poor", "3",
          ((3, -126), (148, -131), (152, -186), (147, -240), (60, -244), (6, -236)),
          organic_since=-2),
    _plot("long_twelve", (200, -148), "well", "2",
          ((166, -148), (490, -140), (494, -212), (330, -222), (326, -214), (168, -219)),
          cap_in="5"),
)  # fmt: skip
BY_KEY: Mapping[str, Plot] = {plot.key: plot for plot in PLOTS}
BY_ID: Mapping[UUID, Plot] = {plot.id: plot for plot in PLOTS}


@dataclass(frozen=True, slots=True)
class KeepOff:
    """What leaves stay away from, drawn as it stands; the setback is laid around it."""

    key: str
    name: str
    around: Around
    ring: Plan
    setback_ft: str

    @property
    def id(self) -> UUID:
        return identity(FOUNDED, "buffer", self.key)

    def value(self) -> Buffer:
        return Buffer(
            self.id, self.name, 1, self.around, (Polygon(ground.ring(self.ring)),), Decimal(self.setback_ft)
        )


def _strip(middle: Plan, width_m: float) -> Plan:
    """A line from north to south as the narrow ring that it is."""
    half = width_m / 2
    return (*((x - half, y) for x, y in middle), *((x + half, y) for x, y in reversed(middle)))


BROOK: Plan = ((591, 60), (590, 9), (590, -60), (592, -121), (588, -200))
"""The brook's middle: it runs between the two pieces of Two Stones."""

KEEP_OFF: tuple[KeepOff, ...] = (
    KeepOff("farm_house", "Farmhouse", "house", ((-42, -46), (-28, -46), (-28, -34), (-42, -34)), "150"),
    KeepOff("hill_house", "House over the line", "house", ((428, 152), (440, 152), (440, 163), (428, 163)), "150"),
    KeepOff("yard_well", "Yard well", "well", ground.circle((-22, -16), 1.0, 8), "100"),
    KeepOff("mill_well", "Well at Mill Flat", "well", ground.circle((178, -47), 1.0, 8), "100"),
    KeepOff("brook", "Brook", "water", _strip(BROOK, 2.0), "50"),
    KeepOff("pond", "Pond", "water", POND, "25"),
    KeepOff("west_line", "West line", "line", _strip(((-1, 232), (-2, 9)), 0.4), "33"),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Heap:
    """A stockpile on hard ground beside the lane."""

    key: str
    name: str
    ring: Plan

    @property
    def id(self) -> UUID:
        return identity(FOUNDED, "pile", self.key)


LANE_PILE = Heap("lane_end", "Lane End pile", ((600, 22), (640, 20), (642, 48), (601, 50)))


def geodesic_area_m2(outline: Outline) -> float:
    """Square metres on the WGS84 ellipsoid, holes taken out."""
    return sum(_ring_m2(piece.outer) - sum(_ring_m2(hole) for hole in piece.holes) for piece in outline)


def _ring_m2(corners: tuple[tuple[float, float], ...]) -> float:
    polygon = Geodesic.WGS84.Polygon()
    for lat, lon in corners:
        polygon.AddPoint(lat, lon)
    return abs(float(polygon.Compute()[2]))


def acres(plot: Plot) -> float:
    """A field's geodesic area in international acres."""
    return geodesic_area_m2(plot.outline) / M2_PER_ACRE


def organic_from(plot: Plot, year: int) -> date | None:
    """The first day on which a field's harvest may be sold as organic, in the season of this year."""
    return date(year + plot.organic_since, 4, 15) if plot.organic_since is not None else None


def lease_end(plot: Plot, year: int) -> date | None:
    """The last day of a field's lease, in the season of this year."""
    return date(year + plot.lease_ends, 12, 31) if plot.lease_ends is not None else None


def cap_in(plot: Plot) -> Decimal | None:
    """The farm's own target depth for a field, where it is under the sheet's."""
    return Decimal(plot.cap_in) if plot.cap_in else None
