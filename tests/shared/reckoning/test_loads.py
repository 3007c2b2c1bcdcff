"""Loads, beds, piles and reporting tons."""

from __future__ import annotations

import math

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from shared.errors import OutOfRange
from shared.reckoning.litter import leaf_dry_matter
from shared.reckoning.loads import bed_volume, load_tons, load_volume, pile_volume

UNITS = pint.UnitRegistry()
LENGTHS = st.floats(0.5, 18.0)


def test_a_bed_of_25_at_80_percent_is_20_yards_and_7_tons_vacuumed():
    # Bed capacity times fill, as on a county debris contract's load ticket; 700 lb/yd3 from the New Jersey
    # Department of Environmental Protection's Conversion Table.
    yards = load_volume(25, 80).yards_yd3
    assert yards == pytest.approx(20.0, abs=0.01)
    assert load_tons(yards, "vacuumed").tons == pytest.approx(7.0, abs=0.01)


@pytest.mark.parametrize(
    ("packing", "tons", "ratio"), [("loose", 200, 5.0), ("vacuumed", 350, 2.857), ("compacted", 500, 2.0)]
)
def test_a_thousand_yards_in_tons_by_the_states_table(packing, tons, ratio):
    # New Jersey Department of Environmental Protection, Conversion Table, material 19 leaves.
    found = load_tons(1_000, packing)
    assert found.tons == pytest.approx(tons, abs=0.1)
    assert found.yd3_per_ton == pytest.approx(ratio, abs=1e-3)


def test_reporting_tons_and_dry_tons_never_meet():
    # 800 yards: 160 tons as received by the table, about 20 dry tons by the Rutgers fact sheet.
    assert load_tons(800, "loose").tons == pytest.approx(160.0)
    dry = leaf_dry_matter(800)
    assert dry.dry_tons == pytest.approx(20.0, abs=0.2)
    assert dry.high_tons < load_tons(800, "loose").tons
    # No key of the one is a key of the other, so neither can be read as the other.
    assert not set(dry.__slots__) & set(load_tons(800, "loose").__slots__)


def test_a_pile_six_feet_high_and_a_hundred_long_is_209_yards():
    # New Jersey leaf composting manual, appendix A: half-round windrow.
    assert pile_volume(6, 100).yards_yd3 == pytest.approx(209.4, abs=0.1)


def test_windrows_six_feet_high_with_fourteen_foot_aisles_hold_3509_yards_an_acre():
    # The same appendix prints 3,509 yd3/ac: rows of 43,560 / (2h + aisle) feet in all.
    assert pile_volume(6, 43_560 / (2 * 6 + 14)).yards_yd3 == pytest.approx(3_509, abs=1)


@given(st.floats(0.5, 40.0), st.floats(1.0, 4_000.0))
def test_a_pile_agrees_with_numerical_integration(height, length):
    half_disk, _ = quad(lambda x: math.sqrt(max(0.0, height**2 - x**2)), -height, height)
    assert pile_volume(height, length).yards_yd3 == pytest.approx(half_disk * length / 27, rel=1e-6)


@given(LENGTHS, LENGTHS, LENGTHS)
def test_a_bed_agrees_with_pint(length, width, height):
    wanted = (length * width * height * UNITS.foot**3).to(UNITS.yard**3).magnitude
    assert bed_volume(length, width, height).yards_yd3 == pytest.approx(wanted, rel=1e-12)


@given(st.floats(1.0, 200.0), st.floats(0.0, 75.0))
def test_a_load_is_in_proportion_to_its_fill(bed, fill):
    assert load_volume(bed, 2 * fill).yards_yd3 == pytest.approx(2 * load_volume(bed, fill).yards_yd3)


@given(st.floats(0.0, 400_000.0), st.sampled_from(["loose", "vacuumed", "compacted"]))
def test_tons_and_their_stated_ratio_agree(yards, packing):
    found = load_tons(yards, packing)
    assert found.tons * found.yd3_per_ton == pytest.approx(yards, rel=1e-12)


@pytest.mark.parametrize(
    ("call", "name"),
    [
        (lambda: load_volume(0.0, 50), "bed_yd3"),
        (lambda: load_volume(20, 151), "fill_pct"),
        (lambda: load_tons(10, "stacked"), "packing"),
        (lambda: bed_volume(10, 0, 4), "width_ft"),
        (lambda: pile_volume(-1, 10), "height_ft"),
    ],
)
def test_a_measure_that_can_not_be_is_refused_by_name(call, name):
    with pytest.raises(OutOfRange) as refused:
        call()
    assert refused.value.name == name
