"""Weed cover by class, what is left of the seeds, and what a short walk may say."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from shared.errors import InputError, OutOfRange
from shared.reckoning.weeds import (
    MIDPOINTS,
    SEED_LIVES,
    cover_word,
    seedbank_left,
    weed_count,
    weed_cover,
    weed_cover_of_stops,
    years_until,
)

CLASSES = st.lists(st.sampled_from(sorted(MIDPOINTS["cover8"])), min_size=2, max_size=40)


def test_eight_quadrats_in_daubenmire_classes_mean_19_0625_pct():
    # Midpoints after Daubenmire 1959 (Colorado DRMS): 2.5, 2.5, 15, 37.5, 62.5, 15, 2.5, 15 over 8.
    assert weed_cover(["1", "1", "2", "3", "4", "2", "1", "2"], "daubenmire6").mean_pct == 19.0625


def test_r17_a_clean_field_reads_nought_and_traces_read_half_a_percent():
    clean = weed_cover(["none"] * 6)
    assert (clean.mean_pct, clean.low_pct, clean.high_pct) == (0.0, 0.0, 0.0)
    assert weed_cover(["trace"] * 6).mean_pct == 0.5
    # The older scale has no class for none: this is what R17 warns of.
    assert weed_cover(["1"] * 6, "daubenmire6").mean_pct == 2.5


def test_r17_the_interval_is_clipped_to_what_can_be():
    found = weed_cover(["none", "none", "95-100"])
    assert (found.low_pct, found.high_pct) == (0.0, 100.0)


def test_r17_the_error_is_over_stops_not_over_quadrats():
    stops = [["none", "none", "none"], ["25-50", "25-50", "25-50"], ["5-25", "5-25", "5-25"]]
    by_stop = weed_cover_of_stops(stops)
    by_quadrat = weed_cover([one for stop in stops for one in stop])
    assert by_stop.mean_pct == by_quadrat.mean_pct == 17.5
    ends = stats.t.interval(0.95, 2, loc=17.5, scale=stats.sem([0.0, 37.5, 15.0]))
    assert by_stop.low_pct == max(0.0, ends[0])
    assert by_stop.high_pct == pytest.approx(ends[1], rel=1e-9)
    assert by_stop.high_pct > by_quadrat.high_pct


@given(CLASSES)
def test_the_interval_agrees_with_scipy_and_holds_the_mean(classes):
    values = [MIDPOINTS["cover8"][name].value for name in classes]
    found = weed_cover(classes)
    assert 0.0 <= found.low_pct <= found.mean_pct + 1e-9
    assert found.mean_pct <= found.high_pct + 1e-9 <= 100.0 + 1e-9
    if len(set(values)) > 1:
        low, high = stats.t.interval(
            0.95, len(values) - 1, loc=sum(values) / len(values), scale=stats.sem(values)
        )
        assert found.low_pct == pytest.approx(max(0.0, low), abs=1e-7)
        assert found.high_pct == pytest.approx(min(100.0, high), abs=1e-7)


@given(CLASSES, st.randoms(use_true_random=False))
def test_the_order_of_the_quadrats_does_not_matter(classes, chance):
    mixed = list(classes)
    chance.shuffle(mixed)
    assert weed_cover(mixed) == weed_cover(classes)


def test_one_stop_has_no_interval():
    found = weed_cover(["5-25"])
    assert (found.mean_pct, found.low_pct, found.high_pct) == (15.0, None, None)


@pytest.mark.parametrize(
    ("classes", "scale"),
    [(["7"], "daubenmire6"), (["none"], "daubenmire6"), (["1"], "cover8"), ([], "cover8")],
)
def test_a_class_of_another_scale_or_no_class_is_refused(classes, scale):
    with pytest.raises(InputError) as caught:
        weed_cover(classes, scale)
    assert caught.value.name == "classes"


def test_the_word_for_cover_follows_the_classes_own_bounds():
    assert cover_word(weed_cover(["1-5"] * 4)) == "low"
    assert cover_word(weed_cover(["5-25"] * 4)) == "medium"
    assert cover_word(weed_cover(["25-50"] * 4)) == "high"


def test_a_short_walk_through_clumps_says_a_word_and_no_number():
    found = weed_count([0, 0, 0, 9, 0, 0, 1, 0, 0, 0], 0.25)
    assert (found.word, found.per_m2) == ("medium", None)
    assert found.quadrats_wanted > 10


def test_a_long_enough_walk_says_the_number():
    found = weed_count([4, 6, 5, 3, 7, 5, 4, 6] * 4, 0.25)
    assert found.quadrats_wanted <= 32
    assert found.per_m2 == 20.0
    assert found.word == "high"


def test_a_walk_that_found_none_says_low_and_not_how_sure():
    assert weed_count([0] * 20, 0.25) == weed_count([0] * 20, 0.25).__class__("low", None, None)


def test_half_a_plant_is_no_count():
    with pytest.raises(OutOfRange) as caught:
        weed_count([1, 0.5], 0.25)
    assert caught.value.name == "plants"


def test_three_years_halve_pigweed_but_leave_84_pct_of_lambsquarters():
    # Half-lives 3 and 12 years, Ohio State vegetable notes.
    assert seedbank_left("redroot_pigweed", 3.0).left_pct == pytest.approx(50.0)
    assert seedbank_left("lambsquarters", 3.0).left_pct == pytest.approx(84.09, abs=0.01)


@pytest.mark.parametrize(
    ("weed", "years"), [("redroot_pigweed", 19.93), ("lambsquarters", 79.7), ("giant_foxtail", 33.2)]
)
def test_the_years_to_one_percent_follow_from_the_half_life(weed, years):
    # Ohio State prints 20, 78 and 30 years.
    assert years_until(weed, 1.0) == pytest.approx(years, abs=0.05)


@pytest.mark.parametrize(
    ("weed", "gone"), [("velvetleaf", 16.0), ("common_ragweed", 10.0), ("giant_ragweed", 2.0)]
)
def test_seeds_that_last_longer_than_their_half_life_says_are_not_written_off_early(weed, gone):
    assert seedbank_left(weed, gone).left_pct == pytest.approx(1.0)
    half = SEED_LIVES[weed].half
    if half is not None:
        assert seedbank_left(weed, half.value).left_pct == pytest.approx(50.0)
        assert seedbank_left(weed, gone).left_pct > 100.0 * 2 ** (-gone / half.value)


@given(st.sampled_from(sorted(SEED_LIVES)), st.floats(0.0, 200.0), st.floats(0.0, 50.0))
def test_seeds_only_ever_get_fewer(weed, years, more):
    left = seedbank_left(weed, years).left_pct
    assert 0.0 <= seedbank_left(weed, min(200.0, years + more)).left_pct <= left <= 100.0


def test_a_weed_without_a_half_life_in_print_has_no_years_until():
    with pytest.raises(OutOfRange):
        years_until("giant_ragweed", 1.0)
    with pytest.raises(OutOfRange):
        years_until("lambsquarters", 0.0)
