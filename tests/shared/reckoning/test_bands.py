"""The published bands that a field's plots are drawn over."""

from __future__ import annotations

from itertools import pairwise

import pytest

from shared.reckoning.bands import firm_bands, graded_as, nitrate_bands, soil_bands, weed_bands
from shared.reckoning.soil_test import LABS, soil_level
from shared.reckoning.weeds import WeedCover, cover_word


def test_bands_meet_each_other_from_the_lowest_up():
    for found in (weed_bands(), firm_bands(), soil_bands("Rutgers", "K", "lb/ac")):
        assert found is not None
        assert found.bands[0].low is None
        assert found.bands[-1].high is None
        assert all(lower.high == upper.low for lower, upper in pairwise(found.bands))


@pytest.mark.parametrize("lab", sorted(LABS))
@pytest.mark.parametrize(("unit", "asked"), [("ppm", "ppm"), ("lb/ac", "lb_per_ac")])
def test_a_value_inside_a_band_has_the_level_that_the_laboratory_gives_it(lab, unit, asked):
    for nutrient in LABS[lab]:
        found = soil_bands(f"by {lab.title()} levels", nutrient.lower(), unit)
        assert found is not None
        for band in found.bands:
            low = 0.0 if band.low is None else band.low
            inside = low + 1.0 if band.high is None else (low + band.high) / 2
            assert soil_level(lab, nutrient, inside, asked).level == band.word


def test_weeds_and_nitrate_are_told_by_the_same_bounds_as_in_words():
    for band, value in zip(weed_bands().bands, (2.0, 15.0, 40.0), strict=True):
        assert cover_word(WeedCover(value, None, None)) == band.word
    nitrate = nitrate_bands("Nitrate-N", "ppm")
    assert nitrate is not None
    assert nitrate.source.standing == "memory"
    assert nitrate_bands("P", "ppm") is None
    assert nitrate_bands("NO3-N", "lb/ac") is None


@pytest.mark.parametrize(
    ("words", "name", "unit"),
    [
        ("Corbel Agronomic Laboratory", "K", "ppm"),
        ("Rutgers or Delaware", "K", "ppm"),
        ("Delaware", "Zn", "ppm"),
        ("Rutgers", "pH", "pH"),
        ("Rutgers", "K", "%"),
    ],
)
def test_a_figure_without_printed_levels_has_no_bands(words, name, unit):
    assert soil_bands(words, name, unit) is None


def test_a_laboratory_is_named_in_any_words():
    assert graded_as("Mehlich 3, graded as RUTGERS prints") == "rutgers"
    assert graded_as("") == ""
