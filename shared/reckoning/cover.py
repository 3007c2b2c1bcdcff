"""Cover crops and hay: growth stage by heat units, dry matter by height or by a weighed sample.

No published height curve of sorghum-sudangrass was found; its pounds an acre-inch are derived from yields and
heights in print, and the band is wide. One coefficient carries a three- to fivefold range in grass too.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from shared.reckoning.computation import Computation, Input, checked, cite
from shared.reckoning.heat import KSTATE_661
from shared.units import KG_PER_LB, LB_PER_TON, M2_PER_ACRE, NIST_811, Figure, Source

Table = Literal["hprcc_50_86", "kstate_50_100_early", "kstate_50_100_late"]
Stand = Literal["fair", "good", "excellent"]

HPRCC = Source("hprcc_sorghum", "High Plains Regional Climate Center, AWDN crop_sorghum.txt", None, "read")
PASTURE_STICK = Source(
    "pasture_stick", "Cornell/NRCS pasture stick, in UMaine Lesson 1, appendix D", None, "read"
)
SSG_INCH = Source(
    "ssg_acre_inch",
    "1-2 tons at 36-48 in (US Dairy Forage Research Center) and 4 tons at head height, less 6 in stubble",
    None,
    "derived",
)
SSG_SEEDING = Source(
    "ssg_seeding",
    "Univ. of Vermont and Maine extension (65 F); Cornell cover crop guide (rate)",
    None,
    "read",
)

SI = Source("si", "The International System of Units, SI brochure, 9th edition", 2019, "defined")

GRAMS_PER_KG = Figure(1000.0, "g/kg", SI)
SEED_SOIL_F = Figure(65.0, "F", SSG_SEEDING)
"""The farm's default; Penn State says 60. A farm setting."""
SEED_WEED_LB_PER_AC = Figure(50.0, "lb/ac", SSG_SEEDING)
"""Sorghum-sudangrass broadcast against weeds. Sources run from 25 to 70; a farm setting."""

STAGES: dict[str, tuple[tuple[str, Figure], ...]] = {
    # From emergence, cap 86 F. From half bloom on the table prints early, mid and late hybrids; the early
    # ones stand here: a warning must not come after the first heads.
    "hprcc_50_86": (
        ("emergence", Figure(0.0, "F days", HPRCC)),
        ("three_leaf", Figure(200.0, "F days", HPRCC)),
        ("five_leaf", Figure(484.0, "F days", HPRCC)),
        ("growing_point", Figure(748.0, "F days", HPRCC)),
        ("final_leaf", Figure(990.0, "F days", HPRCC)),
        ("boot", Figure(1232.0, "F days", HPRCC)),
        ("half_bloom", Figure(1467.0, "F days", HPRCC)),
        ("soft_dough", Figure(1616.0, "F days", HPRCC)),
        ("hard_dough", Figure(1808.0, "F days", HPRCC)),
        ("mature", Figure(2000.0, "F days", HPRCC)),
    ),
    # From planting, cap 100 F, medium-early hybrids.
    "kstate_50_100_early": (
        ("emergence", Figure(99.0, "F days", KSTATE_661)),
        ("three_leaf", Figure(252.0, "F days", KSTATE_661)),
        ("five_leaf", Figure(396.0, "F days", KSTATE_661)),
        ("growing_point", Figure(702.0, "F days", KSTATE_661)),
        ("flag_leaf", Figure(954.0, "F days", KSTATE_661)),
        ("boot", Figure(1206.0, "F days", KSTATE_661)),
        ("mid_bloom", Figure(1440.0, "F days", KSTATE_661)),
        ("soft_dough", Figure(1746.0, "F days", KSTATE_661)),
        ("hard_dough", Figure(2196.0, "F days", KSTATE_661)),
        ("black_layer", Figure(2556.0, "F days", KSTATE_661)),
    ),
    # The same, medium-late hybrids.
    "kstate_50_100_late": (
        ("emergence", Figure(198.0, "F days", KSTATE_661)),
        ("three_leaf", Figure(360.0, "F days", KSTATE_661)),
        ("five_leaf", Figure(594.0, "F days", KSTATE_661)),
        ("growing_point", Figure(1152.0, "F days", KSTATE_661)),
        ("flag_leaf", Figure(1404.0, "F days", KSTATE_661)),
        ("boot", Figure(1647.0, "F days", KSTATE_661)),
        ("mid_bloom", Figure(1908.0, "F days", KSTATE_661)),
        ("soft_dough", Figure(2196.0, "F days", KSTATE_661)),
        ("hard_dough", Figure(2646.0, "F days", KSTATE_661)),
        ("black_layer", Figure(3006.0, "F days", KSTATE_661)),
    ),
}


