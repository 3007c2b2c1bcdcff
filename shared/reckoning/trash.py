"""Trash in a load, by weight or by volume. The two are never compared with each other's limit."""

from __future__ import annotations

import math
from dataclasses import dataclass

from shared.errors import OutOfRange
from shared.reckoning.computation import Computation, Input, checked, cite
from shared.reckoning.figures import CALIFORNIA_LOADS, WASHINGTON_INTAKE
from shared.units import GAL_PER_YD3, Figure

WEIGHT_LIMIT_PCT = Figure(1.0, "% of weight", CALIFORNIA_LOADS)
VOLUME_LIMIT_PCT = Figure(5.0, "% of volume", WASHINGTON_INTAKE)
LOOKED_AT_PCT = Figure(1.0, "% of a day's volume, and one truck at least", CALIFORNIA_LOADS)

LIMIT_WEIGHT = Input(
    "limit_pct", unit="%", low=0.0, high=100.0, optional=True, default=WEIGHT_LIMIT_PCT.value, example="1.0"
)
LIMIT_VOLUME = Input(
    "limit_pct", unit="%", low=0.0, high=100.0, optional=True, default=VOLUME_LIMIT_PCT.value, example="5.0"
)
TRASH_WEIGHED = (
    Input("sample_lb", unit="lb", low=0.01, high=200_000.0, example="200"),
    Input("trash_lb", unit="lb", low=0.0, high=200_000.0, example="1.5"),
    LIMIT_WEIGHT,
)
TRASH_BY_VOLUME = (
    Input("yards_yd3", unit="yd3", low=0.1, high=1_000_000.0, example="20"),
    Input("trash_gal", unit="gal", low=0.0, high=1_000_000.0, example="15"),
    LIMIT_VOLUME,
)
LOAD_CHECKS = (
    Input("trucks", "count", unit="trucks", low=0, high=10_000, example="30"),
    Input("yards_each_yd3", unit="yd3", low=0.1, high=200.0, example="20"),
)


@dataclass(frozen=True, slots=True)
class Trash:
    trash_pct: float
    over: bool


@dataclass(frozen=True, slots=True)
class LoadChecks:
    trucks_to_check: int


def trash_weighed(sample_lb: float, trash_lb: float, limit_pct: float = WEIGHT_LIMIT_PCT.value) -> Trash:
    """Trash as a share of a weighed sample's weight as received, in percent, and whether that is over the
    limit (strictly; 1 % in California's load check). Raises InputError, also for more trash than sample."""
    sample, trash, limit = checked(TRASH_WEIGHED, locals()).values()
    if trash > sample:
        raise OutOfRange("trash_lb", trash_lb, f"a number from 0 to the sample's {sample:g} lb")
    share = 100.0 * trash / sample
    return Trash(share, share > limit)


def trash_by_volume(yards_yd3: float, trash_gal: float, limit_pct: float = VOLUME_LIMIT_PCT.value) -> Trash:
    """Trash as a share of a load's volume, in percent (a yard is 201.97 gal), and whether that is over the
    limit (strictly; Washington proposed 5 %). Raises InputError, also for more trash than load."""
    yards, trash, limit = checked(TRASH_BY_VOLUME, locals()).values()
    load_gal = yards * GAL_PER_YD3.value
    if trash > load_gal:
        raise OutOfRange("trash_gal", trash_gal, f"a number from 0 to the load's {load_gal:g} gal")
    share = 100.0 * trash / load_gal
    return Trash(share, share > limit)


def load_checks(trucks: int, yards_each_yd3: float) -> LoadChecks:
    """Trucks to look through in a day: one in a hundred by volume, and at least one where any came (14 CCR
    17868.5). With loads all alike the volume falls out. Raises InputError."""
    came, _ = checked(LOAD_CHECKS, locals()).values()
    return LoadChecks(math.ceil(came * LOOKED_AT_PCT.value / 100.0))


COMPUTATIONS: tuple[Computation, ...] = (
    Computation(
        "trash_weighed",
        trash_weighed,
        TRASH_WEIGHED,
        {"trash_pct": "% of weight"},
        "trash_pct = 100 x trash_lb / sample_lb; over where above limit_pct",
        cite(CALIFORNIA_LOADS),
        "reckoner.caution.sharps",
    ),
    Computation(
        "trash_by_volume",
        trash_by_volume,
        TRASH_BY_VOLUME,
        {"trash_pct": "% of volume"},
        "trash_pct = 100 x trash_gal / (yards_yd3 x 201.974); over where above limit_pct",
        cite(WASHINGTON_INTAKE),
        "reckoner.caution.sharps",
    ),
    Computation(
        "load_checks",
        load_checks,
        LOAD_CHECKS,
        {"trucks_to_check": "trucks"},
        "the greater of 1 % of the day's volume and one truck, in whole trucks",
        cite(CALIFORNIA_LOADS),
        "reckoner.caution.sharps",
    ),
)
