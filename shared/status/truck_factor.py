"""What a truck yard makes on the ground, as the farm has measured it (R2): loads against fresh depth times the ground
that is covered.

A round counts where it can be read so and not otherwise: all of its stops fresh (what rain or two days have settled
would make the factor too small), ten or more of them on leaves, and all that lies there sent to the field as a whole.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from uuid import UUID

from shared.errors import InputError
from shared.reckoning.leaf import FEWEST_STOPS, LEAST_COVERED_IN, truck_factor
from shared.status.field_status import FieldStatus
from shared.status.holding import Holding
from shared.status.rounds import DepthRound
from shared.units import FT2_PER_ACRE

NONE = Decimal(0)


@dataclass(frozen=True, slots=True)
class MeasuredFactor:
    """Ground yards a truck yard by one round, with the 90 % interval of its mean depth; from how many stops on
    leaves and how many truck yards, all that came after ``since``. ``town`` where the field ever had leaves of one
    only, else None."""

    field: UUID
    on: date
    stops: int
    truck_yd3: Decimal
    factor: float
    low: float
    high: float
    town: UUID | None
    since: date = date.min


def measured_factor(status: FieldStatus, land: Holding) -> MeasuredFactor | None:
    """The factor by the field's last depth round that can be read so, None where there is none."""
    return next(measured_factors(status, land), None)


def measured_factors(status: FieldStatus, land: Holding) -> Iterator[MeasuredFactor]:
    """The factor by each of the field's depth rounds that can be read so, the last first."""
    rounds = sorted(status.leaf_depth, key=lambda one: one.on, reverse=True)
    return (found for one in rounds if (found := _by_round(status, land, one)) is not None)


def newest(measured: Iterable[MeasuredFactor | None]) -> MeasuredFactor | None:
    """The farm's own factor: the one measured last; of one day the one with the most stops."""
    known = [one for one in measured if one is not None]
    return max(known, key=lambda one: (one.on, one.stops, str(one.field)), default=None)


def _by_round(status: FieldStatus, land: Holding, walked: DepthRound) -> MeasuredFactor | None:
    depths = [one for one in walked.fresh_in if one >= LEAST_COVERED_IN.value]
    if walked.settled_in or len(depths) < FEWEST_STOPS.value or not land.spreadable_ac:
        return None
    since = max((one.on for one in status.worked if one.on <= walked.on), default=date.min)
    lying = [one for one in status.laid if since < one.since <= walked.on]
    yards = sum((one.yards_yd3 for one in lying), NONE)
    if yards <= 0 or any(one.part is not None or one.area_ac is not None for one in lying):
        return None
    covered_ft2 = land.spreadable_ac * FT2_PER_ACRE.value * walked.covered_pct / 100
    try:
        found = truck_factor(float(yards), depths, covered_ft2)
    except InputError:
        return None
    town = status.towns[0].town if len(status.towns) == 1 else None
    return MeasuredFactor(
        land.field,
        walked.on,
        len(depths),
        yards,
        found.factor,
        found.low_factor,
        found.high_factor,
        town,
        since,
    )
