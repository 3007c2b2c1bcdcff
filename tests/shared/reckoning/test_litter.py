"""What leaves weigh, hold, lose and tie up."""

from __future__ import annotations

import math

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared.errors import MissingInput, OutOfRange
from shared.reckoning.litter import (
    leaf_dry_matter,
    leaf_left,
    leaf_left_range,
    leaf_nutrients,
    spreader_sheet,
    tie_up,
)

UNITS = pint.UnitRegistry()


def test_twenty_tons_of_leaves_of_median_make_up():
    # Heckman and Kluchinski 1996, J. Environ. Qual. 25:355-362, medians of 100 samples x 20 tons an acre.
    found = leaf_nutrients(20.0)
    assert found.n_lb == pytest.approx(376, abs=0.5)
    assert found.p_lb == pytest.approx(40, abs=0.5)
    assert found.k_lb == pytest.approx(144, abs=0.5)
    assert found.ca_lb == pytest.approx(692, abs=0.5)
    assert found.mg_lb == pytest.approx(96, abs=0.5)
    assert found.s_lb == pytest.approx(44, abs=0.5)
    assert found.c_lb == pytest.approx(19_200, abs=0.5)
    assert (found.b_lb, found.zn_lb) == pytest.approx((1.52, 2.68))
    assert (found.mn_lb, found.cu_lb) == pytest.approx((16.24, 0.324))


def test_the_fact_sheets_means_lie_near_the_medians():
    # Plant Nutrients in Municipal Leaves prints means at 20 tons: N 400, P 40, K 152, Ca 656, Mg 96, S 44.
    found = leaf_nutrients(20.0)
    printed = {"n_lb": 400, "p_lb": 40, "k_lb": 152, "ca_lb": 656, "mg_lb": 96, "s_lb": 44}
    for key, mean in printed.items():
        assert getattr(found, key) == pytest.approx(mean, rel=0.07)


def test_twenty_tons_add_ninety_two_pounds_of_phosphate():
    # 40 lb P x 2.2914 by atomic weights.
    assert leaf_nutrients(20.0).p2o5_lb == pytest.approx(91.66, abs=0.01)
    assert leaf_nutrients(20.0).k2o_lb == pytest.approx(144 * 1.2046, abs=0.01)


@pytest.mark.parametrize(("mg_per_ha", "tons"), [(45.0, 20.07), (22.5, 10.04)])
def test_the_trial_rates_in_tons_an_acre(mg_per_ha, tons):
    # Heckman and Kluchinski 2000, J. Sust. Agr. 17(2-3): 45 and 22.5 Mg/ha; by pint with the short ton.
    pounds = (mg_per_ha * 1_000 * UNITS.kilogram / UNITS.hectare).to(UNITS.pound / UNITS.foot**2).magnitude
    assert spreader_sheet(100.0, 100 * pounds).tons_per_ac == pytest.approx(tons, abs=0.01)


def test_yards_in_place_weigh_what_the_published_layer_does():
    # 20 tons an acre on the 806.67 yards of six inches: 49.587 lb a yard.
    assert leaf_dry_matter(1_000.0).dry_tons == pytest.approx(49.587 / 2, abs=1e-3)


@given(st.floats(1.0, 100_000.0))
def test_an_unmeasured_dry_weight_carries_a_wide_band(yards):
    found = leaf_dry_matter(yards)
    assert found.low_tons <= found.dry_tons / 2 + 1e-9
    assert found.high_tons >= 2 * found.dry_tons


def test_the_band_is_half_the_published_weight_to_300_pounds_a_yard_at_62_percent_dry():
    # The upper end from NRAES-54 Appendix A as remembered: loose leaves 100 to 300 lb a yard, 38 % water.
    found = leaf_dry_matter(2_000.0)
    assert found.low_tons == pytest.approx(found.dry_tons / 2)
    assert found.high_tons == pytest.approx(300 * 0.62)


def test_one_weighed_frame_is_good_to_a_quarter_either_side():
    found = leaf_dry_matter(1_000.0, 10.0, 4.0, 40.0, 6.0)
    assert (found.low_tons, found.high_tons) == pytest.approx((0.75 * 27, 1.25 * 27))


def test_a_weighed_frame_overrides_the_published_figure():
    # 10 lb wet at 40 % dry on 4 ft2, 6 in deep: 4 lb dry in 2 ft3, so 54 lb a yard.
    found = leaf_dry_matter(1_000.0, 10.0, 4.0, 40.0, 6.0)
    assert found.dry_tons == pytest.approx(27.0)
    assert found.low_tons < found.dry_tons < found.high_tons
    published = leaf_dry_matter(1_000.0)
    assert found.high_tons - found.low_tons < published.high_tons - published.low_tons


@pytest.mark.parametrize("missing", ["frame_wet_lb", "frame_ft2", "dry_pct", "depth_in"])
def test_a_frame_with_one_measure_missing_says_which(missing):
    frame = {"frame_wet_lb": 10.0, "frame_ft2": 4.0, "dry_pct": 40.0, "depth_in": 6.0}
    del frame[missing]
    with pytest.raises(MissingInput) as refused:
        leaf_dry_matter(100.0, **frame)
    assert refused.value.name == missing


