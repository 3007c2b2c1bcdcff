"""Every conversion factor against pint. Its ``acre`` is the survey acre; ours is the international one."""

from __future__ import annotations

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared import units
from shared.units import Figure

PINT = pint.UnitRegistry()


@pytest.mark.parametrize(
    ("figure", "one", "other"),
    [
        (units.M2_PER_HECTARE, "hectare", "meter**2"),
        (units.M_PER_FT, "foot", "meter"),
        (units.IN_PER_FT, "foot", "inch"),
        (units.CM_PER_IN, "inch", "centimeter"),
        (units.FT3_PER_YD3, "yard**3", "foot**3"),
        (units.LB_PER_TON, "short_ton", "pound"),
        (units.KG_PER_LB, "pound", "kilogram"),
        (units.PA_PER_PSI, "psi", "pascal"),
        (units.GAL_PER_YD3, "yard**3", "gallon"),
        (units.INCH_FT2_PER_YD3, "yard**3", "inch * foot**2"),
    ],
    ids=lambda value: value.unit if isinstance(value, Figure) else value,
)
def test_a_factor_is_the_one_that_pint_has(figure, one, other):
    assert figure.value == pytest.approx(PINT.Quantity(1, one).to(other).magnitude, rel=1e-9)


def test_our_acre_is_the_international_one_and_not_the_survey_acre_of_pint():
    # 85 FR 62698 set the survey foot aside on 31 December 2022; the two differ by 4.0 parts in a million.
    international = (43_560 * PINT.foot**2).to("meter**2").magnitude
    assert units.M2_PER_ACRE.value == pytest.approx(international, rel=1e-12)
    assert PINT.Quantity(1, "acre").to("meter**2").magnitude / units.M2_PER_ACRE.value - 1 == pytest.approx(
        4.0e-6, abs=1e-8
    )
    assert units.FT2_PER_ACRE.value * units.M_PER_FT.value**2 == pytest.approx(
        units.M2_PER_ACRE.value, rel=1e-12
    )


def test_a_hectare_in_either_acre():
    assert units.acres(10_000.0) == pytest.approx(2.471053815, abs=1e-9)
    assert PINT.Quantity(1, "hectare").to("acre").magnitude == pytest.approx(2.471043930, abs=1e-9)


def test_three_hundred_psi_in_megapascal_and_two_megapascal_in_psi():
    assert 300 * units.PA_PER_PSI.value / 1e6 == pytest.approx(2.06843, abs=1e-4)
    assert 2e6 / units.PA_PER_PSI.value == pytest.approx(290.08, abs=0.01)


def test_phosphate_and_potash_follow_from_atomic_weights():
    # IUPAC 2021: P 30.974, K 39.098, O 15.999. The factors as the trade prints them take oxygen as 16.00.
    for oxygen, within in ((16.0, 5e-5), (15.999, 1e-4)):
        assert units.P2O5_PER_P.value == pytest.approx((2 * 30.974 + 5 * oxygen) / (2 * 30.974), abs=within)
        assert units.K2O_PER_K.value == pytest.approx((2 * 39.098 + oxygen) / (2 * 39.098), abs=within)


@given(st.floats(-90.0, 60.0))
def test_fahrenheit_agrees_with_pint(celsius):
    wanted = PINT.Quantity(celsius, "degC").to("degF").magnitude
    assert units.fahrenheit(celsius) == pytest.approx(wanted, abs=1e-9)


@given(st.floats(0.0, 1e9))
def test_areas_scale(area_m2):
    assert units.hectares(area_m2) == pytest.approx(area_m2 / 1e4)
    assert units.acres(2 * area_m2) == pytest.approx(2 * units.acres(area_m2))
