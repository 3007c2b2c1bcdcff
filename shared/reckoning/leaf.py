"""Leaf yards, leaf depth, and the room that a field still has under its rule sheet.

Yards on the truck are not yards on the ground. Until a farm has measured its factor, depth by volume is
"truck yards, not ground depth". A cap is a rule; the farm's own target depth is another number.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from shared.errors import OutOfRange
from shared.reckoning.computation import HOUSE, Computation, Input, checked, cite
from shared.reckoning.figures import LEAF_PRACTICE, NJ_LEAF_SHEET, STUDENT_T
from shared.reckoning.intervals import mean, mean_interval
from shared.units import FT2_PER_ACRE, GEOMETRY, INCH_FT2_PER_YD3, Figure

LEAST_COVERED_IN = Figure(0.5, "in", LEAF_PRACTICE)
"""A stop with less than this is bare ground."""
FEWEST_STOPS = Figure(10, "stops", LEAF_PRACTICE)
"""A verdict on depth takes at least this many stops on covered ground."""
LEAST_SPREAD_FT2 = Figure(1.0, "ft2", HOUSE)
FLOAT_SLACK = Figure(1e-9, "share", HOUSE)
"""What rounding in binary arithmetic may cost a count that should come out whole."""

AREA_AC = Input("area_ac", unit="ac", low=0.001, high=10_000.0, example="4.2")
YARDS_YD3 = Input("yards_yd3", unit="yd3", low=0.0, high=1_000_000.0, example="3100")
UNSPREAD_FT2 = Input(
    "unspread_ft2", unit="ft2", low=0.0, high=435_600_000.0, optional=True, default=0.0, example="0"
)
CAP_IN = Input("cap_in", unit="in", low=0.1, high=60.0, example="6")
DEPTHS_IN = Input("depths_in", "numbers", unit="in", low=0.0, high=60.0, example="4,5,5,6,6,6,6,6.4,7,5")

LEAF_VOLUME = (AREA_AC, Input("depth_in", unit="in", low=0.0, high=60.0, example="6"))
LEAF_DEPTH = (YARDS_YD3, AREA_AC, UNSPREAD_FT2)
LEAF_ROOM = (
    AREA_AC,
    CAP_IN,
    Input("placed_yd3", unit="yd3", low=0.0, high=1_000_000.0, optional=True, default=0.0, example="2000"),
    UNSPREAD_FT2,
    Input("load_yd3", unit="yd3", low=0.1, high=200.0, optional=True, example="20"),
    Input(
        "factor",
        unit="ground yd3/truck yd3",
        low=0.01,
        high=10.0,
        optional=True,
        default=1.0,
        example="1.0",
    ),
)
TRUCK_FACTOR = (
    Input("truck_yd3", unit="yd3", low=0.1, high=1_000_000.0, example="2000"),
    Input("depths_in", "numbers", unit="in", low=0.0, high=60.0, least=2, example="3.1,2.8,3.4,3.0"),
    Input("covered_ft2", unit="ft2", low=1.0, high=435_600_000.0, example="174240"),
)
DEPTH_VERDICT = (
    DEPTHS_IN,
    CAP_IN,
    Input("settled", "flag", optional=True, default=False, example="false"),
)
COVERED = (
    DEPTHS_IN,
    Input(
        "least_in",
        unit="in",
        low=0.0,
        high=60.0,
        optional=True,
        default=LEAST_COVERED_IN.value,
        example="0.5",
    ),
)


@dataclass(frozen=True, slots=True)
class LeafVolume:
    yards_yd3: float


@dataclass(frozen=True, slots=True)
class LeafDepth:
    depth_in: float


@dataclass(frozen=True, slots=True)
class LeafRoom:
    room_yd3: float
    whole_loads: int | None
    """None where no load size was given."""
    over_by_yd3: float
    depth_in: float


@dataclass(frozen=True, slots=True)
class TruckFactor:
    factor: float
    low_factor: float
    high_factor: float


Verdict = Literal["over", "within", "cannot_say"]


@dataclass(frozen=True, slots=True)
class DepthVerdict:
    mean_in: float | None
    low_in: float | None
    high_in: float | None
    verdict: Verdict
    spots: int


@dataclass(frozen=True, slots=True)
class Covered:
    covered_pct: float
    mean_covered_in: float | None
    """None where no stop is covered."""
    mean_in: float


def _spread_ft2(area_ac: float, unspread_ft2: float) -> float:
    whole = area_ac * FT2_PER_ACRE.value
    spread = whole - unspread_ft2
    if spread < LEAST_SPREAD_FT2.value:
        raise OutOfRange("unspread_ft2", unspread_ft2, f"less than the {whole:g} ft2 of area_ac")
    return spread


def leaf_volume(area_ac: float, depth_in: float) -> LeafVolume:
    """Cubic yards in place that cover ``area_ac`` acres (0.001 to 10,000) ``depth_in`` inches deep (0 to
    60). Six inches on an acre is 806.67, published as about 800 (nj_leaf_sheet). Raises InputError."""
    area, depth = checked(LEAF_VOLUME, locals()).values()
    return LeafVolume(area * FT2_PER_ACRE.value * depth / INCH_FT2_PER_YD3.value)


def leaf_depth(yards_yd3: float, area_ac: float, unspread_ft2: float = 0.0) -> LeafDepth:
    """Mean depth in inches of ``yards_yd3`` over the acres less what was left bare. Raises InputError, also
    where as much was left bare as there is."""
    yards, area, unspread = checked(LEAF_DEPTH, locals()).values()
    return LeafDepth(yards * INCH_FT2_PER_YD3.value / _spread_ft2(area, unspread))


def room(
    area_ac: float,
    cap_in: float,
    placed_yd3: float = 0.0,
    unspread_ft2: float = 0.0,
    load_yd3: float | None = None,
    factor: float = 1.0,
) -> LeafRoom:
    """Yards that still fit under the cap, in whole loads too, and by how much the cap is passed already.

    ``factor`` is ground yards a truck yard; with it the placed yards and the answer are truck yards, while
    ``depth_in`` is what the placed ones make on the ground. Raises InputError."""
    area, cap, placed, unspread, load, ratio = checked(LEAF_ROOM, locals()).values()
    ground_ft2 = _spread_ft2(area, unspread)
    takes = cap * ground_ft2 / INCH_FT2_PER_YD3.value / ratio
    left = max(0.0, takes - placed)
    loads = None if load is None else math.floor(left / load * (1.0 + FLOAT_SLACK.value))
    depth = placed * ratio * INCH_FT2_PER_YD3.value / ground_ft2
    return LeafRoom(left, loads, max(0.0, placed - takes), depth)


def stacked(layers: Iterable[tuple[str, float, float]]) -> Mapping[str, float]:
    """Depth in inches by part of a field. ``layers`` are (part, yards in place, acres covered), in any order:
    what lies on the same part adds up (R3), each pass at its own depth. Raises InputError."""
    depths: dict[str, list[float]] = {}
    for part, yards, area in layers:
        depths.setdefault(part, []).append(leaf_depth(yards, area).depth_in)
    return {part: math.fsum(each) for part, each in sorted(depths.items())}


def truck_factor(truck_yd3: float, depths_in: Sequence[float], covered_ft2: float) -> TruckFactor:
    """Ground yards a truck yard (R2), from the yards hauled, fresh depths in inches (2 or more) and the
    square feet they cover, with the 90 % t interval of the mean depth; the low end is never under 0.
    Raises InputError."""
    hauled, depths, ground_ft2 = checked(TRUCK_FACTOR, locals()).values()
    ratio = ground_ft2 / INCH_FT2_PER_YD3.value / hauled
    depth = mean_interval(depths)
    return TruckFactor(depth.mean * ratio, max(0.0, depth.low) * ratio, depth.high * ratio)


def depth_verdict(depths_in: Sequence[float], cap_in: float, settled: bool = False) -> DepthVerdict:
    """Whether a layer is over a cap, by the stops on covered ground (0.5 in or more) and their 90 % t interval.

    *over* where its low end is above the cap, *within* where its high end is at or under it, else
    *cannot_say*; with fewer than ten such stops always *cannot_say* (R1). A layer that was rained on or is
    48 h old (``settled``) can be over but never within (R7). ``spots`` counts stops over the cap: never a
    verdict. The mean is None without a covered stop, the interval with fewer than two. Raises InputError."""
    depths, cap, is_settled = checked(DEPTH_VERDICT, locals()).values()
    on_leaves = [depth for depth in depths if depth >= LEAST_COVERED_IN.value]
    spots = sum(depth > cap for depth in on_leaves)
    if len(on_leaves) < 2:
        return DepthVerdict(on_leaves[0] if on_leaves else None, None, None, "cannot_say", spots)
    found = mean_interval(on_leaves)
    verdict: Verdict = "cannot_say"
    if len(on_leaves) >= FEWEST_STOPS.value:
        if found.low > cap:
            verdict = "over"
        elif found.high <= cap and not is_settled:
            verdict = "within"
    return DepthVerdict(found.mean, found.low, found.high, verdict, spots)


def covered(depths_in: Sequence[float], least_in: float = LEAST_COVERED_IN.value) -> Covered:
    """Three figures that are never one (R6): the share of stops that are covered, in percent, the mean depth
    in inches on those, and the mean over all. Raises InputError."""
    depths, least = checked(COVERED, locals()).values()
    on_leaves = [depth for depth in depths if depth >= least]
    share = 100.0 * len(on_leaves) / len(depths)
    return Covered(share, mean(on_leaves) if on_leaves else None, mean(depths))


COMPUTATIONS: tuple[Computation, ...] = (
    Computation(
        "leaf_volume",
        leaf_volume,
        LEAF_VOLUME,
        {"yards_yd3": "yd3"},
        "yards_yd3 = area_ac x 43,560 x depth_in / 324",
        cite(GEOMETRY, NJ_LEAF_SHEET),
    ),
    Computation(
        "leaf_depth",
        leaf_depth,
        LEAF_DEPTH,
        {"depth_in": "in"},
        "depth_in = yards_yd3 x 324 / (area_ac x 43,560 - unspread_ft2)",
        cite(GEOMETRY, NJ_LEAF_SHEET),
        "reckoner.caution.truck_yards",
    ),
    Computation(
        "leaf_room",
        room,
        LEAF_ROOM,
        {"room_yd3": "yd3", "whole_loads": "loads", "over_by_yd3": "yd3", "depth_in": "in"},
        "room_yd3 = cap_in x (area_ac x 43,560 - unspread_ft2) / 324 / factor - placed_yd3",
        cite(GEOMETRY, NJ_LEAF_SHEET),
        "reckoner.caution.truck_yards",
    ),
    Computation(
        "truck_factor",
        truck_factor,
        TRUCK_FACTOR,
        {"factor": "ground yd3/truck yd3", "low_factor": "", "high_factor": ""},
        "factor = mean(depths_in) x covered_ft2 / 324 / truck_yd3; 90 % t interval of the mean depth",
        cite(GEOMETRY, STUDENT_T),
    ),
    Computation(
        "depth_verdict",
        depth_verdict,
        DEPTH_VERDICT,
        {"mean_in": "in", "low_in": "in", "high_in": "in", "spots": "stops"},
        "mean of the covered stops and its 90 % t interval, against cap_in; ten stops or more",
        cite(STUDENT_T, LEAF_PRACTICE),
        "reckoner.caution.authority",
    ),
    Computation(
        "covered",
        covered,
        COVERED,
        {"covered_pct": "%", "mean_covered_in": "in", "mean_in": "in"},
        "covered_pct = 100 x stops of least_in or more / all stops",
        cite(LEAF_PRACTICE),
    ),
)
