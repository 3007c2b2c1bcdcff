"""Nitrogen that a cover crop gives the crop after it, as a range: never a rate to apply.

The middle is the Oregon and Washington line (PNW 636); the ends are what another published rule makes of the
same cover, and for cereals the tie-up that is in print.
"""

from __future__ import annotations

from dataclasses import dataclass

from shared.reckoning.computation import Computation, Input, checked, cite
from shared.units import LB_PER_TON, Figure, Source

PNW_636 = Source("pnw_636", "Sullivan & Andrews 2012, PNW 636: available N from cover crops", 2012, "read")
UMN_COVER = Source(
    "umn_cover_n", "Univ. of Minnesota: half of the N worked in, 40 % left on top", None, "read"
)

WANTED_RATIO = Source("wanted_ratio", "nitrogen to bring straw to a ratio of C to N, cacn.jp", None, "read")

LEAST_N = Figure(1.5, "% N", PNW_636)
MOST_N = Figure(3.5, "% N", PNW_636)
LB_PER_TON_PER_PCT = Figure(17.5, "lb/ton per % N", PNW_636)
CEREAL_TIE_UP = Figure(50.0, "lb/ac", PNW_636)
WORKED_IN = Figure(0.5, "share", UMN_COVER)
LEFT_ON_TOP = Figure(0.4, "share", UMN_COVER)

COVER_NITROGEN = (
    Input("n_pct", unit="% N of dry matter", low=0.0, high=7.0, example="3.5"),
    Input("dry_tons", unit="tons/ac", low=0.0, high=20.0, example="2"),
    Input("cereal", "flag", optional=True, default=False, example="false"),
)

NITROGEN_SHORT = (
    Input("carbon_pct", unit="% C", low=0.0, high=60.0, example="42"),
    Input("n_pct", unit="% N of dry matter", low=0.0, high=7.0, example="0.6"),
    Input("c_to_n", unit="C:N", low=5.0, high=100.0, example="30"),
)


@dataclass(frozen=True, slots=True)
class CoverNitrogen:
    """Plant-available nitrogen in the first season, lb an acre: low, middle and high. A negative low is
    nitrogen tied up."""

    low_n_lb: float
    available_n_lb: float
    high_n_lb: float


@dataclass(frozen=True, slots=True)
class NitrogenShort:
    """How much nitrogen, in % of its dry matter, a material lacks to a wanted C:N; 0 where it lacks none."""

    short_pct: float


def nitrogen_short(carbon_pct: float, n_pct: float, c_to_n: float) -> NitrogenShort:
    """carbon / ratio - nitrogen, in % of dry matter: rice straw (42 and 0.6 %) lacks 0.8 % to 30:1. What it
    ties up at most, and no rate to apply. Source: cacn.jp."""
    carbon, nitrogen, ratio = checked(NITROGEN_SHORT, locals()).values()
    return NitrogenShort(max(0.0, carbon / ratio - nitrogen))


def cover_nitrogen(n_pct: float, dry_tons: float, cereal: bool = False) -> CoverNitrogen:
    """Nitrogen from a cover with ``n_pct`` of nitrogen and ``dry_tons`` an acre.

    The middle: 17.5 (N% - 1.5) lb a ton, nothing under 1.5 %, no more than at 3.5 %. The high end is no less
    than half of all its nitrogen (worked in), the low end no more than 40 % (left on top); a cereal's low end
    is 50 lb tied up. Sources: PNW 636 (2012), Univ. of Minnesota.
    """
    given = checked(COVER_NITROGEN, {"n_pct": n_pct, "dry_tons": dry_tons, "cereal": cereal})
    tons = given["dry_tons"]
    held = given["n_pct"] / 100.0 * LB_PER_TON.value * tons
    within = min(max(given["n_pct"], LEAST_N.value), MOST_N.value)
    available = LB_PER_TON_PER_PCT.value * (within - LEAST_N.value) * tons
    low = min(available, held * LEFT_ON_TOP.value)
    if given["cereal"] and tons > 0.0:
        low = -CEREAL_TIE_UP.value
    return CoverNitrogen(low, available, max(available, held * WORKED_IN.value))


COMPUTATIONS: tuple[Computation, ...] = (
    Computation(
        "cover_nitrogen",
        cover_nitrogen,
        COVER_NITROGEN,
        {"low_n_lb": "lb/ac", "available_n_lb": "lb/ac", "high_n_lb": "lb/ac"},
        "17.5 x (N% - 1.5) x tons, N% within 1.5 to 3.5; ends from 40 and 50 % of all N; cereal low: -50",
        cite(PNW_636, UMN_COVER),
        "reckoner.caution.not_a_rate",
    ),
    Computation(
        "nitrogen_short",
        nitrogen_short,
        NITROGEN_SHORT,
        {"short_pct": "% of dry matter"},
        "short_pct = carbon_pct / c_to_n - n_pct, not below 0",
        cite(WANTED_RATIO),
        "reckoner.caution.not_a_rate",
    ),
)