@pytest.mark.parametrize(
    ("sheet", "net", "tons", "within"),
    [
        # Iowa State, Lorimor, Fall 2001: on 56 x 56 in a pound is a ton an acre.
        (21.78, 10.0, 10.0, 1e-9),
        # University of Massachusetts: 10 x 10 ft, 46 lb prints 10.03 with 21.8.
        (100.0, 46.0, 10.02, 0.02),
        # Jefferson conservation district: 12 x 12 ft, 30 lb.
        (144.0, 30.0, 4.54, 0.01),
        # NDSU 2017: 3 ft by 7 ft 4 in is 22 ft2, about a pound to a ton.
        (22.0, 10.0, 9.9, 1e-9),
    ],
)
def test_a_sheets_pounds_in_tons_an_acre(sheet, net, tons, within):
    assert spreader_sheet(sheet, net).tons_per_ac == pytest.approx(tons, abs=within)


@pytest.mark.parametrize(
    ("k", "months", "left"),
    [
        # Sharpe 1980 (k 0.59 and 1.22) and Harmon 1990 (0.38, 2.35) as single pools; 0.70 the default.
        (0.59, 12, 55.43), (0.70, 12, 49.66), (1.22, 12, 29.52),
        (0.38, 6, 82.7), (0.38, 24, 46.8), (0.59, 6, 74.5), (0.59, 24, 30.7), (0.70, 6, 70.5),
        (0.70, 24, 24.7), (1.22, 6, 54.3), (1.22, 24, 8.7), (2.35, 12, 9.5),
    ],
)  # fmt: skip
def test_what_is_left_after_so_many_months(k, months, left):
    assert leaf_left(months, k).left_pct == pytest.approx(left, abs=0.06 if left < 100 else 0.01)


@given(st.floats(0.0, 600.0), st.floats(0.0, 600.0))
def test_what_is_left_after_two_spans_is_the_product(one, other):
    both = leaf_left(one + other).left_pct
    assert both == pytest.approx(leaf_left(one).left_pct * leaf_left(other).left_pct / 100.0, rel=1e-9)


@given(st.floats(0.0, 1_200.0))
def test_the_range_of_what_is_left_is_ordered(months):
    found = leaf_left_range(months)
    assert 0.0 <= found.low_left_pct <= found.left_pct <= found.high_left_pct <= 100.0
    assert found.left_pct == leaf_left(months).left_pct


def test_tie_up_of_the_published_layer_is_below_nought():
    # NRCS 2011: 24 parts of carbon take one of nitrogen; 20 t/ac of median leaves could ask for 424 lb in all.
    worked = tie_up(19_200, 19_200 / 376, k_per_year=10.0, years=100)
    assert worked.decomposed_pct == pytest.approx(100.0)
    assert worked.net_n_lb == pytest.approx(-424.0, abs=0.5)


@pytest.mark.parametrize(("years", "low", "high"), [(1, -21, 15), (3, 16, 66)])
def test_the_pools_give_the_worked_cases_range(years, low, high):
    found = tie_up(19_200, 48.5, years=years)
    assert found.low_n_lb == pytest.approx(low, abs=0.5)
    assert found.high_n_lb == pytest.approx(high, abs=0.5)


def test_the_bound_never_turns_into_release_by_itself():
    # However long one waits, leaves at C:N over 24 stay below nought in the bound.
    assert all(tie_up(19_200, 48.5, years=years).net_n_lb < 0.0 for years in (0.5, 1, 3, 10, 50, 100))


@given(st.floats(1.0, 50_000.0), st.floats(5.0, 200.0), st.floats(0.0, 5.0), st.floats(0.0, 10.0))
def test_tie_up_is_in_proportion_to_carbon_and_its_range_is_ordered(carbon, ratio, k, years):
    one, two = tie_up(carbon, ratio, k, years), tie_up(2 * carbon, ratio, k, years)
    assert two.net_n_lb == pytest.approx(2 * one.net_n_lb, rel=1e-9, abs=1e-9)
    assert one.low_n_lb <= one.high_n_lb
    assert 0.0 <= one.decomposed_pct <= 100.0


@given(st.floats(24.5, 200.0), st.floats(0.1, 20.0))
def test_material_poorer_than_24_ties_up_and_richer_sets_free(ratio, years):
    assert tie_up(1_000, ratio, years=years).net_n_lb < 0.0
    assert tie_up(1_000, 24.0**2 / ratio, years=years).net_n_lb > 0.0


@pytest.mark.parametrize(
    ("call", "name"),
    [
        (lambda: leaf_nutrients(-1), "dry_tons_per_ac"),
        (lambda: leaf_left(-1), "months"),
        (lambda: leaf_left(12, math.nan), "k_per_year"),
        (lambda: tie_up(100, 0.5), "c_to_n"),
        (lambda: spreader_sheet(0, 5), "sheet_ft2"),
    ],
)
def test_a_value_that_can_not_be_is_refused_by_name(call, name):
    with pytest.raises(OutOfRange) as refused:
        call()
    assert refused.value.name == name
