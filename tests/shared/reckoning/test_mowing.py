"""When to mow, when to cut hay, how long after frost."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared.errors import OutOfRange
from shared.reckoning.mowing import hay_verdict, mow_verdict, prussic_acid


def test_31_in_without_heads_says_mow_at_30_for_weeds():
    # Cornell cover crop guide: mow at 20-30 in, leave 6 in; Ontario: above 6-8 in.
    found = mow_verdict("sorghum_sudan", 31.0, "none")
    assert (found.verdict, found.why) == ("mow", "height")
    assert (found.leave_low_in, found.leave_high_in) == (6.0, 8.0)


def test_29_in_without_heads_waits_for_an_inch():
    found = mow_verdict("sudan", 29.0)
    assert (found.verdict, found.why, found.to_go_in) == ("wait", "short", 1.0)


def test_30_in_is_tall_enough():
    assert mow_verdict("sudan", 30.0).verdict == "mow"


@pytest.mark.parametrize("heads", ["few", "many"])
@given(height=st.floats(0.0, 180.0))
def test_heads_mean_mow_now_at_any_height(heads, height):
    found = mow_verdict("sorghum_sudan", height, heads)
    assert (found.verdict, found.why) == ("mow_now", "heads")


def test_boot_by_heat_units_means_mow_now_before_any_head_shows():
    found = mow_verdict("sorghum_sudan", 20.0, "none", boot_reached=True)
    assert (found.verdict, found.why) == ("mow_now", "boot")


def test_orchardgrass_is_cut_at_boot_to_early_head():
    verdicts = {
        stage: hay_verdict("orchardgrass", stage).verdict
        for stage in ("vegetative", "boot", "heading", "bloom")
    }
    assert verdicts == {"vegetative": "wait", "boot": "cut", "heading": "cut", "bloom": "late"}


def test_timothy_cut_at_heading_is_harmed_where_orchardgrass_is_ready():
    # Penn State forages, timothy harvest management.
    found = hay_verdict("timothy", "heading")
    assert (found.verdict, found.why) == ("wait", "cut_now_harms")
    assert hay_verdict("timothy", "jointing").why == "cut_now_harms"
    assert hay_verdict("timothy", "bloom").verdict == "cut"
    assert hay_verdict("timothy", "past_bloom").verdict == "late"


def test_orchardgrass_keeps_3_to_4_in_of_stubble_and_timothy_has_no_figure():
    grass = hay_verdict("orchardgrass", "boot")
    assert (grass.leave_low_in, grass.leave_high_in) == (3.0, 4.0)
    assert hay_verdict("timothy", "bloom").leave_low_in is None


@pytest.mark.parametrize(
    ("days", "verdict"), [(27, "wait"), (28, "cut"), (36, "cut"), (42, "cut"), (43, "late")]
)
def test_orchardgrass_regrowth_is_cut_every_four_to_six_weeks(days, verdict):
    assert hay_verdict("orchardgrass", "vegetative", days).verdict == verdict


@pytest.mark.parametrize(("cover", "short", "tall"), [("sorghum_sudan", 23.9, 24.0), ("sudan", 17.9, 18.0)])
def test_regrowth_under_the_height_in_print_is_short(cover, short, tall):
    # Univ. of Nebraska 2024: 24 in for sorghum-sudangrass, 18 in for sudangrass.
    assert prussic_acid(cover, short).short
    assert not prussic_acid(cover, tall).short


@pytest.mark.parametrize(("days", "wait"), [(0, 7), (3, 4), (6, 1), (7, 0), (None, 0)])
def test_every_frost_starts_the_seven_days_again(days, wait):
    assert prussic_acid("sorghum_sudan", 30.0, days).wait_days == wait


def test_a_long_wait_after_frost_does_not_make_short_regrowth_tall():
    found = prussic_acid("sorghum_sudan", 12.0, 30)
    assert (found.short, found.wait_days) == (True, 0)


def test_only_the_sorghums_and_the_two_hay_grasses_are_judged():
    with pytest.raises(OutOfRange):
        mow_verdict("clover", 31.0)
    with pytest.raises(OutOfRange):
        hay_verdict("clover", "bloom")
    with pytest.raises(OutOfRange):
        prussic_acid("rye", 31.0)
