"""Cations, base saturation and lime, each by the one method that its buffer belongs to.

A buffer pH without the name of its method can't be used, and methods are never mixed.
"""

from __future__ import annotations

from dataclasses import dataclass

from shared.errors import OutOfRange
from shared.reckoning.computation import Computation, Input, checked, cite
from shared.units import Figure, Source

CLEMSON = Source("clemson_cec", "Clemson, cation exchange by Adams-Evans buffer", None, "read")
PENN_STATE_LIME = Source(
    "psu_lime", "Penn State Agronomy Guide, section 2, lime by Mehlich buffer", None, "read"
)
NORTH_CAROLINA = Source(
    "ncda_lime", "North Carolina Department of Agriculture, lime by Mehlich buffer", None, "read"
)

H_PER_BUFFER = Figure(8.0, "meq/100 g per pH", CLEMSON)
CLEMSON_BUFFER = Figure(8.0, "pH", CLEMSON)
LB_PER_MEQ: dict[str, Figure] = {
    "K": Figure(782.0, "lb/ac per meq", CLEMSON),
    "Mg": Figure(240.0, "lb/ac per meq", CLEMSON),
    "Ca": Figure(400.0, "lb/ac per meq", CLEMSON),
    "Na": Figure(460.0, "lb/ac per meq", CLEMSON),
}

NEUTRAL = Figure(7.0, "pH", PENN_STATE_LIME)
NEAR_NEUTRAL = Figure(6.5, "pH", PENN_STATE_LIME)
LB_TO_NEUTRAL = Figure(1000.0, "lb CCE/ac per meq", PENN_STATE_LIME)
LB_TO_NEAR_NEUTRAL = Figure(840.0, "lb CCE/ac per meq", PENN_STATE_LIME)
LEAST_ACIDITY = Figure(4.0, "meq/100 g", PENN_STATE_LIME)
LEAST_LIME_LB = Figure(2000.0, "lb CCE/ac", PENN_STATE_LIME)

ACIDITY_PER_BUFFER = Figure(4.0, "meq/100 cm3 per pH", NORTH_CAROLINA)
MEHLICH_BUFFER = Figure(6.6, "pH", NORTH_CAROLINA)

PH = Input("ph", unit="pH", low=3.0, high=10.0, example="5.0")
ACIDITY = Input("acidity_meq", unit="meq/100 g", low=0.0, high=60.0, example="5.2")
BASE_SATURATION = (
    Input("method", "choice", choices=("clemson",), example="clemson"),
    PH,
    Input("buffer_ph", unit="pH", low=5.0, high=8.5, example="7.7"),
    Input("k_lb", unit="lb/ac", low=0.0, high=20_000.0, example="240"),
    Input("mg_lb", unit="lb/ac", low=0.0, high=20_000.0, example="200"),
    Input("ca_lb", unit="lb/ac", low=0.0, high=50_000.0, example="1500"),
    Input("na_lb", unit="lb/ac", low=0.0, high=20_000.0, example="20"),
)
LIME_PENNSYLVANIA = (
    ACIDITY,
    PH,
    Input("target_ph", unit="pH", low=6.5, high=7.0, example="6.5"),
)
LIME_NORTH_CAROLINA = (
    Input("acidity_meq", unit="meq/100 cm3", low=0.0, high=30.0, example="1.2"),
    PH,
    Input("target_ph", unit="pH", low=4.0, high=6.6, above_low=True, example="6.0"),
    Input("credit_tons", unit="tons/ac", low=0.0, high=20.0, optional=True, default=0.0, example="0"),
)
MEHLICH_ACIDITY = (Input("buffer_ph", unit="pH", low=3.0, high=7.5, example="6.3"),)


@dataclass(frozen=True, slots=True)
class BaseSaturation:
    """Milliequivalents in 100 g of soil by cation and in all, and the % of them that are bases."""

    h_meq: float
    k_meq: float
    mg_meq: float
    ca_meq: float
    na_meq: float
    cec_meq: float
    base_pct: float


@dataclass(frozen=True, slots=True)
class LimePennsylvania:
    """Lime, lb of calcium carbonate equivalent an acre for a 7-in slice."""

    lime_lb_per_ac: float


@dataclass(frozen=True, slots=True)
class LimeNorthCarolina:
    """Lime, tons an acre."""

    lime_tons_per_ac: float


@dataclass(frozen=True, slots=True)
class MehlichAcidity:
    """Acidity by Mehlich's buffer as North Carolina reports it, meq in 100 cm3 of soil."""

    acidity_meq: float


