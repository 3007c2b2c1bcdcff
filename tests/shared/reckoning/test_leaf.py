"""Leaf yards, depth, room, factor and verdict: published examples, pint, scipy, and what must always hold."""

from __future__ import annotations

import math

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from shared.errors import InputError, MissingInput, OutOfRange, Unparsable
from shared.reckoning.leaf import (
    covered,
    depth_verdict,
    leaf_depth,
    leaf_volume,
    room,
    stacked,
    truck_factor,
)

UNITS = pint.UnitRegistry()
ACRE = 43_560 * UNITS.foot**2
"""The international acre; pint's own ``acre`` is the survey acre."""
AREAS = st.floats(0.01, 1_000.0)
DEPTHS = st.lists(st.floats(0.5, 20.0), min_size=2, max_size=60)


@pytest.mark.parametrize(
    ("area_ac", "depth_in", "yards_yd3"),
    [
        # Plant Nutrients in Municipal Leaves (Rutgers data, N.J.A.C. 7:26-1.12, 1988): "about 800" yards an acre.
        (1.0, 6.0, 806.67),
        (1.0, 3.0, 403.33),
        # An acre-inch, 43,560 / 12 / 27.
        (1.0, 1.0, 134.44),
        # Cornell compost, calculation of spread volume: 350 x 200 ft at 2 in prints 434 with its rounded factor.
        (350 * 200 / 43_560, 2.0, 432.10),
    ],
)
def test_yards_for_a_depth_are_the_published_ones(area_ac, depth_in, yards_yd3):
    assert leaf_volume(area_ac, depth_in).yards_yd3 == pytest.approx(yards_yd3, abs=0.01)


def test_the_published_factor_for_spread_volume_is_within_half_a_percent_of_ours():
    # Cornell compost prints square feet x inches x 0.0031.
    printed = 350 * 200 * 2 * 0.0031
    assert printed == pytest.approx(434.0, abs=0.1)
    assert printed / leaf_volume(350 * 200 / 43_560, 2.0).yards_yd3 == pytest.approx(1.0044, abs=1e-4)


@pytest.mark.parametrize(("yards", "depth"), [(3_100, 5.49), (3_500, 6.20)])
def test_the_mean_depth_of_yards_on_4_2_acres(yards, depth):
    # Depth from loads: yd3 x 324 / ft2 covered (Washington dairy plan methods: amount over area covered).
    assert leaf_depth(yards, 4.2).depth_in == pytest.approx(depth, abs=0.01)


@pytest.mark.parametrize(("depth", "covers"), [(6.0, 1_080.0), (3.0, 2_160.0)])
def test_a_load_of_twenty_covers_what_a_yard_and_324_square_feet_say(depth, covers):
    assert leaf_depth(20.0, covers / 43_560).depth_in == pytest.approx(depth, abs=1e-9)


@given(AREAS, st.floats(0.1, 50.0))
def test_a_volume_agrees_with_pint(area_ac, depth_in):
    wanted = (area_ac * ACRE * depth_in * UNITS.inch).to(UNITS.yard**3).magnitude
    assert leaf_volume(area_ac, depth_in).yards_yd3 == pytest.approx(wanted, rel=1e-12)


@given(AREAS, st.floats(0.0, 60.0))
def test_depth_takes_back_volume(area_ac, depth_in):
    yards = leaf_volume(area_ac, depth_in).yards_yd3
    if yards <= 1_000_000:
        assert leaf_depth(yards, area_ac).depth_in == pytest.approx(depth_in, rel=1e-12)


@given(AREAS, st.floats(0.0, 100_000.0), st.floats(0.0, 0.9))
def test_ground_left_bare_makes_the_rest_deeper(area_ac, yards, share):
    whole = leaf_depth(yards, area_ac).depth_in
    part = leaf_depth(yards, area_ac, area_ac * 43_560 * share).depth_in
    assert part == pytest.approx(whole / (1 - share), rel=1e-9)


def test_as_much_left_bare_as_there_is_can_not_be():
    with pytest.raises(OutOfRange) as refused:
        leaf_depth(100, 1.0, 43_560)
    assert refused.value.name == "unspread_ft2"


@given(AREAS, st.floats(0.5, 12.0), st.floats(0.0, 500_000.0), st.floats(0.2, 3.0))
def test_room_and_what_is_over_balance(area_ac, cap_in, placed, factor):
    found = room(area_ac, cap_in, placed, factor=factor)
    takes = leaf_volume(area_ac, cap_in).yards_yd3 / factor
    assert found.room_yd3 - found.over_by_yd3 == pytest.approx(takes - placed, rel=1e-9, abs=1e-6)
    assert min(found.room_yd3, found.over_by_yd3) == 0.0
    if placed * factor <= 1_000_000:
        assert found.depth_in == pytest.approx(leaf_depth(placed * factor, area_ac).depth_in, rel=1e-9)
    assert found.whole_loads is None


@given(AREAS, st.floats(0.5, 12.0), st.floats(0.0, 100_000.0), st.floats(1.0, 100.0))
def test_whole_loads_fit_and_one_more_would_not(area_ac, cap_in, placed, load):
    found = room(area_ac, cap_in, placed, load_yd3=load)
    assert found.whole_loads * load <= found.room_yd3 * (1 + 1e-6) + 1e-6
    assert (found.whole_loads + 1) * load > found.room_yd3 * (1 - 1e-6)


