"""What a truck, a bed or a pile holds, and what a load counts for in a yearly report.

The reporting factor turns yards into tons as received, for the county. It is never dry matter: the same 800
yards are 160 reporting tons loose and about 20 tons of dry leaves.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from shared.reckoning.computation import Computation, Input, checked, cite
from shared.reckoning.figures import NJ_PILES, NJ_TONNAGE
from shared.reckoning.leaf import YARDS_YD3
from shared.units import FT3_PER_YD3, GEOMETRY, LB_PER_TON, Figure, Source

BED_PRACTICE = Source(
    "bed_practice", "load ticket of a county debris contract: certified bed capacity x fill", None, "read"
)

Packing = Literal["loose", "vacuumed", "compacted"]
REPORTING_LB_PER_YD3 = {
    "loose": Figure(400.0, "lb/yd3", NJ_TONNAGE),
    "vacuumed": Figure(700.0, "lb/yd3", NJ_TONNAGE),
    "compacted": Figure(1_000.0, "lb/yd3", NJ_TONNAGE),
}

LOAD_VOLUME = (
    Input("bed_yd3", unit="yd3", low=0.1, high=200.0, example="25"),
    Input("fill_pct", unit="%", low=0.0, high=150.0, example="80"),
)
LOAD_TONS = (YARDS_YD3, Input("packing", "choice", choices=tuple(REPORTING_LB_PER_YD3), example="vacuumed"))
BED_VOLUME = (
    Input("length_ft", unit="ft", low=0.0, above_low=True, high=100.0, example="18"),
    Input("width_ft", unit="ft", low=0.0, above_low=True, high=20.0, example="7.5"),
    Input("height_ft", unit="ft", low=0.0, above_low=True, high=20.0, example="5"),
)
PILE_VOLUME = (
    Input("height_ft", unit="ft", low=0.0, above_low=True, high=50.0, example="6"),
    Input("length_ft", unit="ft", low=0.0, above_low=True, high=5_000.0, example="100"),
)


@dataclass(frozen=True, slots=True)
class LoadVolume:
    yards_yd3: float


@dataclass(frozen=True, slots=True)
class LoadTons:
    tons: float
    yd3_per_ton: float


@dataclass(frozen=True, slots=True)
class BedVolume:
    yards_yd3: float


@dataclass(frozen=True, slots=True)
class PileVolume:
    yards_yd3: float


def load_volume(bed_yd3: float, fill_pct: float) -> LoadVolume:
    """Cubic yards on a truck: its bed (0.1 to 200 yd3) times how full it is (0 to 150 %, heaped above
    the boards over 100). Raises InputError."""
    bed, fill = checked(LOAD_VOLUME, locals()).values()
    return LoadVolume(bed * fill / 100.0)


def load_tons(yards_yd3: float, packing: Packing) -> LoadTons:
    """Tons as received, for a report, with the ratio that the report must state: 400, 700 or 1,000 lb a yard
    (nj_tonnage). Never dry matter. Raises InputError."""
    yards, packed = checked(LOAD_TONS, locals()).values()
    pounds = REPORTING_LB_PER_YD3[packed].value
    return LoadTons(yards * pounds / LB_PER_TON.value, LB_PER_TON.value / pounds)


def bed_volume(length_ft: float, width_ft: float, height_ft: float) -> BedVolume:
    """Cubic yards of a truck bed measured in feet. Raises InputError."""
    length, width, height = checked(BED_VOLUME, locals()).values()
    return BedVolume(length * width * height / FT3_PER_YD3.value)


def pile_volume(height_ft: float, length_ft: float) -> PileVolume:
    """Cubic yards of a half-round pile twice as wide as it is high (nj_piles). Raises InputError."""
    height, length = checked(PILE_VOLUME, locals()).values()
    return PileVolume(math.pi * height**2 * length / 2.0 / FT3_PER_YD3.value)


COMPUTATIONS: tuple[Computation, ...] = (
    Computation(
        "load_volume",
        load_volume,
        LOAD_VOLUME,
        {"yards_yd3": "yd3"},
        "yards_yd3 = bed_yd3 x fill_pct / 100",
        cite(BED_PRACTICE),
        "reckoner.caution.truck_yards",
    ),
    Computation(
        "load_tons",
        load_tons,
        LOAD_TONS,
        {"tons": "tons as received", "yd3_per_ton": "yd3/ton"},
        "tons = yards_yd3 x lb a yard (loose 400, vacuumed 700, compacted 1,000) / 2,000",
        cite(NJ_TONNAGE),
        "reckoner.caution.reporting_tons",
    ),
    Computation(
        "bed_volume",
        bed_volume,
        BED_VOLUME,
        {"yards_yd3": "yd3"},
        "yards_yd3 = length_ft x width_ft x height_ft / 27",
        cite(GEOMETRY),
    ),
    Computation(
        "pile_volume",
        pile_volume,
        PILE_VOLUME,
        {"yards_yd3": "yd3"},
        "yards_yd3 = pi x height_ft^2 x length_ft / 2 / 27",
        cite(NJ_PILES),
        "reckoner.caution.pile_heat",
    ),
)
