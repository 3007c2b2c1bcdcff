"""Soil test levels by lab, manganese, oxides."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared.errors import MissingInput, OutOfRange
from shared.reckoning.soil_test import COMPUTATIONS, LABS, fertility_index, manganese_index, oxide, soil_level

MACRO = st.sampled_from(["P", "K", "Mg", "Ca"])


# Rutgers soil testing laboratory, relative levels of nutrients (lb/ac); Delaware extension, agronomic crops (ppm).
@pytest.mark.parametrize(
    ("lab", "nutrient", "value", "unit", "level"),
    [
        ("rutgers", "P", 24.6, "lb_per_ac", "very_low"),
        ("rutgers", "P", 25.0, "lb_per_ac", "low"),
        ("rutgers", "P", 71.5, "lb_per_ac", "medium"),
        ("rutgers", "P", 72.0, "lb_per_ac", "high"),
        ("rutgers", "P", 137.0, "lb_per_ac", "high"),
        ("rutgers", "P", 137.1, "lb_per_ac", "very_high"),
        ("delaware", "P", 50.4, "ppm", "medium"),
        ("delaware", "P", 51.0, "ppm", "optimum"),
        ("delaware", "P", 100.1, "ppm", "excessive"),
    ],
)
def test_r14_a_level_holds_until_the_next_printed_lower_bound(lab, nutrient, value, unit, level):
    assert soil_level(lab, nutrient, value, unit).level == level


def test_r14_the_same_soil_has_another_level_at_another_lab():
    # K 120 ppm is 240 lb: high, which is optimum, at Rutgers, and medium at Delaware. P 60 ppm likewise.
    assert soil_level("rutgers", "K", 120.0, "ppm").level == "high"
    assert soil_level("rutgers", "K", 240.0, "lb_per_ac").level == "high"
    assert soil_level("delaware", "K", 120.0, "ppm").level == "medium"
    assert soil_level("rutgers", "P", 60.0, "ppm").level == "high"
    assert soil_level("delaware", "P", 60.0, "ppm").level == "optimum"


def test_the_optimum_is_told_in_the_unit_that_was_asked_in():
    pounds = soil_level("rutgers", "K", 240.0, "lb_per_ac")
    assert (pounds.optimum_from, pounds.optimum_to) == (146.0, 277.0)
    ppm = soil_level("rutgers", "K", 120.0, "ppm")
    assert (ppm.optimum_from, ppm.optimum_to) == (73.0, 138.5)
    assert soil_level("delaware", "Ca", 1900.0, "lb_per_ac").optimum_to == 3600.0


def test_trace_elements_are_graded_where_the_lab_grades_them():
    assert soil_level("rutgers", "B", 0.4, "ppm").level == "below_critical"
    assert soil_level("rutgers", "Zn", 51.0, "ppm").level == "over_high"
    with pytest.raises(OutOfRange) as caught:
        soil_level("delaware", "Zn", 51.0, "ppm")
    assert caught.value.name == "nutrient"


@given(st.sampled_from(sorted(LABS)), MACRO, st.floats(0.0, 5000.0), st.floats(0.0, 500.0))
def test_more_of_a_nutrient_never_ranks_lower(lab, nutrient, value, more):
    levels = LABS[lab][nutrient]
    order = [levels.lowest, *(level for level, _ in levels.steps), levels.past]
    unit = levels.unit
    one, other = soil_level(lab, nutrient, value, unit), soil_level(lab, nutrient, value + more, unit)
    assert order.index(other.level) >= order.index(one.level)


@given(st.sampled_from(sorted(LABS)), MACRO, st.floats(0.0, 5000.0))
def test_ppm_and_twice_as_many_pounds_are_the_same_soil(lab, nutrient, ppm):
    by_ppm, by_pounds = soil_level(lab, nutrient, ppm, "ppm"), soil_level(lab, nutrient, 2 * ppm, "lb_per_ac")
    assert by_ppm.level == by_pounds.level
    assert by_pounds.optimum_from == 2 * by_ppm.optimum_from


def test_delawares_index_is_50_where_medium_ends_and_100_where_optimum_ends():
    assert fertility_index("K", 120.0).index == pytest.approx(42.9, abs=0.05)
    assert fertility_index("P", 60.0).index == pytest.approx(60.0)
    for nutrient, middle, top in (("P", 50, 100), ("K", 140, 280), ("Mg", 110, 220), ("Ca", 900, 1800)):
        assert fertility_index(nutrient, middle).index == pytest.approx(50.0)
        assert fertility_index(nutrient, top).index == pytest.approx(100.0)


def test_manganese_of_10_ppm_at_ph_6_5_is_enough_and_4_ppm_at_6_8_is_not():
    # Rutgers: MnAI = 101.7 + 3.75 Mn - 15.2 pH, critical 25.
    assert manganese_index(10.0, 6.5).index == pytest.approx(40.4, abs=0.01)
    assert not manganese_index(10.0, 6.5).deficient
    assert manganese_index(4.0, 6.8).index == pytest.approx(13.34, abs=0.01)
    assert manganese_index(4.0, 6.8).deficient


def test_a_layer_of_leaves_holds_92_lb_of_phosphate_and_183_lb_of_potash():
    found = oxide(40.0, 152.0)
    assert found.p2o5_lb == pytest.approx(91.66, abs=0.01)
    assert found.k2o_lb == pytest.approx(183.10, abs=0.01)


def test_an_oxide_that_was_not_asked_for_is_not_nought():
    assert oxide(p_lb=40.0).k2o_lb is None
    assert oxide(k_lb=0.0).k2o_lb == 0.0
    with pytest.raises(MissingInput) as caught:
        oxide()
    assert caught.value.name == "p_lb"


def test_a_nutrient_typed_in_small_letters_is_the_same_nutrient():
    level = next(each for each in COMPUTATIONS if each.name == "soil_level")
    asked = {"lab": "Rutgers", "nutrient": "mg", "value": "72", "unit": "PPM"}
    assert level.answer(asked)["level"] == "high"