def test_a_room_of_exactly_thirty_loads_is_thirty():
    # Three yards of room in loads of a tenth of a yard: binary rounding must not cost a load.
    area = 3 * 324 / 43_560
    assert room(area, 1.0, load_yd3=0.1).whole_loads == 30


def test_layers_on_one_part_add_up_in_any_order():
    layers = [("north", 1_500, 2.0), ("south", 300, 2.0), ("north", 200, 2.0)]
    assert stacked(layers) == stacked(layers[::-1])
    assert stacked(layers)["north"] == pytest.approx(6.32, abs=0.01)
    assert stacked(layers)["south"] == pytest.approx(1.12, abs=0.01)


@given(DEPTHS, st.floats(10.0, 10_000.0), st.floats(100.0, 400_000.0))
def test_a_truck_factor_agrees_with_scipy(depths, truck, covered_ft2):
    found = truck_factor(truck, depths, covered_ft2)
    ratio = covered_ft2 / 324 / truck
    assert found.factor == pytest.approx(sum(depths) / len(depths) * ratio, rel=1e-9)
    error = stats.sem(depths)
    if error > 1e-9:
        low, high = stats.t.interval(0.90, len(depths) - 1, loc=sum(depths) / len(depths), scale=error)
        assert found.low_factor == pytest.approx(max(0.0, low) * ratio, rel=1e-6, abs=1e-9)
        assert found.high_factor == pytest.approx(high * ratio, rel=1e-6)
    assert 0.0 <= found.low_factor <= found.factor <= found.high_factor


def test_a_truck_factor_takes_two_depths():
    with pytest.raises(OutOfRange):
        truck_factor(100, [3.0], 1_000)


@given(DEPTHS, st.floats(0.5, 15.0), st.randoms(use_true_random=False))
def test_a_verdict_does_not_depend_on_the_order_of_the_stops(depths, cap, order):
    shuffled = depths[:]
    order.shuffle(shuffled)
    assert depth_verdict(shuffled, cap) == depth_verdict(depths, cap)


@given(st.lists(st.floats(0.5, 20.0), min_size=10, max_size=40), st.floats(0.5, 15.0), st.floats(0.0, 5.0))
def test_a_higher_cap_never_turns_within_into_over(depths, cap, more):
    rank = {"within": 0, "cannot_say": 1, "over": 2}
    assert rank[depth_verdict(depths, cap + more).verdict] <= rank[depth_verdict(depths, cap).verdict]


@pytest.mark.parametrize(
    ("depths", "mean", "verdict", "spots"),
    [
        ([], "refused", None, None),
        ([0.2, 0.0], None, "cannot_say", 0),
        ([7.0], 7.0, "cannot_say", 1),
        ([9.0] * 9, 9.0, "cannot_say", 9),
        ([9.0] * 10, 9.0, "over", 10),
        ([6.0] * 10, 6.0, "within", 0),
        ([3.0] * 10 + [0.0] * 30, 3.0, "within", 0),
    ],
)
def test_a_verdict_at_its_bounds(depths, mean, verdict, spots):
    if mean == "refused":
        with pytest.raises(OutOfRange):
            depth_verdict(depths, 6.0)
        return
    found = depth_verdict(depths, 6.0)
    assert (found.verdict, found.spots) == (verdict, spots)
    assert found.mean_in == (None if mean is None else pytest.approx(mean))


def test_a_cap_and_the_farms_own_target_are_two_numbers():
    # The same stops against both: one layer is within the rule and over the farm's own depth.
    depths = [4.0, 4.2, 3.8, 4.1, 4.0, 3.9, 4.3, 4.0, 4.1, 3.9]
    assert depth_verdict(depths, 6.0).verdict == "within"
    assert depth_verdict(depths, 3.0).verdict == "over"


@given(st.lists(st.floats(0.0, 20.0), min_size=1, max_size=60), st.floats(0.1, 3.0))
def test_covered_keeps_its_three_figures_apart(depths, least):
    found = covered(depths, least)
    assert 0.0 <= found.covered_pct <= 100.0
    assert found.mean_in == pytest.approx(math.fsum(depths) / len(depths))
    if found.mean_covered_in is None:
        assert found.covered_pct == 0.0
    else:
        assert found.mean_covered_in >= max(least, found.mean_in) - 1e-9


@pytest.mark.parametrize(
    ("call", "error", "name"),
    [
        (lambda: leaf_volume(0.0, 6.0), OutOfRange, "area_ac"),
        (lambda: leaf_volume(1.0, -0.1), OutOfRange, "depth_in"),
        (lambda: leaf_volume(1.0, math.nan), OutOfRange, "depth_in"),
        (lambda: leaf_depth(math.inf, 1.0), OutOfRange, "yards_yd3"),
        (lambda: leaf_depth("3100", 1.0), Unparsable, "yards_yd3"),
        (lambda: leaf_depth(True, 1.0), Unparsable, "yards_yd3"),
        (lambda: leaf_depth(None, 1.0), MissingInput, "yards_yd3"),
        (lambda: room(1.0, 0.0), OutOfRange, "cap_in"),
        (lambda: room(1.0, 6.0, load_yd3=0.0), OutOfRange, "load_yd3"),
        (lambda: depth_verdict([5.0, 61.0], 6.0), OutOfRange, "depths_in"),
        (lambda: depth_verdict("5,6", 6.0), Unparsable, "depths_in"),
        (lambda: covered([]), OutOfRange, "depths_in"),
    ],
)
def test_bad_input_is_refused_by_name(call, error, name):
    with pytest.raises(InputError) as refused:
        call()
    assert (type(refused.value), refused.value.name) == (error, name)
