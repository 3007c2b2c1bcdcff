"""What a crop still calls for, against published sums, and what must hold whatever the figures are."""

from __future__ import annotations

from datetime import date
from uuid import UUID

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared.ahead.fertilizer_amount import NONE, NUTRIENTS, Amount, exactly
from shared.ahead.fertilizer_need import CropNeed, crop_needs, hundreds, needed, whole_bags
from shared.ahead.fertilizer_shifts import (
    CoverStood,
    HayTaken,
    Leaves,
    Shift,
    Spread,
    of_cover,
    of_hay,
    of_leaves,
    of_spread,
    ties_up,
)
from shared.ahead.fertilizer_soil import SoilAnswer, graded
from shared.ahead.fertilizer_tables import LevelWord, LimeProduct, Material, Rate, Tables
from shared.ahead.fertilizer_years import rotation_of, year_of

DATED = date(2024, 1, 15)
TODAY = date(2026, 11, 25)
SAMPLED, PLANTED = date(2026, 10, 12), date(2027, 5, 15)
LAB, METHOD = "Bracken Laboratory", "Mehlich 3, ppm"
WORDS = (("low", 0.0, False), ("medium", 26.0, False), ("optimum", 51.0, False), ("excessive", 101.0, True))
LEVELS = tuple(
    LevelWord(LAB, METHOD, element, "ppm", word, start, "Bracken sheet 4", DATED, enough)
    for element in ("P", "K")
    for word, start, enough in WORDS
)
RATES = (
    Rate("sweet corn", "N", 125.0, "invented table 7", DATED),
    *(
        Rate("Sweet Corn", nutrient, lb, "invented table 7", DATED, LAB, METHOD, level)
        for nutrient in ("P2O5", "K2O")
        for level, lb in (("low", 160.0), ("medium", 120.0), ("optimum", 80.0))
    ),
)
TABLES = Tables(rates=RATES, levels=LEVELS)


def answer(p: float = 40.0, k: float = 40.0, lab: str = LAB, method: str = METHOD, unit: str = "ppm"):
    return SoilAnswer(SAMPLED, lab, method, (("p", p, unit), ("K", k, unit)))


def needs(shifts=(), tables=TABLES, soil=None, crop="sweet corn", today=TODAY):
    return crop_needs(crop, answer() if soil is None else soil, shifts, tables, today)


# published sums


def test_a_bag_holds_what_the_laboratory_manual_says():
    """Introduction to Soil Science Laboratory Manual (Schwyter and Vaughan), 8.5: a 50-lb bag of 15-10-10."""
    bag = Material("15-10-10", 15, 10, 10, 50, 0, "manual", DATED)
    assert [bag.holds(one) for one in NUTRIENTS] == pytest.approx([7.5, 5.0, 5.0])
    assert bag.grade == "15-10-10"


def test_a_hundred_pounds_of_nitrogen_take_eight_whole_bags_of_28_14_5():
    """N. M. Wilson, Marion County Extension (Florida): 100 lb N / 0.28 = 357 lb, 7.14 bags of 50 lb."""
    bag = Material("28-14-5", 28, 14, 5, 50, 0, "label", DATED)
    assert 100 / bag.holds("N") == pytest.approx(7.14, abs=0.005)
    assert whole_bags(100 / 0.28, 50) == 8
    assert hundreds(100 / 0.28) == 4


@pytest.mark.parametrize(("lb", "bags"), [(0, 0), (50, 1), (50.0000001, 2), (3 * (0.1 + 0.2) * 50 / 0.9, 1)])
def test_whole_bags_cover_and_do_not_go_over_for_a_rounding(lb, bags):
    assert whole_bags(lb, 50) == bags


def test_five_tons_of_alfalfa_take_what_kentucky_says():
    """Univ. of Kentucky, pss_views 142: a ton holds 50-14-55, so that 5 tons take 70 lb P2O5 and 275 lb K2O."""
    p_pct, k_pct = 14 / 2000 / 2.2914 * 100, 55 / 2000 / 1.2046 * 100
    shifts = of_hay(HayTaken(exactly(5.0), date(2027, 6, 1), p_pct, k_pct), SAMPLED)
    assert [round(one.lb.low, 6) for one in shifts] == [70, 275]


