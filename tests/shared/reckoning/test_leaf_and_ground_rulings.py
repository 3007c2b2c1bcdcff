"""What two careful people would compute differently, decided once: depth, room, firmness, constants, ground.

R4, R5, R8 to R14, R17 and R19 stand with the rules, the rotation, the soil tests, the weeds and the status.
"""

from __future__ import annotations

import pytest

from shared.languages import say
from shared.reckoning.firmness import READY_FROM_PCT, FlaggedLayer, firmness, hard_layer, is_hard
from shared.reckoning.ground import GroundFitness, ground_fitness
from shared.reckoning.leaf import covered, depth_verdict, leaf_depth, room, stacked, truck_factor
from shared.reckoning.litter import leaf_dry_matter, leaf_left_range
from shared.reckoning.table import RECKONER

TEN = [4, 5, 5, 6, 6, 6, 6, 6.4, 7, 5]


def test_r1_a_depth_verdict_is_by_the_interval_of_ten_stops_and_a_spot_is_no_verdict():
    found = depth_verdict(TEN, 6.0)
    assert found.mean_in == pytest.approx(5.64)
    assert found.spots == 2
    assert found.verdict == "cannot_say"
    assert depth_verdict([each + 1.0 for each in TEN], 6.0).verdict == "over"
    assert depth_verdict([each - 1.0 for each in TEN], 6.0).verdict == "within"
    assert depth_verdict([9.0] * 9, 6.0).verdict == "cannot_say"


def test_r1_the_high_end_may_touch_the_cap_and_the_low_end_may_not():
    assert depth_verdict(TEN, depth_verdict(TEN, 6.0).high_in).verdict == "within"
    assert depth_verdict(TEN, depth_verdict(TEN, 6.0).low_in).verdict == "cannot_say"


def test_r2_truck_yards_are_not_ground_yards():
    found = room(4.0, 6.0, 2_000.0, load_yd3=20.0)
    assert found.whole_loads == 61
    assert found.room_yd3 == pytest.approx(1_226.67, abs=0.01)
    # A field where a truck yard settles to half a ground yard takes twice as many of them.
    settled = room(4.0, 6.0, 2_000.0, load_yd3=20.0, factor=0.5)
    assert settled.room_yd3 == pytest.approx(2 * 3_226.667 - 2_000, abs=0.01)
    assert settled.depth_in == pytest.approx(found.depth_in / 2)
    assert "truck yards" in say("en", RECKONER["leaf_room"].caution)


def test_r2_the_farm_learns_its_factor_with_an_interval():
    found = truck_factor(2_000.0, [3.0, 3.2, 2.8, 3.1, 2.9], 4.0 * 43_560)
    assert found.factor == pytest.approx(3.0 * 4 * 43_560 / 324 / 2_000)
    assert found.low_factor < found.factor < found.high_factor


def test_r3_the_same_ground_adds_up():
    layers = [("lower half", 1_500.0, 2.0), ("lower half", 200.0, 2.0)]
    assert stacked(layers)["lower half"] == pytest.approx(6.32, abs=0.01)
    # The mean of the whole four acres would hide it.
    assert leaf_depth(1_700.0, 4.0).depth_in == pytest.approx(3.16, abs=0.01)


def test_r6_covered_is_half_an_inch_and_gives_three_figures():
    found = covered([0.0, 0.49, 0.5, 3.5])
    assert found.covered_pct == 50.0
    assert found.mean_covered_in == 2.0
    assert found.mean_in == pytest.approx(1.1225)
    # A verdict takes the same stops as covered.
    assert depth_verdict([0.5] * 10 + [0.49] * 10, 6.0).mean_in == 0.5


def test_r7_a_settled_layer_can_be_over_and_never_within():
    assert depth_verdict([5.0] * 10, 6.0).verdict == "within"
    assert depth_verdict([5.0] * 10, 6.0, settled=True).verdict == "cannot_say"
    assert depth_verdict([7.0] * 10, 6.0, settled=True).verdict == "over"


@pytest.mark.parametrize(
    ("moisture", "at_300", "over_300"),
    [("ready", False, True), ("dry", False, None), ("wet", None, True), ("unknown", None, None)],
)
def test_r15_moisture_says_what_a_reading_can_show(moisture, at_300, over_300):
    assert (is_hard(300.0, moisture), is_hard(300.1, moisture)) == (at_300, over_300)


def test_r15_moist_is_drier_than_ready_and_is_judged_as_dry():
    assert READY_FROM_PCT.value == 75.0
    assert (is_hard(300.0, "moist"), is_hard(300.1, "moist")) == (False, None)


def test_r15_the_share_decides_act_and_the_interval_decides_sure():
    half = firmness([350.0] * 6 + [250.0] * 6)
    assert (half.act, half.sure) == (True, False)
    most = firmness([350.0] * 14 + [250.0] * 2)
    assert (most.act, most.sure) == (True, True)
    few = firmness([350.0] * 5 + [250.0] * 7)
    assert (few.act, few.sure) == (False, False)


def test_r15_what_can_not_be_judged_is_kept_out_of_the_share_and_counted():
    found = firmness([350, 250, 350, 250], ["dry", "dry", "wet", "wet"])
    assert (found.over_pct, found.unjudged) == (50.0, 2)


def test_r16_a_layer_is_strictly_over_at_its_first_crossing():
    assert hard_layer([(3, 200), (6, 300), (9, 300)]).top_in is None
    found = hard_layer([(3, 200), (6, 400), (9, 200), (12, 500)])
    assert (found.top_in, found.bottom_in) == (4.5, 7.5)


def test_r16_a_first_reading_already_over_is_the_top_and_is_flagged():
    found = hard_layer([(3, 400), (6, 200)])
    assert isinstance(found, FlaggedLayer)
    assert (found.top_in, found.bottom_in) == (3, 4.5)
    assert "starts there or above" in say("en", found.caution)


def test_r16_a_layer_that_never_falls_back_has_no_bottom():
    found = hard_layer([(3, 200), (6, 400), (9, 350)])
    assert (found.top_in, found.bottom_in) == (4.5, None)


def test_r18_a_yard_in_place_holds_49_587_pounds_within_a_wide_band():
    found = leaf_dry_matter(806.6666666666666)
    assert found.dry_tons == pytest.approx(20.0)
    assert found.dry_tons * 2_000 / 806.6666666666666 == pytest.approx(49.587, abs=1e-3)
    assert found.high_tons / found.low_tons > 4
    # A town's own frame: 9 lb wet at 45 % dry on 4 ft2, 5 in deep.
    assert leaf_dry_matter(1_000, 9, 4, 45, 5).dry_tons == pytest.approx(1_000 * 4.05 * 324 / 20 / 2_000)


def test_r18_what_is_left_carries_the_band_of_k_0_38_to_1_22():
    found = leaf_left_range(12)
    # 0.38 and 1.22 at twelve months: Harmon 1990; Sharpe 1980.
    assert (found.low_left_pct, found.left_pct, found.high_left_pct) == pytest.approx(
        (29.52, 49.66, 68.39), abs=0.01
    )


def test_r20_will_bear_a_truck_is_not_may_be_spread_on():
    assert GroundFitness.__slots__ == ("verdict", "why")
    told = say("en", RECKONER["ground_fitness"].caution)
    assert "not whether the rule lets you spread" in told
    assert ground_fitness("frozen", frost_in=8.0, axle_tons=8.0).why == "frozen_hard"
