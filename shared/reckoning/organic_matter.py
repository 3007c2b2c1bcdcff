"""Carbon put on, organic matter from carbon, and whether a change between two tests is more than their error."""

from __future__ import annotations

from dataclasses import dataclass

from shared.reckoning.computation import Computation, Input, checked, cite
from shared.reckoning.figures import LEAF_COMPOSITION
from shared.units import Figure, Source

CARBON_SHARE = Source("om_1724", "organic matter = 1.724 x carbon", None, "memory")
OM_ERROR = Source(
    "om_error", "USDA-ARS soil carbon model paper: 95 % interval of organic matter", None, "read"
)


COVER_CARBON = Source("cover_carbon", "carbon of cover crop dry matter, as in published R code", None, "read")

COVER_CARBON_SHARE = Figure(0.45, "share of dry matter", COVER_CARBON)
LEAF_CARBON_SHARE = Figure(0.48, "share of dry matter", LEAF_COMPOSITION)
OM_PER_CARBON = Figure(1.724, "% OM/% C", CARBON_SHARE)
OM_UNSURE_PCT = Figure(0.33, "% OM", OM_ERROR)

CARBON_INPUT = (
    Input("cover_dry_tons", unit="dry tons/ac", low=0.0, high=50.0, optional=True, default=0.0, example="4"),
    Input("leaf_dry_tons", unit="dry tons/ac", low=0.0, high=200.0, optional=True, default=0.0, example="20"),
)
ORGANIC_MATTER = (Input("carbon_pct", unit="% C", low=0.0, high=58.0, example="1.39"),)
ORGANIC_GAIN = (
    Input("before_pct", unit="% OM", low=0.0, high=100.0, example="2.40"),
    Input("after_pct", unit="% OM", low=0.0, high=100.0, example="2.66"),
)


@dataclass(frozen=True, slots=True)
class CarbonInput:
    """Tons of carbon an acre put on."""

    carbon_tons: float


@dataclass(frozen=True, slots=True)
class OrganicMatter:
    """Organic matter, % of dry soil."""

    om_pct: float


@dataclass(frozen=True, slots=True)
class OrganicGain:
    """The change in % organic matter, and whether it is larger than the measuring error."""

    gain_pct: float
    shows: bool


def carbon_input(cover_dry_tons: float = 0.0, leaf_dry_tons: float = 0.0) -> CarbonInput:
    """Carbon in a cover's and in leaves' dry matter, 45 and 48 %. Most of it is breathed out: in the trial at
    Pittstown about 17 % was still there a year after three yearly dressings."""
    cover, leaves = checked(CARBON_INPUT, locals()).values()
    return CarbonInput(COVER_CARBON_SHARE.value * cover + LEAF_CARBON_SHARE.value * leaves)


def organic_matter(carbon_pct: float) -> OrganicMatter:
    """Organic matter from organic carbon, x 1.724: from memory, unconfirmed."""
    (carbon,) = checked(ORGANIC_MATTER, locals()).values()
    return OrganicMatter(carbon * OM_PER_CARBON.value)


def organic_gain(before_pct: float, after_pct: float) -> OrganicGain:
    """The change between two tests of the same lab, method, depth and season. It *shows* only beyond 0.33 %,
    the 95 % error of organic matter (USDA-ARS): one rotation's gain never does in honest reckoning."""
    before, after = checked(ORGANIC_GAIN, locals()).values()
    return OrganicGain(after - before, abs(after - before) > OM_UNSURE_PCT.value)


COMPUTATIONS: tuple[Computation, ...] = (
    Computation(
        "carbon_input",
        carbon_input,
        CARBON_INPUT,
        {"carbon_tons": "tons/ac"},
        "carbon_tons = 0.45 x cover_dry_tons + 0.48 x leaf_dry_tons",
        cite(COVER_CARBON, LEAF_COMPOSITION),
        "reckoner.caution.organic_gain",
    ),
    Computation(
        "organic_matter",
        organic_matter,
        ORGANIC_MATTER,
        {"om_pct": "%"},
        "om_pct = 1.724 x carbon_pct",
        cite(CARBON_SHARE),
        "reckoner.caution.organic_gain",
    ),
    Computation(
        "organic_gain",
        organic_gain,
        ORGANIC_GAIN,
        {"gain_pct": "%"},
        "gain_pct = after_pct - before_pct; shows only beyond 0.33",
        cite(OM_ERROR),
        "reckoner.caution.organic_gain",
    ),
)