def test_hay_without_an_analysis_takes_the_range_of_two_published_figures():
    """Ohio State: 13 and 50 lb a ton; tri-state: 12 and 49."""
    shifts = of_hay(HayTaken(exactly(3.0), date(2027, 6, 1)), SAMPLED)
    assert [(one.nutrient, one.lb, one.takes) for one in shifts] == [
        ("P2O5", Amount(36.0, 39.0), True),
        ("K2O", Amount(147.0, 150.0), True),
    ]


def test_vetch_that_was_weighed_gives_what_pnw_636_says_within_its_range():
    """PNW 636 (2012): 2 tons an acre at 3.5 % N give 70 lb of plant-available nitrogen."""
    (one,) = of_cover(CoverStood("hairy vetch", date(2026, 9, 15), 3.5, 2.0))
    assert one.lb.low <= 70 <= one.lb.high
    assert one.source.startswith("Sullivan & Andrews")


def test_leaves_hold_what_the_medians_say():
    """Heckman and Kluchinski 1996, medians: 20 dry tons hold 40 lb P (91.7 lb P2O5) and 144 lb K (173.5 lb K2O)."""
    leaves = Leaves(exactly(20.0), date(2026, 11, 1), False)
    by = {one.nutrient: one.lb for one in of_leaves(leaves, PLANTED, SAMPLED)}
    assert by["P2O5"].high == pytest.approx(91.656)
    assert by["K2O"].high == pytest.approx(173.46, abs=0.01)
    assert by["P2O5"].low == 0.0


def test_four_tons_of_lime_for_the_missouri_case():
    """Univ. of Missouri, grassland evaluation guide: 1,600 lb of effective material at 400 lb a ton is 4 tons."""
    product = LimeProduct("ag lime", 20.0, 100.0, 30.0, "label", DATED)
    assert product.tons(1600 / 2000) == pytest.approx(4.0)


def test_purity_and_fineness_multiply():
    """Cornell NRCCA, performance objective 41: effective value = CCE x fineness factor."""
    product = LimeProduct("ag lime", 90.0, 80.0, 30.0, "label", DATED)
    assert product.tons(0.72) == pytest.approx(1.0)
    assert product.lb(0.72) == pytest.approx(2000.0)


# levels, never carried from one laboratory to another


@pytest.mark.parametrize(
    ("value", "word"), [(25.9, "low"), (26.0, "medium"), (100.9, "optimum"), (101, "excessive")]
)
def test_a_level_begins_at_its_printed_lower_bound(value, word):
    assert graded(answer(p=value), "P", TABLES).word == word


def test_pounds_are_graded_by_a_scale_in_ppm():
    assert graded(answer(p=104.0, unit="lb/ac"), "P", TABLES).word == "optimum"


def test_another_laboratory_or_method_has_no_level_and_no_rate():
    for soil in (answer(lab="Hollow Laboratory"), answer(method="Bray 1")):
        found = needs(soil=soil)
        assert found["P2O5"].need is None
        assert found["P2O5"].gap.key == "no_level"
        assert found["N"].need == exactly(125.0)


def test_the_same_potassium_is_another_level_at_rutgers_and_at_delaware():
    """Rutgers' and Delaware's printed levels: K 120 ppm is high at the one and medium at the other."""
    words = [
        graded(answer(k=120.0, lab=lab, method="Mehlich 3"), "K", Tables()).word
        for lab in ("Rutgers", "Delaware")
    ]
    assert words == ["high", "medium"]


def test_the_newest_of_two_rates_counts_in_whatever_order_they_were_typed():
    newer = Rate("sweet corn", "N", 140.0, "invented table 8", date(2026, 1, 1))
    for rates in ((*RATES, newer), (newer, *RATES)):
        assert Tables(rates=rates).rate("Sweet  corn", "N") == newer


