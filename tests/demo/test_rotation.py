"""Twelve years of legs: in their order, about a fifth in cash crops, hosts kept apart but once."""

from __future__ import annotations

from itertools import pairwise

import pytest

from demo_fixtures import farm
from demo_fixtures.rotation import COURSES, FAMILY, YEARS_AHEAD, YEARS_BACK, cash_crop, legs, planned

YEAR = 2026
FOLLOWS = {
    "cash": {"idle", "leaf"},
    "idle": {"leaf"},
    "leaf": {"hay", "smother"},
    "hay": {"lead_in"},
    "smother": {"lead_in"},
    "lead_in": {"cash"},
}
NEEDED = {"brassica": 3, "cucurbit": 3, "allium": 3}
"""Years without a host: cabbage black rot 2 to 3 (UConn IPM); Phytophthora capsici of squash 3 to 5 (Rutgers);
garlic, common practice, no source."""


@pytest.mark.parametrize("plot", COURSES)
def test_each_leg_follows_the_one_that_it_may_follow(plot):
    told = legs(plot, YEAR)
    assert told[0].starts_on.isoformat() == f"{YEAR - YEARS_BACK}-01-01"
    for before, after in pairwise(told):
        assert before.starts_on < after.starts_on
        assert after.leg in FOLLOWS[before.leg], (plot, before, after)


@pytest.mark.parametrize("plot", COURSES)
def test_a_field_rests_two_or_three_summers_under_hay_or_a_smother_crop(plot):
    for before, after in pairwise(legs(plot, YEAR)):
        if before.leg in ("hay", "smother") and before.starts_on.year > YEAR - YEARS_BACK:
            assert 1 <= after.starts_on.year - before.starts_on.year <= 3


@pytest.mark.parametrize("year", range(YEAR - YEARS_BACK, YEAR + YEARS_AHEAD + 1))
def test_about_a_fifth_of_the_land_is_in_cash_crops(year):
    total = sum(farm.acres(plot) for plot in farm.PLOTS)
    cash = sum(farm.acres(plot) for plot in farm.PLOTS if cash_crop(plot.key, year, YEAR))
    assert 0.15 <= cash / total <= 0.23


def test_only_one_field_brings_a_host_back_too_soon():
    soon = []
    for plot, course in COURSES.items():
        for (first, one), (second, other) in (
            (a, b) for place, a in enumerate(course.cash) for b in course.cash[place + 1 :]
        ):
            family = FAMILY[one]
            if family == FAMILY[other] and second - first - 1 < NEEDED.get(family, 0):
                soon.append((plot, family, second - first - 1))
    assert soon == [("hedge_strip", "cucurbit", 2)]


def test_the_plan_goes_ten_years_ahead_in_every_field():
    for plot in COURSES:
        told = planned(plot, YEAR)
        assert [year for year, _, _ in told] == list(range(YEAR + 1, YEAR + 11))
        for year, leg, crop in told:
            assert (leg == "cash") == (cash_crop(plot, year, YEAR) == crop)


def test_all_four_cash_crops_grow_in_the_season():
    assert {crop for plot in COURSES if (crop := cash_crop(plot, YEAR, YEAR))} == set(FAMILY)
