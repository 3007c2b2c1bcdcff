"""The conversion factors, each with its source. A name or a type carries its unit everywhere else.

``Figure`` is how any number that is not 0, 1, 2 or 100 enters the core: with its unit and where it is from.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Standing = Literal["read", "summary", "derived", "practice", "memory", "defined"]
"""How well a figure is known: ``read`` in the source; in a ``summary`` of it; ``derived`` by arithmetic
from such; common ``practice`` without a source; from ``memory``, unconfirmed; ``defined`` by a standard."""


@dataclass(frozen=True, slots=True)
class Source:
    """Where a figure is from: ``title`` with edition and year as text, and how it was read."""

    key: str
    title: str
    year: int | None
    standing: Standing


@dataclass(frozen=True, slots=True)
class Figure:
    """A number that the trade or a standard gives: its value, its unit as text, and its source."""

    value: float
    unit: str
    source: Source

    def __float__(self) -> float:
        return self.value


NIST_811 = Source("nist_811", "NIST Special Publication 811, appendix B.8, 2008 edition", 2008, "defined")
GEOMETRY = Source("geometry", "follows from the definitions of the units", None, "derived")
FURROW_SLICE = Source(
    "furrow_slice", "Penn State Agronomy Guide, section 2: 2,000,000 lb an acre furrow slice", None, "read"
)
ATOMIC = Source(
    "atomic_weights",
    "IUPAC standard atomic weights (P 30.974, K 39.098, O 15.999, Mg 24.305)",
    2021,
    "derived",
)

M2_PER_ACRE = Figure(4046.8564224, "m2/ac", NIST_811)
"""The international acre, not the survey acre (4.0 parts in a million more)."""
M2_PER_HECTARE = Figure(10_000.0, "m2/ha", NIST_811)
M_PER_FT = Figure(0.3048, "m/ft", NIST_811)
IN_PER_FT = Figure(12.0, "in/ft", NIST_811)
CM_PER_IN = Figure(2.54, "cm/in", NIST_811)
FT2_PER_ACRE = Figure(43_560.0, "ft2/ac", NIST_811)
FT3_PER_YD3 = Figure(27.0, "ft3/yd3", NIST_811)
LB_PER_TON = Figure(2_000.0, "lb/ton", NIST_811)
KG_PER_LB = Figure(0.45359237, "kg/lb", NIST_811)
PA_PER_PSI = Figure(6_894.757293168, "Pa/psi", NIST_811)
GAL_PER_YD3 = Figure(27.0 * 1728.0 / 231.0, "gal/yd3", NIST_811)
"""A US gallon is 231 cubic inches: 201.974 gallons a cubic yard."""
INCH_FT2_PER_YD3 = Figure(324.0, "in ft2/yd3", GEOMETRY)
"""A cubic yard covers 324 square feet one inch deep."""
LB_PER_ACRE_PER_PPM = Figure(2.0, "lb/ac per ppm", FURROW_SLICE)
P2O5_PER_P = Figure(2.2914, "lb P2O5/lb P", ATOMIC)
K2O_PER_K = Figure(1.2046, "lb K2O/lb K", ATOMIC)


def acres(area_m2: float) -> float:
    """Square metres as international acres."""
    return area_m2 / M2_PER_ACRE.value


def hectares(area_m2: float) -> float:
    """Square metres as hectares."""
    return area_m2 / M2_PER_HECTARE.value


def fahrenheit(celsius: float) -> float:
    """A temperature in degrees Celsius as degrees Fahrenheit."""
    return celsius * 9.0 / 5.0 + 32.0