# needs


def test_phosphorus_that_is_excessive_calls_for_none_whatever_hay_took():
    hay = of_hay(HayTaken(exactly(4.0), date(2026, 11, 1)), SAMPLED)
    found = needs(hay, soil=answer(p=140.0))["P2O5"]
    assert (found.need, found.enough, found.level.word) == (NONE, True, "excessive")


def test_hay_adds_potash_and_spread_fertilizer_lessens_it():
    shifts = (
        *of_hay(HayTaken(exactly(1.0), date(2026, 11, 1)), SAMPLED),
        *of_spread(Spread("fertilize", date(2026, 11, 2), 100.0, 0.0, 0.0, 60.0), PLANTED, SAMPLED),
    )
    found = needs(shifts)["K2O"]
    assert found.need == Amount(120 + 49 - 60, 120 + 50 - 60)
    assert found.spared == Amount(10, 11)


def test_what_happened_before_the_sample_is_in_the_test_and_counts_no_second_time():
    before = date(2026, 10, 11)
    assert of_hay(HayTaken(exactly(2.0), before), SAMPLED) == ()
    leaves = Leaves(exactly(20.0), before, True)
    assert [one.nutrient for one in of_leaves(leaves, PLANTED, SAMPLED)] == ["N"]
    spread = Spread("fertilize", before, 100.0, 0.0, 46.0, 0.0)
    assert of_spread(spread, PLANTED, SAMPLED) == ()


def test_the_first_crop_after_leaves_gets_no_nitrogen_credit_and_a_later_one_only_a_range():
    """Heckman, Wyenandt & Provance-Bowley 2011: tied up in the first crop, set free in the crop after."""
    first = of_leaves(Leaves(exactly(20.0), date(2023, 11, 10), False), PLANTED, None)
    soon = of_leaves(Leaves(exactly(20.0), date(2025, 11, 10), True), PLANTED, None)
    later = of_leaves(Leaves(exactly(20.0), date(2023, 11, 10), True), PLANTED, None)
    assert [one.lb for one in (*first, *soon)] == [NONE, NONE]
    assert first[0].why == "fertilizer.shift.leaves_n_first"
    assert later[0].lb.low == 0.0
    assert 0.0 < later[0].lb.high < 376.0
    assert needs(first)["N"].need == exactly(125.0)


def test_manure_gives_nitrogen_from_nothing_to_all_and_only_in_time():
    manure = Spread("manure", date(2027, 3, 1), 8000.0, 1.0, 0.5, 0.5)
    by = {one.nutrient: one.lb for one in of_spread(manure, PLANTED, SAMPLED)}
    assert by == {"N": Amount(0.0, 80.0), "P2O5": exactly(40.0), "K2O": exactly(40.0)}
    early = of_spread(Spread("manure", date(2026, 10, 20), 8000.0, 1.0, 0.0, 0.0), PLANTED, SAMPLED)
    assert early == ()


@pytest.mark.parametrize(
    ("cover", "lb"),
    [("rye-vetch", Amount(0.0, 100.0)), ("oats", NONE), ("clover", Amount(0.0, 100.0))],
)
def test_a_cover_that_nobody_weighed_gives_a_range_or_nothing(cover, lb):
    assert [one.lb for one in of_cover(CoverStood(cover, date(2026, 9, 15)))] == [lb]


def test_an_unknown_cover_gives_no_credit_at_all():
    assert of_cover(CoverStood("something else", date(2026, 9, 15))) == ()


# gaps


@pytest.mark.parametrize(
    ("found", "gap"),
    [
        (crop_needs("sweet corn", None, (), TABLES, TODAY), "no_test"),
        (needs(today=date(2029, 10, 20)), "old_test"),
        (needs(soil=SoilAnswer(SAMPLED, LAB, METHOD, (("pH", 6.4, "pH"),))), "no_figure"),
        (needs(crop="okra"), "no_crop"),
        (needs(soil=answer(p=60.0), tables=Tables(RATES[:1], LEVELS)), "no_rate"),
    ],
)
def test_what_is_lacking_is_said_and_no_figure_is_made_up(found, gap):
    assert found["P2O5"].need is None
    assert found["P2O5"].gap.key == gap


