"""Heat units of a day by four rules, their sum under one rule, and soil temperature from the air's.

Sums made under different rules are different quantities: a sorghum table with the cap at 86 F can't be read
with units capped at 100 F. So a sum carries its rule, and two rules are never added or compared.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal, get_args

from shared.errors import OutOfRange
from shared.reckoning.computation import Computation, Input, checked, cite
from shared.units import Figure, Source

Method = Literal["simple", "clamped", "sine", "sine_cut"]
METHODS: tuple[Method, ...] = get_args(Method)

KSTATE_661 = Source("kstate_661", "K-State Agronomy eUpdate 661, sorghum growth by heat units", None, "read")
BASKERVILLE = Source(
    "baskerville_emin", "Baskerville & Emin 1969, single sine, as in public R code", 1969, "read"
)
RUNNING_MEAN = Source(
    "soil_running_mean", "5 to 7 day mean of the air, for bare soil at 4 in", None, "memory"
)

BASE_F = Figure(50.0, "F", KSTATE_661)
CAP_F = Figure(86.0, "F", KSTATE_661)
SHORT_MEAN = Figure(5.0, "days", RUNNING_MEAN)
LONG_MEAN = Figure(7.0, "days", RUNNING_MEAN)

HEAT_UNITS = (
    Input("max_f", unit="F", low=-60.0, high=140.0, example="90"),
    Input("min_f", unit="F", low=-60.0, high=140.0, example="60"),
    Input("method", "choice", choices=METHODS, example="clamped"),
    Input("base_f", unit="F", low=-40.0, high=120.0, optional=True, default=50.0, example="50"),
    Input("cap_f", unit="F", low=-40.0, high=140.0, optional=True, default=86.0, example="86"),
)
SOIL_TEMPERATURE = (
    Input(
        "means_f",
        "numbers",
        unit="F",
        low=-60.0,
        high=120.0,
        least=7,
        most=400,
        example="58,60,63,61,64,66,67",
    ),
)


@dataclass(frozen=True, slots=True)
class HeatUnits:
    """``units``: degree-days (F) of one day, zero or more."""

    units: float


@dataclass(frozen=True, slots=True)
class SoilTemperature:
    """``low_f`` and ``high_f``: the 4-in soil of bare ground lies about between these, in F."""

    low_f: float
    high_f: float


def heat_units(
    max_f: float, min_f: float, method: Method, base_f: float = BASE_F.value, cap_f: float = CAP_F.value
) -> HeatUnits:
    """The heat units of a day with highest ``max_f`` and lowest ``min_f``.

    ``simple`` and ``sine`` have no cap. ``clamped`` sets both temperatures within base and cap before taking
    the mean (K-State). ``sine`` is the area of a sine day above the base (Baskerville & Emin 1969), and
    ``sine_cut`` takes off what lies above the cap. The arithmetic holds in Celsius too, all four in Celsius.
    Raises ``OutOfRange`` if the lowest is above the highest, or the cap is not above the base.
    """
    given = checked(
        HEAT_UNITS, {"max_f": max_f, "min_f": min_f, "method": method, "base_f": base_f, "cap_f": cap_f}
    )
    max_f, min_f, base_f, cap_f = (given[name] for name in ("max_f", "min_f", "base_f", "cap_f"))
    if min_f > max_f:
        raise OutOfRange("min_f", min_f, f"a number up to max_f, {max_f:g} F")
    if method in ("clamped", "sine_cut") and cap_f <= base_f:
        raise OutOfRange("cap_f", cap_f, f"a number above base_f, {base_f:g} F")
    match method:
        case "simple":
            units = max(0.0, (max_f + min_f) / 2 - base_f)
        case "clamped":
            units = (_within(max_f, base_f, cap_f) + _within(min_f, base_f, cap_f)) / 2 - base_f
        case "sine":
            units = sine_above(max_f, min_f, base_f)
        case "sine_cut":
            units = max(0.0, sine_above(max_f, min_f, base_f) - sine_above(max_f, min_f, cap_f))
    return HeatUnits(units)


def _within(value: float, low: float, high: float) -> float:
    return min(max(value, low), high)


def sine_above(max_f: float, min_f: float, threshold_f: float) -> float:
    """The mean height above ``threshold_f`` of a day that runs as a sine between its two temperatures.

    The arcsine is of half-sum and half-range in radians; a version in circulation leaves the half out and
    converts the ratio to radians, which is wrong.
    """
    mean, swing = (max_f + min_f) / 2, (max_f - min_f) / 2
    if min_f >= threshold_f:
        return mean - threshold_f
    if max_f <= threshold_f:
        return 0.0
    theta = math.asin(_within((threshold_f - mean) / swing, -1.0, 1.0))
    return max(0.0, ((mean - threshold_f) * (math.pi / 2 - theta) + swing * math.cos(theta)) / math.pi)


@dataclass(frozen=True, slots=True)
class HeatRule:
    """What makes two sums of heat units the same kind: method, base, cap (None without one), and the event
    they start from (*planting*, *emergence*)."""

    method: Method
    base_f: float
    cap_f: float | None
    start: str

    def day(self, max_f: float, min_f: float) -> float:
        """The heat units of one day under this rule."""
        if self.cap_f is None:
            return heat_units(max_f, min_f, self.method, self.base_f).units
        return heat_units(max_f, min_f, self.method, self.base_f, self.cap_f).units


@dataclass(frozen=True, slots=True)
class HeatSum:
    """Heat units gathered since the rule's start event on ``since``."""

    rule: HeatRule
    since: date
    units: float

    def ahead_of(self, other: HeatSum) -> float:
        """How many units more than ``other``. Raises ``OutOfRange`` if the rules differ in any part."""
        if self.rule != other.rule:
            raise OutOfRange("rule", other.rule, f"the same method, base, cap and start event: {self.rule}")
        return self.units - other.units


