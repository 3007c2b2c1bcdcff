"""Heat units against published rows, against numerical integration of the sine day, and their properties."""

from __future__ import annotations

import math
from datetime import date
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from shared.errors import InputError, OutOfRange
from shared.reckoning.heat import (
    METHODS,
    HeatRule,
    heat_sum,
    heat_units,
    sine_above,
    soil_temperature,
)

TEMPERATURE = st.floats(-60.0, 140.0)

# Max, min; simple, clamped at 50/86, clamped at 50/100, sine above 50, sine cut at 86.
# Formulas: K-State eUpdate 661 (clamped), Baskerville & Emin 1969 (sine).
ROWS = [
    (90, 60, 25.0, 23.0, 25.0, 25.0, 24.3715),
    (75, 40, 7.5, 12.5, 12.5, 9.8403, 9.8403),
    (60, 38, 0.0, 5.0, 5.0, 3.0159, 3.0159),
    (48, 30, 0.0, 0.0, 0.0, 0.0, 0.0),
]


@pytest.mark.parametrize(("high", "low", "simple", "clamped", "wide", "sine", "cut"), ROWS)
def test_a_day_gives_the_units_that_the_rules_print(high, low, simple, clamped, wide, sine, cut):
    assert heat_units(high, low, "simple").units == pytest.approx(simple, abs=1e-3)
    assert heat_units(high, low, "clamped").units == pytest.approx(clamped, abs=1e-3)
    assert heat_units(high, low, "clamped", cap_f=100.0).units == pytest.approx(wide, abs=1e-3)
    assert heat_units(high, low, "sine").units == pytest.approx(sine, abs=1e-3)
    assert heat_units(high, low, "sine_cut").units == pytest.approx(cut, abs=1e-3)


# Met Eireann's five days at base 10 C (met.ie/climate/data03.asp), here by the sine in Celsius.
@pytest.mark.parametrize(
    ("high", "low", "units"), [(20, 12, 6.0), (20, 6, 3.9361), (14, 2, 1.0170), (12, 10, 1.0), (8, 2, 0.0)]
)
def test_the_sine_holds_in_celsius_too(high, low, units):
    assert heat_units(high, low, "sine", base_f=10.0).units == pytest.approx(units, abs=1e-3)


@given(TEMPERATURE, TEMPERATURE, st.floats(0.0, 100.0))
def test_the_sine_is_the_area_that_integration_finds(one, other, base):
    high, low = max(one, other), min(one, other)
    mean, swing = (high + low) / 2, (high - low) / 2

    def above(angle: float) -> float:
        return max(0.0, mean + swing * math.sin(angle) - base) / math.pi

    # The day is symmetrical: half of it, cut where the curve crosses the base.
    ends = [-math.pi / 2, math.pi / 2]
    if swing > 0 and abs(base - mean) < swing:
        ends.insert(1, math.asin((base - mean) / swing))
    area = sum(quad(above, a, b, epsabs=1e-10)[0] for a, b in pairwise(ends))
    assert sine_above(high, low, base) == pytest.approx(area, abs=1e-7)


@given(TEMPERATURE, TEMPERATURE, st.sampled_from(METHODS), st.floats(0.0, 20.0))
def test_a_warmer_day_never_gives_fewer_units(one, other, method, warmer):
    high, low = max(one, other), min(one, other)
    hotter = min(140.0, high + warmer)
    assert heat_units(hotter, low, method).units >= heat_units(high, low, method).units - 1e-9


@given(TEMPERATURE, TEMPERATURE)
def test_units_are_never_below_nought_and_a_cap_never_adds(one, other):
    high, low = max(one, other), min(one, other)
    units = {method: heat_units(high, low, method).units for method in METHODS}
    assert min(units.values()) >= 0.0
    assert units["sine_cut"] <= units["sine"] + 1e-9
    assert units["clamped"] <= 36.0
    assert units["simple"] <= units["sine"] + 1e-9


@pytest.mark.parametrize(
    ("wrong", "name"),
    [
        ({"max_f": 50.0, "min_f": 60.0}, "min_f"),
        ({"max_f": math.nan}, "max_f"),
        ({"max_f": math.inf}, "max_f"),
        ({"cap_f": 50.0, "method": "clamped"}, "cap_f"),
        ({"cap_f": 40.0, "method": "sine_cut"}, "cap_f"),
        ({"method": "triangle"}, "method"),
        ({"base_f": 500.0}, "base_f"),
    ],
)
def test_a_day_that_can_not_be_is_refused_by_name(wrong, name):
    day = {"max_f": 90.0, "min_f": 60.0, "method": "sine"} | wrong
    with pytest.raises(InputError) as caught:
        heat_units(**day)
    assert caught.value.name == name


FROM_PLANTING = HeatRule("clamped", 50.0, 100.0, "planting")
DAYS = [(date(2025, 6, day), 90.0, 60.0) for day in range(1, 11)]


def test_a_sum_counts_from_its_start_event_in_any_order():
    found = heat_sum(FROM_PLANTING, date(2025, 6, 3), reversed(DAYS))
    assert found.units == 8 * 25.0
    assert heat_sum(FROM_PLANTING, date(2025, 6, 3), [*DAYS, *DAYS]) == found


def test_one_day_with_two_temperatures_is_refused():
    with pytest.raises(OutOfRange, match="2025-06-01"):
        heat_sum(FROM_PLANTING, date(2025, 6, 1), [*DAYS, (date(2025, 6, 1), 91.0, 60.0)])


@pytest.mark.parametrize(
    "other",
    [
        HeatRule("clamped", 50.0, 86.0, "planting"),
        HeatRule("clamped", 50.0, 100.0, "emergence"),
        HeatRule("sine", 50.0, None, "planting"),
        HeatRule("clamped", 40.0, 100.0, "planting"),
    ],
)
def test_sums_under_different_rules_are_never_compared(other):
    ours = heat_sum(FROM_PLANTING, date(2025, 6, 1), DAYS)
    assert ours.ahead_of(heat_sum(FROM_PLANTING, date(2025, 6, 9), DAYS)) == 200.0
    with pytest.raises(OutOfRange):
        ours.ahead_of(heat_sum(other, date(2025, 6, 1), DAYS))


def test_soil_temperature_lies_between_the_five_and_seven_day_means_of_the_air():
    # Rising days, so that the shortest mean is the warmest: 5 days 64, 6 days 63, 7 days 62.
    found = soil_temperature([30.0, 56.0, 58.0, 60.0, 62.0, 64.0, 66.0, 68.0])
    assert (found.low_f, found.high_f) == (62.0, 64.0)
    with pytest.raises(OutOfRange):
        soil_temperature([60.0] * 6)
