"""Cone pressure, the share of hard points, the hard layer."""

from __future__ import annotations

import math

import numpy as np
import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared.errors import InputError
from shared.reckoning.firmness import (
    CONE_IN2,
    CONE_MM,
    FlaggedLayer,
    HardLayer,
    asks_spade,
    cone_pressure,
    field_layer,
    firmness,
    hard_layer,
    is_hard,
)

UNITS = pint.UnitRegistry()
TWELVE = [120, 180, 250, 310, 320, 290, 330, 200, 210, 305, 340, 260]
PEAKS = st.lists(st.floats(0.0, 900.0), min_size=1, max_size=40)
MOISTURES = ("dry", "moist", "ready", "wet", "unknown")


@pytest.mark.parametrize(
    ("cone", "area_mm2", "area_in2"),
    [("three_quarter_inch", 322.699, 0.5002), ("half_inch", 129.284, 0.2004)],
)
def test_a_cones_base_follows_from_its_published_diameter(cone, area_mm2, area_in2):
    # USFS MTDC htm05242837, citing ASAE S313.3 and EP542: 20.27 and 12.83 mm.
    base = math.pi / 4 * (CONE_MM[cone].value * UNITS.millimeter) ** 2
    assert base.to("mm**2").magnitude == pytest.approx(area_mm2, abs=1e-3)
    assert base.to("inch**2").magnitude == pytest.approx(area_in2, abs=1e-4)
    assert CONE_IN2[cone].value == pytest.approx(base.to("inch**2").magnitude, rel=2e-3)


@pytest.mark.parametrize(("force", "cone"), [(150.0, "three_quarter_inch"), (60.0, "half_inch")])
def test_three_hundred_psi_by_the_gauge(force, cone):
    # 300 psi x 0.5 in2 = 150 lbf; x 0.2 in2 = 60 lbf.
    assert cone_pressure(force, cone).psi == pytest.approx(300.0, rel=1e-3)


def test_the_wrong_cone_is_no_small_error():
    assert cone_pressure(60.0, "half_inch").psi == pytest.approx(
        2.5 * cone_pressure(60.0, "three_quarter_inch").psi
    )


def test_five_of_twelve_probes_can_not_tell_slight_from_moderate():
    # University of Kentucky ID-153: act at half or more over 300 psi; Wilson 95 % 19.3 to 68.0 %.
    found = firmness(TWELVE)
    assert found.over_pct == pytest.approx(41.7, abs=0.05)
    assert (found.low_pct, found.high_pct) == pytest.approx((19.3, 68.0), abs=0.05)
    assert (found.act, found.sure, found.unjudged) == (False, False, 0)


@pytest.mark.parametrize(
    ("hard", "of", "act", "sure"),
    [
        (0, 10, False, True),
        (5, 10, True, False),
        (10, 10, True, True),
        (9, 20, False, False),
        (15, 20, True, True),
    ],
)
def test_the_share_decides_act_and_the_interval_decides_sure(hard, of, act, sure):
    found = firmness([350.0] * hard + [200.0] * (of - hard))
    assert (found.act, found.sure) == (act, sure)


def test_points_that_no_one_can_judge_are_kept_and_counted():
    found = firmness([350, 250, 350, 250, 350], ["dry", "wet", "unknown", "unknown", "moist"])
    assert (found.over_pct, found.low_pct, found.high_pct) == (None, None, None)
    assert (found.act, found.sure, found.unjudged) == (False, False, 5)


@given(PEAKS, st.data())
def test_every_point_is_judged_or_counted_as_not(peaks, data):
    states = data.draw(st.lists(st.sampled_from(MOISTURES), min_size=len(peaks), max_size=len(peaks)))
    found = firmness(peaks, states)
    judged = [is_hard(peak, state) for peak, state in zip(peaks, states, strict=True)]
    assert found.unjudged == judged.count(None)
    if found.over_pct is not None:
        assert 0.0 <= found.low_pct <= found.over_pct <= found.high_pct <= 100.0


@given(PEAKS, st.floats(0.0, 500.0))
def test_harder_ground_is_never_a_smaller_share(peaks, more):
    assert firmness([peak + more for peak in peaks]).over_pct >= firmness(peaks).over_pct


