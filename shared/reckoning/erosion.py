"""What cover does against erosion: the C factor by the land's named state; the conditioning index as idea.

The factor at no cover depends on what the land is, so there is none without a state. The full equation and
the index's own subfactors need a model that can't be run by hand.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from shared.errors import MissingInput, OutOfRange
from shared.reckoning.computation import Computation, Input, checked, cite
from shared.units import Figure, Source

STORMWATER = Source("mn_stormwater", "Minnesota Stormwater Manual, C factors", None, "read")
USLE = Source("usle_1978", "after Wischmeier & Smith 1978, pasture by ground cover", 1978, "read")
SCI = Source("sci_2003", "NRCS 2003 via Zobeck 2007, J. Soil Water Conserv. 62(6)", 2007, "read")

STATES: dict[str, Figure] = {
    "fallow": Figure(1.0, "C", STORMWATER),
    "annual_ryegrass": Figure(0.10, "C", STORMWATER),
    "perennial": Figure(0.05, "C", STORMWATER),
    "sod": Figure(0.01, "C", STORMWATER),
    "straw_half_ton": Figure(0.25, "C", STORMWATER),
    "straw_one_ton": Figure(0.13, "C", STORMWATER),
    "straw_one_and_half_tons": Figure(0.07, "C", STORMWATER),
    "straw_two_tons": Figure(0.02, "C", STORMWATER),
}
TEN_PCT = Figure(10.0, "%", USLE)
PASTURE: tuple[Figure, ...] = (
    Figure(1.0, "C", USLE),
    Figure(0.33, "C", USLE),
    Figure(0.20, "C", USLE),
    Figure(0.15, "C", USLE),
    Figure(0.10, "C", USLE),
    Figure(0.07, "C", USLE),
    Figure(0.042, "C", USLE),
    Figure(0.024, "C", USLE),
    Figure(0.013, "C", USLE),
    Figure(0.008, "C", USLE),
    Figure(0.003, "C", USLE),
)
"""By tens of ground cover, 0 to 100 %."""

OM_SHARE, FIELD_SHARE, EROSION_SHARE = (
    Figure(0.4, "share", SCI),
    Figure(0.4, "share", SCI),
    Figure(0.2, "share", SCI),
)
SCI_UNSURE = Figure(0.3, "index", SCI)

COVER_FACTOR = (
    Input("state", "choice", choices=(*STATES, "pasture"), example="pasture"),
    Input("cover_pct", unit="%", low=0.0, high=100.0, optional=True, example="60"),
)
CONDITIONING = (
    Input("organic_matter", low=-10.0, high=10.0, example="0.6"),
    Input("field_operations", low=-10.0, high=10.0, example="0.3"),
    Input("erosion", low=-10.0, high=10.0, example="0.5"),
)


@dataclass(frozen=True, slots=True)
class CoverFactor:
    """``c_factor``: soil lost as a share of that from bare fallow, all else the same."""

    c_factor: float


@dataclass(frozen=True, slots=True)
class Conditioning:
    """The soil conditioning index with its uncertainty: above 0 the soil is held, but only as an idea."""

    index: float
    low: float
    high: float


def cover_factor(state: str, cover_pct: float | None = None) -> CoverFactor:
    """The C factor of a named state of the land; ``pasture`` by its ground cover, linear between the printed
    tens. Raises ``MissingInput`` for pasture without cover, ``OutOfRange`` for cover with any other state,
    whose factor has it in. Sources: Minnesota Stormwater Manual; Wischmeier & Smith 1978."""
    land, cover = checked(COVER_FACTOR, locals()).values()
    if land != "pasture":
        if cover is not None:
            raise OutOfRange("cover_pct", cover, f"nothing with state {land}, which has its cover in it")
        return CoverFactor(STATES[land].value)
    if cover is None:
        raise MissingInput("cover_pct", None, COVER_FACTOR[1].allowed())
    tens = cover / TEN_PCT.value
    for step, (above, below) in enumerate(pairwise(PASTURE)):
        if tens <= step + 1:
            part = tens - step
            return CoverFactor(above.value * (1.0 - part) + below.value * part)
    raise AssertionError(cover)


def conditioning_index(organic_matter: float, field_operations: float, erosion: float) -> Conditioning:
    """0.4 OM + 0.4 FO + 0.2 ER with its uncertainty of 0.3 either side, from subfactors that a model (RUSLE2)
    made. Source: NRCS 2003 via Zobeck 2007. Not listed in the reckoner: nobody can work them out by hand."""
    matter, work, loss = checked(CONDITIONING, locals()).values()
    index = OM_SHARE.value * matter + FIELD_SHARE.value * work + EROSION_SHARE.value * loss
    return Conditioning(index, index - SCI_UNSURE.value, index + SCI_UNSURE.value)


COMPUTATIONS: tuple[Computation, ...] = (
    Computation(
        "cover_factor",
        cover_factor,
        COVER_FACTOR,
        {"c_factor": "of bare fallow"},
        "the table's figure for the state; pasture by ground cover, linear between tens",
        cite(STORMWATER, USLE),
        "reckoner.caution.erosion",
    ),
)
