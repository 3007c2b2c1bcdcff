"""Rests from hosts, hay's removal, and the share of land in cash crops."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared.errors import InputError, OutOfRange
from shared.reckoning.computation import as_answer
from shared.reckoning.rotation import (
    COMPUTATIONS,
    RESTS,
    Grown,
    cash_acres,
    diseases_of,
    hay_removal,
    hay_repaid,
    host_free,
    land_share,
    last_host_year,
    rest_from,
    rest_years,
)
from shared.reckoning.soil_test import oxide


def test_r10_one_cash_year_in_four_is_a_quarter_and_a_fifth_needs_four_rest_years():
    assert as_answer(land_share(1, 3, 40.0)) == {"share_pct": 25.0, "cash_ac": 10.0}
    assert as_answer(land_share(1, 4, 40.0)) == {"share_pct": 20.0, "cash_ac": 8.0}


LETTUCE_THEN_BEANS = [
    Grown("east", "lettuce", date(2022, 6, 20), 2.0),
    Grown("east", "legume", date(2022, 9, 30), 2.0),
    Grown("west", "nightshade", date(2023, 9, 12), 3.0),
]


def test_r10_leaf_and_lead_in_years_count_as_rest():
    # Nothing was harvested in 2023 to 2025, whatever the ground carried.
    assert rest_years(LETTUCE_THEN_BEANS, "east", 2022, 2025) == 3
    assert rest_years(LETTUCE_THEN_BEANS, "west", 2022, 2025) == 3


def test_r11_garlic_lifted_in_2022_and_again_in_2026_has_three_host_free_years():
    # Set in October 2025, but its year is that of its harvest.
    found = host_free("allium", "bloat_nematode", 2022, 2026)
    assert (found.free_years, found.fit) == (3, "too_soon")
    assert host_free("allium", "bloat_nematode", 2022, 2027).fit == "meets"


def test_r11_three_of_three_to_five_years_meets_the_shortest_advice_only():
    # Rutgers, Gloucester County: Phytophthora capsici, 3-5 years.
    assert as_answer(host_free("cucurbit", "phytophthora_capsici", 2022, 2026)) == {
        "free_years": 3,
        "needed_years": (3, 5),
        "fit": "shortest_only",
    }
    assert host_free("cucurbit", "phytophthora_capsici", 2022, 2025).fit == "too_soon"
    assert host_free("cucurbit", "phytophthora_capsici", 2022, 2028).fit == "meets"


def test_r11_never_is_never_met():
    found = host_free("asparagus", "fusarium", 1900, 2199)
    assert (found.needed_years, found.fit) == (None, "never")


def test_r11_twenty_years_and_more_is_never_wholly_met():
    # White rot of alliums, from memory.
    assert host_free("allium", "white_rot", 2000, 2020).fit == "too_soon"
    assert host_free("allium", "white_rot", 2000, 2021).fit == "shortest_only"
    assert host_free("allium", "white_rot", 2000, 2100).fit == "shortest_only"


# Univ. of Connecticut IPM, years without a host (ipm.cahnr.uconn.edu/?p=1829).
@pytest.mark.parametrize(
    ("family", "disease", "needed"),
    [
        ("nightshade", "verticillium", 4),
        ("nightshade", "fruit_rot", 3),
        ("beet", "cercospora", 3),
        ("lettuce", "lettuce_drop", 3),
        ("corn", "yellow_leaf_blight", 3),
        ("legume", "anthracnose", 2),
        ("legume", "bacterial_blight", 2),
        ("cucurbit", "scab", 2),
        ("cucurbit", "leaf_spot", (2, None)),
        ("brassica", "black_rot", (2, 3)),
        ("brassica", "blackleg", (3, 4)),
        ("brassica", "clubroot", 7),
    ],
)
def test_the_years_in_print_are_the_years_asked_for(family, disease, needed):
    assert host_free(family, disease, 2000, 2020).needed_years == needed


def test_three_years_of_rest_fail_verticillium_blackleg_capsici_and_clubroot():
    after_three = {
        (family, disease): host_free(family, disease, 2022, 2026).fit
        for family, disease in RESTS
        if family in ("nightshade", "brassica", "cucurbit", "legume")
    }
    assert after_three[("nightshade", "verticillium")] == "too_soon"
    assert after_three[("brassica", "clubroot")] == "too_soon"
    assert after_three[("brassica", "blackleg")] == "shortest_only"
    assert after_three[("nightshade", "phytophthora_capsici")] == "shortest_only"
    assert after_three[("brassica", "black_rot")] == "meets"


def test_lima_and_snap_beans_host_phytophthora_capsici_too():
    assert "phytophthora_capsici" in diseases_of("legume")
    beans = [Grown("east", "legume", date(2024, 8, 1), 1.0)]
    assert last_host_year(beans, "east", "phytophthora_capsici") == 2024


def test_r12_both_families_of_a_double_crop_were_hosted():
    assert last_host_year(LETTUCE_THEN_BEANS, "east", "lettuce_drop") == 2022
    assert last_host_year(LETTUCE_THEN_BEANS, "east", "anthracnose") == 2022
    assert last_host_year(LETTUCE_THEN_BEANS, "west", "lettuce_drop") is None


def test_r12_the_acres_of_a_double_crop_count_once():
    assert cash_acres(LETTUCE_THEN_BEANS, 2022) == 2.0
    assert cash_acres(LETTUCE_THEN_BEANS, 2023) == 3.0
    assert cash_acres(LETTUCE_THEN_BEANS, 2024) == 0.0


def test_r12_rest_starts_after_the_last_harvest():
    assert rest_from(LETTUCE_THEN_BEANS, "east") == date(2022, 10, 1)
    assert rest_from(LETTUCE_THEN_BEANS, "north") is None


@given(st.permutations(LETTUCE_THEN_BEANS))
def test_the_order_of_the_harvests_does_not_matter(grown):
    assert cash_acres(grown, 2022) == 2.0
    assert rest_years(grown, "east", 2020, 2026) == 6
    assert rest_from(grown, "east") == date(2022, 10, 1)


@given(st.sampled_from(sorted(RESTS)), st.integers(1900, 2100), st.integers(1, 60))
def test_waiting_longer_never_makes_a_fit_worse(pair, last, years):
    order = ["never", "too_soon", "shortest_only", "meets"]
    one = host_free(*pair, last, last + years)
    later = host_free(*pair, last, last + years + 1)
    assert later.free_years == one.free_years + 1
    assert order.index(later.fit) >= order.index(one.fit)


@pytest.mark.parametrize(
    ("wrong", "name"),
    [
        ({"disease": "clubroot"}, "disease"),
        ({"disease": "rust"}, "disease"),
        ({"family": "grass"}, "family"),
        ({"plant_year": 2022}, "plant_year"),
        ({"plant_year": 2021}, "plant_year"),
        ({"plant_year": 2026.5}, "plant_year"),
    ],
)
def test_a_pair_without_advice_or_years_out_of_order_are_refused(wrong, name):
    asked = {"family": "nightshade", "disease": "verticillium", "last_host_year": 2022, "plant_year": 2026}
    with pytest.raises(InputError) as caught:
        host_free(**(asked | wrong))
    assert caught.value.name == name


def test_figures_from_memory_are_said_to_be():
    source = next(each.source for each in COMPUTATIONS if each.name == "host_free")
    assert "alliums (from memory, unconfirmed)" in source


def test_r18_three_tons_a_year_take_150_lb_of_potash():
    # Ohio State: 13 lb P2O5 and 50 lb K2O a ton as baled.
    assert as_answer(hay_removal(3.0, 1)) == {"p2o5_lb": 39.0, "k2o_lb": 150.0}
    assert hay_removal(3.0, 3).k2o_lb == 450.0


def test_a_layer_of_leaves_repays_the_potash_of_3_7_tons_of_hay():
    assert hay_repaid(oxide(k_lb=152.0).k2o_lb).tons == pytest.approx(3.66, abs=0.01)


@given(st.floats(0.0, 20.0), st.floats(0.0, 25.0))
def test_twice_the_years_take_twice_as_much(tons, years):
    assert hay_removal(tons, 2 * years).k2o_lb == pytest.approx(2 * hay_removal(tons, years).k2o_lb)


@given(st.floats(0.1, 50.0), st.floats(0.0, 50.0), st.floats(0.0, 1000.0))
def test_the_share_lies_between_none_and_all(cash, rest, area):
    found = land_share(cash, rest, area)
    assert 0.0 < found.share_pct <= 100.0
    assert 0.0 <= found.cash_ac <= area


def test_land_without_a_cash_year_has_no_share():
    with pytest.raises(OutOfRange):
        land_share(0, 3, 40.0)
