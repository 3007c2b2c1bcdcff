"""Cover crops: stages by the tables in print, dry matter by height and by a weighed sample."""

from __future__ import annotations

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared.errors import OutOfRange
from shared.reckoning.cover import BANDS, STAGES, cover_biomass, cover_stage, sample_biomass

UNITS = pint.UnitRegistry()


def test_at_1250_units_after_emergence_boot_is_reached_and_half_bloom_is_not():
    # High Plains Regional Climate Center, AWDN crop_sorghum.txt: boot 1232, half bloom 1467 (early hybrids).
    found = cover_stage("sorghum_sudan", 1250.0, "hprcc_50_86")
    assert (found.reached, found.next, found.units_to_next) == ("boot", "half_bloom", 217.0)


def test_at_1400_units_from_planting_a_later_hybrid_has_not_its_flag_leaf():
    # K-State Agronomy eUpdate 661, medium-late: growing point 1152, flag leaf 1404.
    found = cover_stage("sudan", 1400.0, "kstate_50_100_late")
    assert (found.reached, found.next, found.units_to_next) == ("growing_point", "flag_leaf", 4.0)


def test_the_same_units_mean_another_stage_in_another_table():
    reached = {table: cover_stage("sorghum_sudan", 1220.0, table).reached for table in STAGES}
    assert reached == {
        "hprcc_50_86": "final_leaf",
        "kstate_50_100_early": "boot",
        "kstate_50_100_late": "growing_point",
    }


def test_before_emergence_no_stage_is_reached_and_after_the_last_none_is_next():
    assert cover_stage("sorghum_sudan", 98.0, "kstate_50_100_early").reached is None
    last = cover_stage("sorghum_sudan", 2556.0, "kstate_50_100_early")
    assert (last.reached, last.next, last.units_to_next) == ("black_layer", None, None)


@pytest.mark.parametrize("table", STAGES)
def test_the_stages_of_a_table_come_one_after_another(table):
    at = [figure.value for _, figure in STAGES[table]]
    assert at == sorted(set(at))


@given(st.sampled_from(sorted(STAGES)), st.floats(0.0, 8000.0), st.floats(0.0, 500.0))
def test_more_units_never_bring_an_earlier_stage(table, units, more):
    order = [None, *(stage for stage, _ in STAGES[table])]
    later = cover_stage("sorghum_sudan", min(8000.0, units + more), table).reached
    assert order.index(later) >= order.index(cover_stage("sorghum_sudan", units, table).reached)


def test_an_excellent_orchardgrass_stand_of_7_in_cut_at_3_in_yields_1200_to_1400_lb():
    # Cornell/NRCS pasture stick, in UMaine Lesson 1, appendix D.
    found = cover_biomass("orchardgrass", "excellent", 7.0, 3.0)
    assert (found.low_lb_per_ac, found.high_lb_per_ac) == (1200.0, 1400.0)


@pytest.mark.parametrize("stand", ["fair", "good", "excellent"])
def test_r18_sorghum_sudangrass_is_60_to_130_lb_an_acre_inch_whatever_the_stand(stand):
    found = cover_biomass("sorghum_sudan", stand, 69.0, 6.0)
    assert (found.low_lb_per_ac, found.high_lb_per_ac) == (63 * 60.0, 63 * 130.0)


def test_the_sorghum_band_lies_within_what_its_yields_and_heights_span():
    # 1-2 tons at 36-48 in less 6 in of stubble (US Dairy Forage Research Center): 48 to 133 lb an inch.
    least, most = 2000.0 / (48.0 - 6.0), 4000.0 / (36.0 - 6.0)
    one_inch = cover_biomass("sorghum_sudan", "good", 7.0, 6.0)
    assert least <= one_inch.low_lb_per_ac < one_inch.high_lb_per_ac <= most
    # About 4 tons at head height, 69 in (common practice, no source).
    tall = cover_biomass("sorghum_sudan", "good", 69.0, 6.0)
    assert tall.low_lb_per_ac <= 8000.0 <= tall.high_lb_per_ac


def test_a_stand_no_taller_than_its_stubble_yields_nothing():
    assert cover_biomass("timothy", "good", 3.0, 4.0).high_lb_per_ac == 0.0


@given(
    st.sampled_from(sorted(BANDS)),
    st.sampled_from(["fair", "good", "excellent"]),
    st.floats(0.0, 180.0),
    st.floats(0.0, 36.0),
    st.floats(0.0, 30.0),
)
def test_taller_stands_yield_no_less_and_low_never_passes_high(cover, stand, height, stubble, taller):
    found = cover_biomass(cover, stand, height, stubble)
    more = cover_biomass(cover, stand, min(180.0, height + taller), stubble)
    assert 0.0 <= found.low_lb_per_ac <= found.high_lb_per_ac
    assert more.low_lb_per_ac >= found.low_lb_per_ac


def test_a_better_stand_never_yields_less():
    for cover in BANDS:
        yields = [cover_biomass(cover, stand, 10.0, 3.0) for stand in ("fair", "good", "excellent")]
        assert yields == sorted(yields, key=lambda one: (one.low_lb_per_ac, one.high_lb_per_ac))


def test_a_cover_without_a_published_band_is_refused_not_guessed():
    with pytest.raises(OutOfRange) as caught:
        cover_biomass("rye", "good", 40.0, 4.0)
    assert "orchardgrass" in caught.value.allowed


def test_45_g_from_a_quarter_square_metre_is_1606_lb_an_acre():
    found = sample_biomass(45.0, 0.25)
    assert found.lb_per_ac == pytest.approx(1606.0, abs=1.0)
    assert found.tons_per_ac == pytest.approx(0.803, abs=1e-3)


def test_21_g_from_a_square_foot_is_2016_7_lb_an_acre():
    assert sample_biomass(21.0, 0.09290304).lb_per_ac == pytest.approx(2016.7, abs=0.1)


@given(st.floats(0.0, 100_000.0), st.floats(0.01, 100.0))
def test_a_sample_agrees_with_pint_on_the_international_acre(grams, frame):
    # Pint's acre is the survey acre; the international one is 43,560 square feet.
    per_ft2 = (grams * UNITS.gram / (frame * UNITS.meter**2)).to(UNITS.pound / UNITS.foot**2)
    assert sample_biomass(grams, frame).lb_per_ac == pytest.approx(per_ft2.magnitude * 43_560, rel=1e-12)


@pytest.mark.parametrize(("grams", "frame", "name"), [(45.0, 0.0, "frame_m2"), (-1.0, 0.25, "grams")])
def test_a_sample_without_a_frame_or_of_less_than_nothing_is_refused(grams, frame, name):
    with pytest.raises(OutOfRange) as caught:
        sample_biomass(grams, frame)
    assert caught.value.name == name
