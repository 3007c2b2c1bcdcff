"""The cheapest whole bags, against every way there is, a published price, and what must hold of any prices."""

from __future__ import annotations

from datetime import date
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from server.ahead.fertilizer_bags import NOTHING, cheapest
from shared.ahead.fertilizer_amount import NUTRIENTS
from shared.ahead.fertilizer_tables import Material

DATED = date(2026, 3, 2)


def bag(name: str, n: float, p2o5: float, k2o: float, price: float, lb: float = 50.0) -> Material:
    return Material(name, n, p2o5, k2o, lb, price, "made up", DATED)


UREA, PHOSPHATE, POTASH, BLEND = (
    bag("urea", 46, 0, 0, 27.5),
    bag("phosphate", 0, 46, 0, 34),
    bag("potash", 0, 0, 60, 26),
    bag("blend", 10, 10, 10, 12),
)
ALL = (UREA, PHOSPHATE, POTASH, BLEND)


def want(n: float = 0.0, p2o5: float = 0.0, k2o: float = 0.0) -> dict:
    return dict(zip(NUTRIENTS, (n, p2o5, k2o), strict=True))


def test_the_nutrients_in_four_tons_of_hay_cost_what_southern_ag_today_says():
    """southernagtoday.org, 26 July 2023: 400 lb N at $0.71, 92 lb P2O5 at $0.73, 345 lb K2O at $0.61 are $561.61."""
    straight = [bag("n", 100, 0, 0, 0.71, 1), bag("p", 0, 100, 0, 0.73, 1), bag("k", 0, 0, 100, 0.61, 1)]
    found = cheapest(want(400, 92, 345), straight)
    assert found.cost == pytest.approx(561.61)
    assert [count for _, count in found.counts] == [400, 92, 345]


@pytest.mark.parametrize("wanted", [(60, 20, 40), (9, 9, 9), (100, 0.5, 31), (23, 23, 30)])
def test_no_way_of_counting_bags_is_cheaper(wanted):
    found = cheapest(want(*wanted), ALL)
    every = (
        sum(one.price * count for one, count in zip(ALL, counts, strict=True))
        for counts in product(range(6), range(4), range(4), range(13))
        if all(
            sum(one.holds(n) * count for one, count in zip(ALL, counts, strict=True)) >= lb - 1e-6
            for n, lb in want(*wanted).items()
        )
    )
    assert found.cost == pytest.approx(min(every))
    assert all(found.brings[n] >= lb - 1e-5 for n, lb in want(*wanted).items())


def test_nothing_wanted_is_nothing_bought():
    assert cheapest(want(), ALL) == NOTHING


def test_what_nobody_asked_for_is_not_brought_while_there_is_a_way_without():
    found = cheapest(want(n=30), (BLEND, UREA))
    assert [one.name for one, _ in found.counts] == ["urea"]
    only = cheapest(want(n=10), (BLEND,))
    assert only.over == ("P2O5", "K2O")


def test_no_phosphate_ever_goes_on_soil_that_holds_enough():
    assert cheapest(want(n=10), (BLEND,), never=("P2O5",)) is None
    assert cheapest(want(n=10), (), never=()) is None
    assert cheapest(want(n=10, p2o5=3), (UREA, POTASH)) is None


def test_what_is_bought_loose_is_told_by_the_hundred_pounds():
    found = cheapest(want(n=100), (UREA,))
    assert found.counts == ((UREA, 5),)
    assert found.loose == ((UREA, 3),)


LB = st.integers(0, 120)


@settings(max_examples=25)
@given(
    wanted=st.tuples(LB, LB, LB), rise=st.integers(1, 40), which=st.integers(0, 3), more=st.integers(0, 60)
)
def test_a_dearer_bag_or_a_larger_need_never_costs_less(wanted, rise, which, more):
    dearer = [
        bag(one.name, one.n_pct, one.p2o5_pct, one.k2o_pct, one.price + rise * (place == which))
        for place, one in enumerate(ALL)
    ]
    found = cheapest(want(*wanted), ALL)
    assert cheapest(want(*wanted), dearer).cost >= found.cost - 1e-6
    if all(wanted):
        assert cheapest(want(wanted[0] + more, *wanted[1:]), ALL).cost >= found.cost - 1e-6