@dataclass(frozen=True, slots=True)
class Band:
    """Pounds of dry matter an acre for each inch above the cut: the least and the most."""

    low: Figure
    high: Figure


ANY_SSG = Band(Figure(60.0, "lb/ac-in", SSG_INCH), Figure(130.0, "lb/ac-in", SSG_INCH))
FAIR = Band(Figure(150.0, "lb/ac-in", PASTURE_STICK), Figure(200.0, "lb/ac-in", PASTURE_STICK))
GOOD = Band(Figure(250.0, "lb/ac-in", PASTURE_STICK), Figure(300.0, "lb/ac-in", PASTURE_STICK))
EXCELLENT = Band(Figure(300.0, "lb/ac-in", PASTURE_STICK), Figure(350.0, "lb/ac-in", PASTURE_STICK))
DENSE = Band(Figure(350.0, "lb/ac-in", PASTURE_STICK), Figure(400.0, "lb/ac-in", PASTURE_STICK))
FESCUE_FAIR = Band(Figure(100.0, "lb/ac-in", PASTURE_STICK), Figure(150.0, "lb/ac-in", PASTURE_STICK))
FESCUE_GOOD = Band(Figure(200.0, "lb/ac-in", PASTURE_STICK), Figure(250.0, "lb/ac-in", PASTURE_STICK))

BANDS: dict[str, dict[str, Band]] = {
    "orchardgrass": {"fair": FAIR, "good": GOOD, "excellent": EXCELLENT},
    "timothy": {"fair": FAIR, "good": GOOD, "excellent": EXCELLENT},
    "mixed_pasture": {"fair": FAIR, "good": GOOD, "excellent": EXCELLENT},
    "bluegrass_clover": {"fair": FAIR, "good": GOOD, "excellent": DENSE},
    "ryegrass_clover": {"fair": FAIR, "good": GOOD, "excellent": DENSE},
    "tall_fescue": {"fair": FESCUE_FAIR, "good": FESCUE_GOOD, "excellent": DENSE},
    # Whatever the stand: its density is already in the band.
    "sorghum_sudan": {"fair": ANY_SSG, "good": ANY_SSG, "excellent": ANY_SSG},
    "sudan": {"fair": ANY_SSG, "good": ANY_SSG, "excellent": ANY_SSG},
}

SORGHUMS = ("sorghum_sudan", "sudan")

COVER_STAGE = (
    Input("cover", "choice", choices=SORGHUMS, example="sorghum_sudan"),
    Input("units", unit="F days", low=0.0, high=8000.0, example="1250"),
    Input("table", "choice", choices=tuple(STAGES), example="hprcc_50_86"),
)
COVER_BIOMASS = (
    Input("cover", "choice", choices=tuple(BANDS), example="orchardgrass"),
    Input("stand", "choice", choices=("fair", "good", "excellent"), example="good"),
    Input("height_in", unit="in", low=0.0, high=180.0, example="7"),
    Input("stubble_in", unit="in", low=0.0, high=36.0, example="3"),
)
SAMPLE_BIOMASS = (
    Input("grams", unit="g", low=0.0, high=100_000.0, example="45"),
    Input("frame_m2", unit="m2", low=0.001, high=100.0, example="0.25"),
)