def heat_sum(rule: HeatRule, since: date, days: Iterable[tuple[date, float, float]]) -> HeatSum:
    """The sum under ``rule`` of ``(day, max_f, min_f)`` from ``since`` on, in any order, each day once.

    Raises ``OutOfRange`` for a day that comes twice with other temperatures. Missing days are not guessed.
    """
    known: dict[date, tuple[float, float]] = {}
    for day, max_f, min_f in days:
        if known.setdefault(day, (max_f, min_f)) != (max_f, min_f):
            raise OutOfRange("days", day.isoformat(), "each day once")
    return HeatSum(rule, since, math.fsum(rule.day(*known[day]) for day in sorted(known) if day >= since))


def soil_temperature(means_f: Sequence[float]) -> SoilTemperature:
    """About how warm bare soil is at 4 in: the means of the last five to seven days' air, lowest and highest.

    ``means_f`` are daily means in order of days, seven or more. From memory, unconfirmed; blind to snow,
    cover and wetness. A probe in the ground beats it.
    """
    days = checked(SOIL_TEMPERATURE, {"means_f": means_f})["means_f"]
    spans = range(int(SHORT_MEAN.value), int(LONG_MEAN.value) + 1)
    means = [math.fsum(days[-span:]) / span for span in spans]
    return SoilTemperature(min(means), max(means))


COMPUTATIONS: tuple[Computation, ...] = (
    Computation(
        "heat_units",
        heat_units,
        HEAT_UNITS,
        {"units": "F days"},
        "simple: (max + min)/2 - base, not below 0; clamped: both first set within base and cap; "
        "sine: area of a sine day above base; sine_cut: less its area above cap",
        cite(KSTATE_661, BASKERVILLE),
        "reckoner.caution.heat_rules",
    ),
    Computation(
        "soil_temperature",
        soil_temperature,
        SOIL_TEMPERATURE,
        {"low_f": "F", "high_f": "F"},
        "lowest and highest of the means of the last 5, 6 and 7 days' air",
        cite(RUNNING_MEAN),
        "reckoner.caution.probe_soil",
    ),
)
