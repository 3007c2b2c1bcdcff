"""Lime and cations, each by its own method."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared.errors import OutOfRange
from shared.reckoning.lime import (
    LB_PER_MEQ,
    base_saturation,
    lime_north_carolina,
    lime_pennsylvania,
    mehlich_acidity,
)

ACIDITY = st.floats(0.0, 30.0)
SOIL_PH = st.floats(4.0, 6.4)


def test_lime_at_or_over_the_target_ph_is_none_whatever_the_acidity():
    assert lime_pennsylvania(9.0, 6.5, 6.5).lime_lb_per_ac == 0.0
    assert lime_pennsylvania(9.0, 7.1, 7.0).lime_lb_per_ac == 0.0
    assert lime_north_carolina(3.0, 6.0, 6.0).lime_tons_per_ac == 0.0


def test_acidity_of_exactly_4_takes_2000_lb():
    # Penn State Agronomy Guide: over 4 meq, acidity x 840; else 2,000 lb under pH 6.5.
    assert lime_pennsylvania(4.0, 6.2, 6.5).lime_lb_per_ac == 2000.0
    assert lime_pennsylvania(4.01, 6.2, 6.5).lime_lb_per_ac == pytest.approx(3368.4)
    assert lime_pennsylvania(4.0, 6.2, 7.0).lime_lb_per_ac == 4000.0


# Penn State's turf table, lb a 1,000 ft2 at pH 7.0 and 6.5; it goes in steps, so it is met within 23 lb.
@pytest.mark.parametrize(
    ("acidity", "seven", "six_and_a_half"), [(5.2, 110, 90), (10.3, 230, 180), (20.0, 460, 390)]
)
def test_the_stepped_turf_table_is_met_within_23_lb(acidity, seven, six_and_a_half):
    for target, printed in ((7.0, seven), (6.5, six_and_a_half)):
        pounds = lime_pennsylvania(acidity, 5.5, target).lime_lb_per_ac / 43.56
        assert pounds == pytest.approx(printed, abs=23.0)


def test_north_carolinas_example_is_three_quarters_of_a_ton():
    # ncagr.gov: pH 5.0, target 6.0, Ac 1.2 (buffer pH 6.3); the source misprints 0.76.
    assert mehlich_acidity(6.3).acidity_meq == pytest.approx(1.2)
    assert lime_north_carolina(1.2, 5.0, 6.0).lime_tons_per_ac == pytest.approx(0.75, abs=0.005)


def test_a_credit_takes_off_and_never_below_nought():
    assert lime_north_carolina(1.2, 5.0, 6.0, 0.25).lime_tons_per_ac == pytest.approx(0.5)
    assert lime_north_carolina(1.2, 5.0, 6.0, 3.0).lime_tons_per_ac == 0.0
    assert mehlich_acidity(6.9).acidity_meq == 0.0


@given(ACIDITY, SOIL_PH, st.floats(0.0, 5.0))
def test_more_acidity_never_takes_less_lime(acidity, ph, more):
    for target in (6.5, 7.0):
        one = lime_pennsylvania(acidity, ph, target).lime_lb_per_ac
        assert lime_pennsylvania(acidity + more, ph, target).lime_lb_per_ac >= one >= 0.0
    one = lime_north_carolina(min(30.0, acidity), ph, 6.5).lime_tons_per_ac
    assert lime_north_carolina(min(30.0, acidity + more), ph, 6.5).lime_tons_per_ac >= one >= 0.0


@given(ACIDITY, SOIL_PH, st.floats(0.0, 2.0))
def test_a_soil_nearer_its_target_never_takes_more_lime(acidity, ph, nearer):
    higher = min(6.5, ph + nearer)
    assert (
        lime_north_carolina(acidity, higher, 6.5).lime_tons_per_ac
        <= lime_north_carolina(acidity, ph, 6.5).lime_tons_per_ac + 1e-9
    )


@pytest.mark.parametrize("target", [6.0, 6.6, 6.9])
def test_a_target_without_a_formula_in_print_is_refused(target):
    with pytest.raises(OutOfRange) as caught:
        lime_pennsylvania(5.0, 5.5, target)
    assert caught.value.name == "target_ph"


def test_calcium_of_1471_ppm_is_7_4_meq_and_36_pct_of_20_4():
    # cropfile.com: Ca 1471 ppm, CEC 20.4. A furrow slice holds 2 lb for each ppm.
    found = base_saturation("clemson", 5.0, 8.0, 0.0, 0.0, 1471 * 2, 0.0)
    assert found.ca_meq == pytest.approx(7.4, abs=0.1)
    assert 100 * found.ca_meq / 20.4 == pytest.approx(36.0, abs=1.0)


def test_hydrogen_and_bases_add_up_to_the_exchange_capacity():
    # Clemson: H = 8 (8.00 - buffer pH); K 782, Mg 240, Ca 400, Na 460 lb a meq.
    found = base_saturation("clemson", 5.8, 7.75, 391.0, 240.0, 1200.0, 46.0)
    assert (found.h_meq, found.k_meq, found.mg_meq, found.ca_meq) == (2.0, 0.5, 1.0, 3.0)
    assert found.na_meq == pytest.approx(0.1)
    assert found.cec_meq == pytest.approx(6.6)
    assert found.base_pct == pytest.approx(100 * 4.6 / 6.6)


def test_pounds_a_milliequivalent_are_twice_the_ppm_divisors():
    assert {name: figure.value / 2 for name, figure in LB_PER_MEQ.items()} == {
        "K": 391,
        "Mg": 120,
        "Ca": 200,
        "Na": 230,
    }


@given(st.floats(5.0, 8.0), *[st.floats(0.0, 5000.0)] * 4)
def test_base_saturation_is_a_share(buffer, k, mg, ca, na):
    found = base_saturation("clemson", 5.0, buffer, k, mg, ca + 1.0, na)
    assert 0.0 <= found.base_pct <= 100.0 + 1e-9
    assert found.cec_meq >= found.h_meq >= 0.0


def test_a_buffer_under_the_soils_own_ph_or_no_cation_at_all_is_refused():
    with pytest.raises(OutOfRange) as caught:
        base_saturation("clemson", 6.5, 6.0, 100.0, 100.0, 1000.0, 10.0)
    assert caught.value.name == "buffer_ph"
    with pytest.raises(OutOfRange):
        base_saturation("clemson", 6.5, 8.0, 0.0, 0.0, 0.0, 0.0)


def test_a_buffer_of_another_method_can_not_be_used():
    with pytest.raises(OutOfRange) as caught:
        base_saturation("mehlich", 5.8, 6.3, 391.0, 240.0, 1200.0, 46.0)
    assert caught.value.name == "method"
