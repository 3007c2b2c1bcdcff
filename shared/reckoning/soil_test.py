"""What a soil test says: levels by the lab that ran it, manganese, oxides.

Levels are a lab's own: the same potassium is *high* at Rutgers and *medium* at Delaware. Nothing is re-graded
from one lab to another, and a reading lies in a level until the next printed lower bound is reached (R14).
"""

from __future__ import annotations

from dataclasses import dataclass

from shared.errors import MissingInput, OutOfRange
from shared.reckoning.computation import Computation, Input, checked, cite
from shared.units import (
    ATOMIC,
    FURROW_SLICE,
    K2O_PER_K,
    LB_PER_ACRE_PER_PPM,
    P2O5_PER_P,
    Figure,
    Source,
)

RUTGERS = Source(
    "rutgers_levels", "Rutgers soil testing laboratory, relative levels of nutrients", None, "read"
)
DELAWARE = Source("delaware_levels", "Univ. of Delaware extension, agronomic crops, Mehlich 3", None, "read")
DELAWARE_FIV = Source(
    "delaware_fiv", "Delaware fertility index, straight lines of its table", None, "derived"
)


@dataclass(frozen=True, slots=True)
class Levels:
    """One nutrient at one lab: the lowest level, then each next level with its printed lower bound, and the
    bound that the last level must pass. ``best`` is the level that the lab calls its optimum."""

    unit: str
    lowest: str
    steps: tuple[tuple[str, Figure], ...]
    best: str
    most: Figure
    past: str

    def level(self, value: float) -> str:
        if value > self.most.value:
            return self.past
        found = self.lowest
        for level, bound in self.steps:
            if value >= bound.value:
                found = level
        return found

    @property
    def optimum(self) -> tuple[float, float]:
        """From the printed lower bound of the best level to its printed top, in this lab's unit."""
        return (dict(self.steps)[self.best].value, self.most.value)


def _rutgers(low: Figure, medium: Figure, high: Figure, most: Figure) -> Levels:
    steps = (("low", low), ("medium", medium), ("high", high))
    return Levels("lb_per_ac", "very_low", steps, "high", most, "very_high")


def _rutgers_trace(critical: Figure, most: Figure) -> Levels:
    return Levels("ppm", "below_critical", (("adequate", critical),), "adequate", most, "over_high")


def _delaware(medium: Figure, optimum: Figure, most: Figure) -> Levels:
    return Levels("ppm", "low", (("medium", medium), ("optimum", optimum)), "optimum", most, "excessive")


LB, PPM = "lb/ac", "ppm"
LABS: dict[str, dict[str, Levels]] = {
    "rutgers": {
        "P": _rutgers(
            Figure(25.0, LB, RUTGERS),
            Figure(46.0, LB, RUTGERS),
            Figure(72.0, LB, RUTGERS),
            Figure(137.0, LB, RUTGERS),
        ),
        "K": _rutgers(
            Figure(41.0, LB, RUTGERS),
            Figure(82.0, LB, RUTGERS),
            Figure(146.0, LB, RUTGERS),
            Figure(277.0, LB, RUTGERS),
        ),
        "Mg": _rutgers(
            Figure(46.0, LB, RUTGERS),
            Figure(84.0, LB, RUTGERS),
            Figure(144.0, LB, RUTGERS),
            Figure(295.0, LB, RUTGERS),
        ),
        "Ca": _rutgers(
            Figure(616.0, LB, RUTGERS),
            Figure(1008.0, LB, RUTGERS),
            Figure(1401.0, LB, RUTGERS),
            Figure(1790.0, LB, RUTGERS),
        ),
        "Zn": _rutgers_trace(Figure(1.0, PPM, RUTGERS), Figure(50.0, PPM, RUTGERS)),
        "Cu": _rutgers_trace(Figure(0.5, PPM, RUTGERS), Figure(20.0, PPM, RUTGERS)),
        "B": _rutgers_trace(Figure(0.5, PPM, RUTGERS), Figure(20.0, PPM, RUTGERS)),
        "Fe": _rutgers_trace(Figure(50.0, PPM, RUTGERS), Figure(100.0, PPM, RUTGERS)),
    },
    "delaware": {
        "P": _delaware(
            Figure(26.0, PPM, DELAWARE), Figure(51.0, PPM, DELAWARE), Figure(100.0, PPM, DELAWARE)
        ),
        "K": _delaware(
            Figure(71.0, PPM, DELAWARE), Figure(141.0, PPM, DELAWARE), Figure(280.0, PPM, DELAWARE)
        ),
        "Mg": _delaware(
            Figure(56.0, PPM, DELAWARE), Figure(111.0, PPM, DELAWARE), Figure(220.0, PPM, DELAWARE)
        ),
        "Ca": _delaware(
            Figure(451.0, PPM, DELAWARE), Figure(901.0, PPM, DELAWARE), Figure(1800.0, PPM, DELAWARE)
        ),
    },
}
NUTRIENTS = tuple(LABS["rutgers"])

MN_INTERCEPT = Figure(101.7, "index", RUTGERS)
MN_PER_PPM = Figure(3.75, "index/ppm", RUTGERS)
MN_PER_PH = Figure(15.2, "index/pH", RUTGERS)
MN_CRITICAL = Figure(25.0, "index", RUTGERS)
FIV_TOP = Figure(100.0, "index", DELAWARE_FIV)