def base_saturation(
    method: str, ph: float, buffer_ph: float, k_lb: float, mg_lb: float, ca_lb: float, na_lb: float
) -> BaseSaturation:
    """Cations from lb an acre (a furrow slice), and hydrogen from the Adams-Evans buffer, 8 (8 - buffer pH).

    ``method`` names the buffer, which no other can stand in for. Raises ``OutOfRange`` for a buffer pH
    under the soil's own (the buffer starts at 8 and soil pulls it down towards itself), and for no cations.
    Source: Clemson.
    """
    _, soil, buffer, k, mg, ca, na = checked(BASE_SATURATION, locals()).values()
    if buffer < min(soil, CLEMSON_BUFFER.value):
        raise OutOfRange("buffer_ph", buffer, f"a number from the soil's own pH, {soil:g}")
    h = max(0.0, H_PER_BUFFER.value * (CLEMSON_BUFFER.value - buffer))
    amounts = {"K": k, "Mg": mg, "Ca": ca, "Na": na}
    k_meq, mg_meq, ca_meq, na_meq = (amounts[name] / per.value for name, per in LB_PER_MEQ.items())
    bases = k_meq + mg_meq + ca_meq + na_meq
    if h + bases == 0.0:
        raise OutOfRange("ca_lb", ca, "at least one cation, or a buffer pH under 8")
    return BaseSaturation(h, k_meq, mg_meq, ca_meq, na_meq, h + bases, 100.0 * bases / (h + bases))


def lime_pennsylvania(acidity_meq: float, ph: float, target_ph: float) -> LimePennsylvania:
    """Lime for a target of 7.0 or 6.5, one dressing in three years; at or over the target none.

    7.0: acidity x 1,000 lb. 6.5: acidity x 840 lb over 4 meq; at 4 and under 2,000 lb. Raises ``OutOfRange``
    for any other target. Source: Penn State Agronomy Guide. Adjust by the material's label.
    """
    acidity, soil, target = checked(LIME_PENNSYLVANIA, locals()).values()
    if target not in (NEUTRAL.value, NEAR_NEUTRAL.value):
        raise OutOfRange("target_ph", target, "6.5 or 7.0")
    if soil >= target:
        return LimePennsylvania(0.0)
    if target == NEUTRAL.value:
        return LimePennsylvania(acidity * LB_TO_NEUTRAL.value)
    if acidity > LEAST_ACIDITY.value:
        return LimePennsylvania(acidity * LB_TO_NEAR_NEUTRAL.value)
    return LimePennsylvania(LEAST_LIME_LB.value)


def mehlich_acidity(buffer_ph: float) -> MehlichAcidity:
    """Acidity from Mehlich's buffer pH, 4 (6.6 - buffer pH), none at 6.6 and over. Source: North Carolina."""
    (buffer,) = checked(MEHLICH_ACIDITY, locals()).values()
    return MehlichAcidity(max(0.0, ACIDITY_PER_BUFFER.value * (MEHLICH_BUFFER.value - buffer)))


def lime_north_carolina(
    acidity_meq: float, ph: float, target_ph: float, credit_tons: float = 0.0
) -> LimeNorthCarolina:
    """acidity (target - pH) / (6.6 - pH), less the credit of lime not yet used up, never under 0; at or over
    the target none. Source: North Carolina (which credits lime by 8 % a month, 16 % on organic soils)."""
    acidity, soil, target, credit = checked(LIME_NORTH_CAROLINA, locals()).values()
    if soil >= target:
        return LimeNorthCarolina(0.0)
    wanted = acidity * (target - soil) / (MEHLICH_BUFFER.value - soil)
    return LimeNorthCarolina(max(0.0, wanted - credit))


COMPUTATIONS: tuple[Computation, ...] = (
    Computation(
        "base_saturation",
        base_saturation,
        BASE_SATURATION,
        dict.fromkeys(("h_meq", "k_meq", "mg_meq", "ca_meq", "na_meq", "cec_meq"), "meq/100 g")
        | {"base_pct": "%"},
        "H = 8 x (8.00 - buffer_ph); K lb/782, Mg lb/240, Ca lb/400, Na lb/460; base_pct = 100 x bases / sum",
        cite(CLEMSON),
        "reckoner.caution.same_lab",
    ),
    Computation(
        "lime_pennsylvania",
        lime_pennsylvania,
        LIME_PENNSYLVANIA,
        {"lime_lb_per_ac": "lb/ac"},
        "7.0: acidity x 1,000; 6.5: acidity x 840 over 4 meq, else 2,000; at or over the target 0",
        cite(PENN_STATE_LIME),
        "reckoner.caution.lime",
    ),
    Computation(
        "mehlich_acidity",
        mehlich_acidity,
        MEHLICH_ACIDITY,
        {"acidity_meq": "meq/100 cm3"},
        "acidity_meq = 4 x (6.6 - buffer_ph)",
        cite(NORTH_CAROLINA),
        "reckoner.caution.same_lab",
    ),
    Computation(
        "lime_north_carolina",
        lime_north_carolina,
        LIME_NORTH_CAROLINA,
        {"lime_tons_per_ac": "tons/ac"},
        "acidity x (target - pH) / (6.6 - pH) - credit, not under 0; at or over the target 0",
        cite(NORTH_CAROLINA),
        "reckoner.caution.lime",
    ),
)