def test_a_test_of_three_years_is_still_used():
    assert needs(today=date(2029, 10, 11))["P2O5"].need is not None


# years


def crop_need(year: int, found, acres: float = 4.0) -> CropNeed:
    return CropNeed(UUID(int=year), "Crow Bank", acres, "sweet corn", year, PLANTED, answer(), found)


def test_a_year_sums_fields_and_tells_entries_and_plan_apart():
    shifts = (
        Shift("hay", "K2O", Amount(49, 50), True, True, "", ""),
        Shift("hay", "K2O", Amount(98, 100), True, False, "", ""),
    )
    year = year_of(2027, [crop_need(2027, needs(shifts)), crop_need(2028, needs())])
    assert year.need["K2O"] == Amount(4 * 267, 4 * 270)
    assert year.measured["K2O"] == Amount(-200, -196)
    assert year.modelled["K2O"] == Amount(-400, -392)
    assert year.spared["K2O"] == year.measured["K2O"] + year.modelled["K2O"]
    assert (year.known, year.crops, year.whole) == (1, 1, True)


def test_a_rotation_with_a_gap_says_that_it_is_not_whole():
    whole = rotation_of([crop_need(2027, needs()), crop_need(2028, needs(crop="okra"))])
    assert (whole.first, whole.last, whole.known, whole.crops, whole.whole) == (2027, 2028, 1, 2, False)
    assert whole.plain["N"] == 500.0
    assert rotation_of([]) is None


# what must hold whatever the figures are

LB = st.floats(0, 500)
AMOUNT = st.tuples(LB, LB).map(lambda ends: Amount(min(ends), max(ends)))


@given(rate=LB, gives=AMOUNT, takes=AMOUNT, more=LB)
def test_a_need_is_never_below_nothing_and_grows_with_the_rate_and_with_hay_and_not_with_credits(
    rate, gives, takes, more
):
    need = needed(rate, gives, takes)
    assert 0.0 <= need.low <= need.high
    assert needed(rate + more, gives, takes).low >= need.low
    assert needed(rate, gives, takes + exactly(more)).high >= need.high
    assert needed(rate, gives + exactly(more), takes).high <= need.high


@given(a=AMOUNT, b=AMOUNT, factor=st.floats(0, 50))
def test_ranges_stay_ranges(a, b, factor):
    for one in (a + b, a - b, a.times(factor), (a - b).not_under_0()):
        assert one.low <= one.high


@pytest.mark.parametrize(("low", "high"), [(2.0, 1.0), (float("nan"), 1.0), (0.0, float("inf"))])
def test_no_crossed_or_endless_range_can_be_built(low, high):
    with pytest.raises(ValueError, match="no range"):
        Amount(low, high)


@given(
    tons=AMOUNT.map(lambda one: one.times(0.3)),
    days=st.integers(0, 2500),
    since=st.booleans(),
)
def test_leaves_never_lower_the_sure_need_of_nitrogen(tons, days, since):
    on = date.fromordinal(PLANTED.toordinal() - days - 1)
    leaves = Leaves(tons, on, since)
    shifts = of_leaves(leaves, PLANTED, None)
    assert all(one.lb.low == 0.0 for one in shifts)
    if ties_up(leaves, PLANTED):
        assert all(one.lb == NONE for one in shifts)
    assert needs(shifts)["N"].need.high == 125.0


@given(
    cce=st.floats(0, 10),
    pct=st.floats(10, 180),
    fine=st.floats(10, 100),
    worse=st.floats(0, 50),
)
def test_poorer_lime_never_takes_fewer_tons(cce, pct, fine, worse):
    product = LimeProduct("a", pct, fine, 0.0, "", DATED)
    poorer = LimeProduct("a", max(10.0, pct - worse), fine, 0.0, "", DATED)
    assert poorer.tons(cce) >= product.tons(cce) >= 0.0