@given(PEAKS, st.randoms(use_true_random=False))
def test_a_share_does_not_depend_on_the_order(peaks, order):
    shuffled = peaks[:]
    order.shuffle(shuffled)
    assert firmness(shuffled) == firmness(peaks)


def test_high_readings_under_old_sod_ask_for_a_spade_first():
    # Duiker, Penn State: sod and long no-till may read over 300 psi with no compaction.
    assert asks_spade(firmness(TWELVE), under_sod=True)
    assert not asks_spade(firmness(TWELVE), under_sod=False)
    assert not asks_spade(firmness([200.0] * 10), under_sod=True)


def test_a_layers_top_and_bottom_lie_between_the_readings():
    # 280 at 6 in to 380 at 9 in crosses 300 a fifth of the way; 340 at 12 to 240 at 15 two fifths.
    found = hard_layer([(0, 50), (3, 150), (6, 280), (9, 380), (12, 340), (15, 240)])
    assert (found.top_in, found.bottom_in) == pytest.approx((6.6, 13.2))
    assert found.caution is None


@pytest.mark.parametrize(
    ("profile", "top", "bottom"),
    [
        ([(3, 300), (6, 300)], None, None),
        ([(3, 299), (6, 301)], 4.5, None),
        ([(3, 300), (6, 301), (9, 300)], 3.0, 9.0),
        ([(6, 250)], None, None),
        ([(6, 350)], 6.0, None),
        ([(0, 100), (6, 400), (9, 100), (12, 400)], 4.0, 7.0),
    ],
)
def test_a_layer_at_its_bounds(profile, top, bottom):
    found = hard_layer(profile)
    assert found.top_in == (None if top is None else pytest.approx(top))
    assert found.bottom_in == (None if bottom is None else pytest.approx(bottom))


PROFILES = st.lists(
    st.tuples(st.integers(0, 40), st.floats(0.0, 800.0)),
    min_size=2,
    max_size=12,
    unique_by=lambda one: one[0],
)


@given(PROFILES, st.floats(50.0, 600.0))
def test_a_layer_lies_where_a_fine_interpolation_finds_it(profile, limit):
    ordered = sorted(profile)
    found = hard_layer(profile, limit)
    depths = np.linspace(ordered[0][0], ordered[-1][0], 5_000)
    over = np.interp(depths, *zip(*ordered, strict=True)) > limit + 1e-9
    step = depths[1] - depths[0]
    if not over.any():
        return
    top = depths[over.argmax()]
    assert found.top_in is not None
    assert found.top_in <= top + 1e-9
    after = ~over & (depths > top)
    if after.any() and top - found.top_in <= step:
        assert found.bottom_in is not None
        assert abs(found.bottom_in - depths[after.argmax()]) <= step + 1e-6


@given(PROFILES, st.randoms(use_true_random=False))
def test_a_layer_does_not_depend_on_the_order_of_the_readings(profile, order):
    shuffled = profile[:]
    order.shuffle(shuffled)
    assert hard_layer(shuffled) == hard_layer(profile)


def test_a_fields_layer_is_the_median_of_the_probes_that_met_one():
    probes = [HardLayer(6.0, 10.0), HardLayer(None, None), HardLayer(8.0, 12.0), FlaggedLayer(7.0, None)]
    assert field_layer(probes) == HardLayer(7.0, 11.0)
    assert field_layer([HardLayer(None, None)]) == HardLayer(None, None)


@pytest.mark.parametrize(
    ("call", "name"),
    [
        (lambda: cone_pressure(-1, "half_inch"), "force_lbf"),
        (lambda: cone_pressure(10, "one_inch"), "cone"),
        (lambda: firmness([]), "peaks_psi"),
        (lambda: firmness([300, math.nan]), "peaks_psi"),
        (lambda: firmness([300], ["ready", "ready"]), "moistures"),
        (lambda: firmness([300], ["soggy"]), "moistures"),
        (lambda: hard_layer([(3, 100), (3, 200)]), "profile_psi"),
        (lambda: hard_layer([(3, 100, 5)]), "profile_psi"),
        (lambda: hard_layer([(3, 100)], 0), "limit_psi"),
    ],
)
def test_a_reading_that_can_not_be_is_refused_by_name(call, name):
    with pytest.raises(InputError) as refused:
        call()
    assert refused.value.name == name
