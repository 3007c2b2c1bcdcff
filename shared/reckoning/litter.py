"""What leaves are made of, how fast they go, and what they do to nitrogen meanwhile.

Leaves at a carbon to nitrogen ratio near 50 earn no nitrogen credit in the first crop. Nothing here is a rate
to apply, and no earliest crop year follows from it: a sidedress nitrate test is the sound way to see.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from shared.errors import MissingInput
from shared.reckoning.computation import Computation, Input, checked, cite
from shared.reckoning.decay import litter_pools
from shared.reckoning.figures import (
    LEAF_COMPOSITION,
    LEAF_PRACTICE,
    LITTER_DECAY,
    MICROBIAL_NITROGEN,
    NJ_LEAF_SHEET,
    NRCS_CARBON_NITROGEN,
    ON_FARM_COMPOSTING,
    ROTHC,
    SHEET_WEIGHING,
)
from shared.reckoning.leaf import YARDS_YD3, leaf_volume
from shared.units import (
    ATOMIC,
    FT2_PER_ACRE,
    GEOMETRY,
    INCH_FT2_PER_YD3,
    K2O_PER_K,
    LB_PER_TON,
    P2O5_PER_P,
    Figure,
)

LAYER_TONS_PER_AC = Figure(20.0, "dry tons/ac at 6 in", NJ_LEAF_SHEET)
LAYER_IN = Figure(6.0, "in", NJ_LEAF_SHEET)
LOW_SHARE = Figure(0.5, "of the published dry weight: fresh, whole, not settled", LEAF_PRACTICE)
PACKED_LB_PER_YD3 = Figure(300.0, "lb/yd3, the upper end for loose leaves", ON_FARM_COMPOSTING)
PACKED_DRY_PCT = Figure(62.0, "% dry of collected leaves", ON_FARM_COMPOSTING)
FRAME_SPREAD = Figure(0.25, "share either side of one weighed frame", LEAF_PRACTICE)

K_PER_YEAR = Figure(0.70, "1/yr", LITTER_DECAY)
K_SLOW = Figure(0.38, "1/yr", LITTER_DECAY)
K_FAST = Figure(1.22, "1/yr", LITTER_DECAY)
MONTHS_PER_YEAR = Figure(12.0, "months/yr", GEOMETRY)
CRITICAL_C_TO_N = Figure(24.0, "C:N", NRCS_CARBON_NITROGEN)
MICROBIAL_C_TO_N_LOW = Figure(8.0, "C:N", MICROBIAL_NITROGEN)
MICROBIAL_C_TO_N_HIGH = Figure(10.0, "C:N", MICROBIAL_NITROGEN)

MG_PER_G = Figure(1_000.0, "mg/g", GEOMETRY)
MEDIAN_G_PER_KG = {
    "c_lb": Figure(480.0, "g/kg", LEAF_COMPOSITION),
    "n_lb": Figure(9.4, "g/kg", LEAF_COMPOSITION),
    "p_lb": Figure(1.0, "g/kg", LEAF_COMPOSITION),
    "k_lb": Figure(3.6, "g/kg", LEAF_COMPOSITION),
    "ca_lb": Figure(17.3, "g/kg", LEAF_COMPOSITION),
    "mg_lb": Figure(2.4, "g/kg", LEAF_COMPOSITION),
    "s_lb": Figure(1.1, "g/kg", LEAF_COMPOSITION),
}
MEDIAN_MG_PER_KG = {
    "b_lb": Figure(38.0, "mg/kg", LEAF_COMPOSITION),
    "zn_lb": Figure(67.0, "mg/kg", LEAF_COMPOSITION),
    "mn_lb": Figure(406.0, "mg/kg", LEAF_COMPOSITION),
    "cu_lb": Figure(8.1, "mg/kg", LEAF_COMPOSITION),
}

LEAF_DRY_MATTER = (
    YARDS_YD3,
    Input("frame_wet_lb", unit="lb", low=0.001, high=1_000.0, optional=True, example="9"),
    Input("frame_ft2", unit="ft2", low=0.01, high=1_000.0, optional=True, example="4"),
    Input("dry_pct", unit="%", low=1.0, high=100.0, optional=True, example="45"),
    Input("depth_in", unit="in", low=0.1, high=60.0, optional=True, example="6"),
)
LEAF_NUTRIENTS = (Input("dry_tons_per_ac", unit="dry tons/ac", low=0.0, high=200.0, example="20"),)
SPREADER_SHEET = (
    Input("sheet_ft2", unit="ft2", low=0.1, high=10_000.0, example="21.78"),
    Input("net_lb", unit="lb", low=0.0, high=10_000.0, example="10"),
)
MONTHS = Input("months", unit="months", low=0.0, high=1_200.0, example="12")
RATE = Input(
    "k_per_year", unit="1/yr", low=0.0, high=10.0, optional=True, default=K_PER_YEAR.value, example="0.70"
)
LEAF_LEFT = (MONTHS, RATE)
LEAF_LEFT_RANGE = (MONTHS,)
TIE_UP = (
    Input("carbon_lb", unit="lb", low=0.0, high=10_000_000.0, example="19200"),
    Input("c_to_n", unit="C:N", low=1.0, high=1_000.0, example="48.5"),
    RATE,
    Input("years", unit="yr", low=0.0, high=100.0, optional=True, default=1.0, example="1"),
)


@dataclass(frozen=True, slots=True)
class LeafDryMatter:
    dry_tons: float
    low_tons: float
    high_tons: float


@dataclass(frozen=True, slots=True)
class LeafNutrients:
    n_lb: float
    p_lb: float
    k_lb: float
    ca_lb: float
    mg_lb: float
    s_lb: float
    b_lb: float
    zn_lb: float
    mn_lb: float
    cu_lb: float
    c_lb: float
    p2o5_lb: float
    k2o_lb: float


@dataclass(frozen=True, slots=True)
class SpreaderSheet:
    tons_per_ac: float


@dataclass(frozen=True, slots=True)
class LeafLeft:
    left_pct: float


@dataclass(frozen=True, slots=True)
class LeafLeftRange:
    low_left_pct: float
    left_pct: float
    high_left_pct: float


@dataclass(frozen=True, slots=True)
class TieUp:
    decomposed_pct: float
    net_n_lb: float
    low_n_lb: float
    high_n_lb: float


def _published_lb_per_yd3() -> float:
    layer = leaf_volume(1.0, LAYER_IN.value).yards_yd3
    return LAYER_TONS_PER_AC.value * LB_PER_TON.value / layer


def leaf_dry_matter(
    yards_yd3: float,
    frame_wet_lb: float | None = None,
    frame_ft2: float | None = None,
    dry_pct: float | None = None,
    depth_in: float | None = None,
) -> LeafDryMatter:
    """Tons of dry leaves in ``yards_yd3`` in place: 49.587 lb a yard (20 tons on the 806.67 yards of a 6-in
    acre, nj_leaf_sheet) within a wide band from memory, or by a frame that the farm weighed: its wet pounds,
    square feet, dry share and depth, all four or none (R18). Raises InputError."""
    yards, *frame = checked(LEAF_DRY_MATTER, locals()).values()
    if all(part is None for part in frame):
        tons = yards / LB_PER_TON.value
        dense = PACKED_LB_PER_YD3.value * PACKED_DRY_PCT.value / 100.0
        middle = _published_lb_per_yd3()
        return LeafDryMatter(tons * middle, tons * middle * LOW_SHARE.value, tons * dense)
    for one, part in zip(LEAF_DRY_MATTER[1:], frame, strict=True):
        if part is None:
            raise MissingInput(one.name, None, f"{one.allowed()}: a weighed frame needs all four")
    wet_lb, area_ft2, dry, depth = frame
    dry_lb_per_yd3 = wet_lb * dry / 100.0 * INCH_FT2_PER_YD3.value / (area_ft2 * depth)
    measured = yards * dry_lb_per_yd3 / LB_PER_TON.value
    return LeafDryMatter(
        measured, measured * (1.0 - FRAME_SPREAD.value), measured * (1.0 + FRAME_SPREAD.value)
    )


def leaf_nutrients(dry_tons_per_ac: float) -> LeafNutrients:
    """Pounds an acre of each nutrient in ``dry_tons_per_ac`` (0 to 200) of leaves of median composition
    (leaf_composition). What is in them, not what a crop gets, and not a rate to apply. Raises InputError."""
    (tons,) = checked(LEAF_NUTRIENTS, locals()).values()
    kilopounds = tons * LB_PER_TON.value / MG_PER_G.value
    found = {key: kilopounds * figure.value for key, figure in MEDIAN_G_PER_KG.items()}
    found |= {key: kilopounds * figure.value / MG_PER_G.value for key, figure in MEDIAN_MG_PER_KG.items()}
    return LeafNutrients(
        **found, p2o5_lb=found["p_lb"] * P2O5_PER_P.value, k2o_lb=found["k_lb"] * K2O_PER_K.value
    )


def spreader_sheet(sheet_ft2: float, net_lb: float) -> SpreaderSheet:
    """Tons an acre as spread, from the net pounds caught on a sheet (exactly 43,560 / 2,000; 56 by 56 in is
    21.78 ft2, where a pound is a ton an acre). Raises InputError."""
    area, net = checked(SPREADER_SHEET, locals()).values()
    return SpreaderSheet(net * FT2_PER_ACRE.value / LB_PER_TON.value / area)


def leaf_left(months: float, k_per_year: float = K_PER_YEAR.value) -> LeafLeft:
    """Percent of a leaf layer's dry matter left ``months`` (0 to 1,200) after spreading, at a yearly rate k
    (0 to 10; 0.70 for mixed leaves on the surface). See ``leaf_left_range`` for the band. Raises InputError."""
    since, rate = checked(LEAF_LEFT, locals()).values()
    return LeafLeft(100.0 * math.exp(-rate * since / MONTHS_PER_YEAR.value))


def leaf_left_range(months: float) -> LeafLeftRange:
    """``leaf_left`` with the band that litter of different kinds spans, k 1.22 to 0.38 a year (R18)."""
    (since,) = checked(LEAF_LEFT_RANGE, locals()).values()
    fast, usual, slow = (leaf_left(since, k.value).left_pct for k in (K_FAST, K_PER_YEAR, K_SLOW))
    return LeafLeftRange(fast, usual, slow)


def tie_up(
    carbon_lb: float, c_to_n: float, k_per_year: float = K_PER_YEAR.value, years: float = 1.0
) -> TieUp:
    """Nitrogen, in pounds, that material ties up (negative) or sets free over ``years``.

    ``net_n_lb`` charges all carbon decomposed at 24:1: an upper bound on demand that never turns into release
    by itself. ``low_n_lb`` and ``high_n_lb`` keep account of RothC's pools, with the decomposers at C:N 8 and
    10, at the pace that ``k_per_year`` bears to 0.70. Raises InputError."""
    carbon, ratio, rate, span = checked(TIE_UP, locals()).values()
    gone = -math.expm1(-rate * span)
    net = carbon * gone * (1.0 / ratio - 1.0 / CRITICAL_C_TO_N.value)
    pools = litter_pools(span, rate / K_PER_YEAR.value)
    low, high = (
        carbon * ((1.0 - pools.litter) / ratio - pools.living / microbes.value)
        for microbes in (MICROBIAL_C_TO_N_LOW, MICROBIAL_C_TO_N_HIGH)
    )
    return TieUp(100.0 * gone, net, low, high)


COMPUTATIONS: tuple[Computation, ...] = (
    Computation(
        "leaf_dry_matter",
        leaf_dry_matter,
        LEAF_DRY_MATTER,
        {"dry_tons": "dry tons", "low_tons": "dry tons", "high_tons": "dry tons"},
        "dry_tons = yards_yd3 x 49.587 / 2,000, or by frame: "
        "yards_yd3 x frame_wet_lb x dry_pct / 100 x 324 / (frame_ft2 x depth_in) / 2,000",
        cite(NJ_LEAF_SHEET, LEAF_PRACTICE, ON_FARM_COMPOSTING),
        "reckoner.caution.reporting_tons",
    ),
    Computation(
        "leaf_nutrients",
        leaf_nutrients,
        LEAF_NUTRIENTS,
        dict.fromkeys(LeafNutrients.__slots__, "lb/ac"),
        "lb/ac = dry_tons_per_ac x 2 x median g/kg",
        cite(LEAF_COMPOSITION, ATOMIC),
        "reckoner.caution.not_a_rate",
    ),
    Computation(
        "spreader_sheet",
        spreader_sheet,
        SPREADER_SHEET,
        {"tons_per_ac": "tons/ac"},
        "tons_per_ac = net_lb x 43,560 / 2,000 / sheet_ft2",
        cite(SHEET_WEIGHING),
        "reckoner.caution.machine",
    ),
    Computation(
        "leaf_left",
        leaf_left,
        LEAF_LEFT,
        {"left_pct": "%"},
        "left_pct = 100 x exp(-k_per_year x months / 12)",
        cite(LITTER_DECAY),
        "reckoner.caution.wide_band",
    ),
    Computation(
        "leaf_left_range",
        leaf_left_range,
        LEAF_LEFT_RANGE,
        {"low_left_pct": "%", "left_pct": "%", "high_left_pct": "%"},
        "100 x exp(-k x months / 12) with k 1.22, 0.70 and 0.38 a year",
        cite(LITTER_DECAY),
    ),
    Computation(
        "tie_up",
        tie_up,
        TIE_UP,
        {"decomposed_pct": "%", "net_n_lb": "lb", "low_n_lb": "lb", "high_n_lb": "lb"},
        "net_n_lb = carbon_lb x (1 - exp(-k_per_year x years)) x (1 / c_to_n - 1 / 24); "
        "low and high by RothC pools, microbes at C:N 8 and 10",
        cite(NRCS_CARBON_NITROGEN, LITTER_DECAY, ROTHC, MICROBIAL_NITROGEN),
        "reckoner.caution.not_a_rate",
    ),
)