@dataclass(frozen=True, slots=True)
class CoverStage:
    """``reached``: the last stage passed, None before emergence. ``next`` and ``units_to_next`` (F days):
    the one to come, None after the last."""

    reached: str | None
    next: str | None
    units_to_next: float | None


@dataclass(frozen=True, slots=True)
class CoverBiomass:
    """Dry matter above the stubble, lb an acre, least and most."""

    low_lb_per_ac: float
    high_lb_per_ac: float


@dataclass(frozen=True, slots=True)
class SampleBiomass:
    """A weighed sample's dry matter as lb and as tons (2,000 lb) an acre."""

    lb_per_ac: float
    tons_per_ac: float


def cover_stage(cover: str, units: float, table: Table) -> CoverStage:
    """The stage that a sorghum cover has come to by ``units``, gathered by the table's own rule.

    ``hprcc_50_86`` counts from emergence with the cap at 86 F, the K-State tables from planting with the cap
    at 100 F. All are for grain sorghum: hybrids for cover differ by ten days or so either way.
    """
    units = checked(COVER_STAGE, {"cover": cover, "units": units, "table": table})["units"]
    reached: str | None = None
    for stage, at in STAGES[table]:
        if units < at.value:
            return CoverStage(reached, stage, at.value - units)
        reached = stage
    return CoverStage(reached, None, None)


def cover_biomass(cover: str, stand: Stand, height_in: float, stubble_in: float) -> CoverBiomass:
    """Dry matter above the cut: (height - stubble) times the band of this cover and stand.

    Height is that of the undisturbed leaf. Zero when the stand is no taller than the stubble. Rye, oats and
    vetch have no published band: cut and weigh a sample. Cornell/NRCS pasture stick; sorghums derived.
    """
    given = checked(
        COVER_BIOMASS, {"cover": cover, "stand": stand, "height_in": height_in, "stubble_in": stubble_in}
    )
    inches = max(0.0, given["height_in"] - given["stubble_in"])
    band = BANDS[cover][stand]
    return CoverBiomass(inches * band.low.value, inches * band.high.value)


def sample_biomass(grams: float, frame_m2: float) -> SampleBiomass:
    """A dried sample of ``grams`` from ``frame_m2``, carried to the acre."""
    given = checked(SAMPLE_BIOMASS, {"grams": grams, "frame_m2": frame_m2})
    kilograms_per_m2 = given["grams"] / given["frame_m2"] / GRAMS_PER_KG.value
    lb_per_ac = kilograms_per_m2 / KG_PER_LB.value * M2_PER_ACRE.value
    return SampleBiomass(lb_per_ac, lb_per_ac / LB_PER_TON.value)


COMPUTATIONS: tuple[Computation, ...] = (
    Computation(
        "cover_stage",
        cover_stage,
        COVER_STAGE,
        {"units_to_next": "F days"},
        "the last stage of the table at or under the units, and the next",
        cite(HPRCC, KSTATE_661),
        "reckoner.caution.grain_sorghum",
    ),
    Computation(
        "cover_biomass",
        cover_biomass,
        COVER_BIOMASS,
        {"low_lb_per_ac": "lb/ac", "high_lb_per_ac": "lb/ac"},
        "(height - stubble) x pounds an acre-inch",
        cite(PASTURE_STICK, SSG_INCH),
        "reckoner.caution.height_band",
    ),
    Computation(
        "sample_biomass",
        sample_biomass,
        SAMPLE_BIOMASS,
        {"lb_per_ac": "lb/ac", "tons_per_ac": "tons/ac"},
        "grams / frame x 8.922 (g/m2 to lb/ac)",
        cite(NIST_811, SI),
    ),
)