MANGANESE_INDEX = (
    Input("mn_ppm", unit="ppm", low=0.0, high=2000.0, example="10"),
    Input("ph", unit="pH", low=3.0, high=10.0, example="6.5"),
)
SOIL_LEVEL = (
    Input("lab", "choice", choices=tuple(LABS), example="rutgers"),
    Input("nutrient", "choice", choices=NUTRIENTS, example="K"),
    Input("value", low=0.0, high=100_000.0, example="120"),
    Input("unit", "choice", choices=("ppm", "lb_per_ac"), example="ppm"),
)
FERTILITY_INDEX = (
    Input("nutrient", "choice", choices=tuple(LABS["delaware"]), example="K"),
    Input("ppm", unit="ppm", low=0.0, high=50_000.0, example="120"),
)
OXIDE = (
    Input("p_lb", unit="lb", low=0.0, high=1_000_000.0, optional=True, example="40"),
    Input("k_lb", unit="lb", low=0.0, high=1_000_000.0, optional=True, example="152"),
)


@dataclass(frozen=True, slots=True)
class ManganeseIndex:
    """Rutgers' manganese index, and whether it is under the critical 25."""

    index: float
    deficient: bool


@dataclass(frozen=True, slots=True)
class SoilLevel:
    """The lab's own level, and its optimum range in the unit that the value was given in."""

    level: str
    optimum_from: float
    optimum_to: float


@dataclass(frozen=True, slots=True)
class FertilityIndex:
    """Delaware's fertility index: 50 where medium ends, 100 where optimum ends, and on from there."""

    index: float


@dataclass(frozen=True, slots=True)
class Oxide:
    """The same nutrients written as a fertilizer bag does, lb; None for the one that was not given."""

    p2o5_lb: float | None
    k2o_lb: float | None


def manganese_index(mn_ppm: float, ph: float) -> ManganeseIndex:
    """MnAI = 101.7 + 3.75 Mn - 15.2 pH, Mehlich 3; under 25 is deficient. Source: Rutgers."""
    mn, acidity = checked(MANGANESE_INDEX, locals()).values()
    index = MN_INTERCEPT.value + MN_PER_PPM.value * mn - MN_PER_PH.value * acidity
    return ManganeseIndex(index, index < MN_CRITICAL.value)


def soil_level(lab: str, nutrient: str, value: float, unit: str) -> SoilLevel:
    """The level that ``lab`` itself gives ``value``: its threshold is the next printed lower bound (R14).

    Rutgers prints P, K, Mg and Ca in lb an acre and the trace elements in ppm, Delaware prints ppm; 1 ppm is
    2 lb in a furrow slice. Raises ``OutOfRange`` for a nutrient that the lab doesn't grade.
    """
    at, which, amount, given = checked(SOIL_LEVEL, locals()).values()
    if which not in LABS[at]:
        raise OutOfRange("nutrient", which, f"at {at}, one of " + ", ".join(LABS[at]))
    levels = LABS[at][which]
    ratio = 1.0
    if given != levels.unit:
        ratio = LB_PER_ACRE_PER_PPM.value if given == "ppm" else 1.0 / LB_PER_ACRE_PER_PPM.value
    low, high = levels.optimum
    return SoilLevel(levels.level(amount * ratio), low / ratio, high / ratio)


def fertility_index(nutrient: str, ppm: float) -> FertilityIndex:
    """Delaware's index: 100 at the top of its optimum, in proportion below and above (derived)."""
    which, amount = checked(FERTILITY_INDEX, locals()).values()
    return FertilityIndex(FIV_TOP.value * amount / LABS["delaware"][which].most.value)


def oxide(p_lb: float | None = None, k_lb: float | None = None) -> Oxide:
    """Phosphorus as P2O5 (x 2.2914) and potassium as K2O (x 1.2046). Raises ``MissingInput`` for neither."""
    p, k = checked(OXIDE, locals()).values()
    if p is None and k is None:
        raise MissingInput("p_lb", None, f"{OXIDE[0].allowed()}, or k_lb")
    return Oxide(None if p is None else p * P2O5_PER_P.value, None if k is None else k * K2O_PER_K.value)


COMPUTATIONS: tuple[Computation, ...] = (
    Computation(
        "manganese_index",
        manganese_index,
        MANGANESE_INDEX,
        {},
        "index = 101.7 + 3.75 x mn_ppm - 15.2 x ph; deficient under 25",
        cite(RUTGERS),
        "reckoner.caution.same_lab",
    ),
    Computation(
        "soil_level",
        soil_level,
        SOIL_LEVEL,
        {},
        "the lab's table; a level holds until the next printed lower bound; 1 ppm = 2 lb/ac",
        cite(RUTGERS, DELAWARE, FURROW_SLICE),
        "reckoner.caution.same_lab",
    ),
    Computation(
        "fertility_index",
        fertility_index,
        FERTILITY_INDEX,
        {},
        "index = 100 x ppm / top of the optimum (P 100, K 280, Mg 220, Ca 1,800 ppm)",
        cite(DELAWARE, DELAWARE_FIV),
        "reckoner.caution.same_lab",
    ),
    Computation(
        "oxide",
        oxide,
        OXIDE,
        {"p2o5_lb": "lb", "k2o_lb": "lb"},
        "p2o5_lb = p_lb x 2.2914; k2o_lb = k_lb x 1.2046",
        cite(ATOMIC),
    ),
)
