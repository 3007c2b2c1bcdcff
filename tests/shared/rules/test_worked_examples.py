"""Worked examples of the trade, each with where its inputs or its formula come from.

The rule sheets and the reckoner are checked together: what the phone says at the moment of an entry.
"""

from __future__ import annotations

from datetime import date

import pytest

from shared import rules
from shared.reckoning.leaf import leaf_depth
from shared.reckoning.loads import load_tons, load_volume
from shared.units import INCH_FT2_PER_YD3

ACRE_FT2 = 43_560.0
NEW_JERSEY = [rules.sheet("new_jersey")]


def leafed(yards_yd3: float, acres: float, on: date = date(2025, 11, 20)) -> rules.Spread:
    return rules.Spread(part="north", on=on, yards_yd3=yards_yd3, area_ft2=acres * ACRE_FT2)


def test_example_4_3100_yards_on_4_2_acres_are_5_49_in_and_within_six():
    """Fact sheet *Plant Nutrients in Municipal Leaves* (6 in); yd3 = ft2 x in / 324, Cornell compost guidelines."""
    laid = rules.laid_depth("north", [leafed(3100, 4.2)])
    assert laid.depth_in == pytest.approx(5.49, abs=0.01)
    assert rules.depth(NEW_JERSEY, [leafed(3100, 4.2)], [], date(2025, 11, 20)) == ()


def test_example_5_3500_yards_on_4_2_acres_are_6_20_in_and_over_six():
    """The same sources."""
    (over,) = rules.depth(NEW_JERSEY, [leafed(3500, 4.2)], [], date(2025, 11, 20))
    assert (over.code, over.sheet, over.clause, over.limit) == ("depth_over", "new_jersey", "depth_in", 6.0)
    assert over.value == pytest.approx(6.20, abs=0.01)
    assert over.is_verdict
    assert over.standing == "summary"


@pytest.mark.parametrize(("depth_in", "covers_ft2"), [(6, 1080), (3, 2160)])
def test_example_7_a_load_of_20_yards_covers_1080_ft2_at_six_inches_and_2160_at_three(depth_in, covers_ft2):
    """A yard covers 324 ft2 an inch deep, Cornell compost guidelines. The check turns exactly there."""
    assert 20 * INCH_FT2_PER_YD3.value / depth_in == pytest.approx(covers_ft2, abs=1)
    assert leaf_depth(20, covers_ft2 / ACRE_FT2).depth_in == pytest.approx(depth_in)
    own = rules.own_sheet(CAPPED.format(cap=depth_in), "capped.toml")
    on = date(2025, 11, 20)
    wide = rules.Spread(part="spot", on=on, yards_yd3=20, area_ft2=covers_ft2)
    narrow = rules.Spread(part="spot", on=on, yards_yd3=20, area_ft2=covers_ft2 - 1)
    assert rules.depth([own], [wide], [], on) == ()
    assert [one.code for one in rules.depth([own], [narrow], [], on)] == ["depth_over"]


CAPPED = """
name = "capped"
title = "Capped"
authority = "the farm"
edition = "1"
force = "own"
read_on = "2026-11"
[depth_in]
value = {cap}
citation = "own"
standing = "read"
"""


def test_example_9_a_25_yard_bed_at_80_percent_vacuumed_is_20_yards_and_7_tons_and_its_report_can_go_out():
    """NJDEP conversion table, material 19: vacuumed 700 lb a yard."""
    assert load_volume(25, 80).yards_yd3 == pytest.approx(20, abs=0.01)
    counted = load_tons(20, "vacuumed")
    assert counted.tons == pytest.approx(7.0, abs=0.01)
    facts = rules.ReportFacts(2025, "yd3", counted.yd3_per_ton, date(2026, 2, 20))
    assert rules.report(NEW_JERSEY, facts, date(2026, 2, 20)) == ()


@pytest.mark.parametrize(
    ("packing", "tons", "ratio"), [("loose", 200, 5.00), ("vacuumed", 350, 2.857), ("compacted", 500, 2.00)]
)
def test_example_10_a_thousand_yards_by_packing_and_the_ratio_that_the_report_states(packing, tons, ratio):
    """NJDEP conversion table, material 19."""
    counted = load_tons(1000, packing)
    assert counted.tons == pytest.approx(tons, abs=0.1)
    assert counted.yd3_per_ton == pytest.approx(ratio, abs=0.001)
    facts = rules.ReportFacts(2025, "yd3", counted.yd3_per_ton, date(2026, 2, 20))
    assert rules.report(NEW_JERSEY, facts, date(2026, 2, 20)) == ()


def test_example_11_160_reporting_tons_on_an_acre_are_never_held_against_a_rate_of_20_tons_dry():
    """NJDEP table (800 yd3 loose are 160 t as received); fact sheet (about 20 t dry matter an acre at 6 in).

    A check of the rate takes dry or wet tons of the spreading; yards, and the reporting tons that come of
    them, have no way into it.
    """
    assert load_tons(800, "loose").tons == pytest.approx(160)
    will_county = [rules.sheet("will_county")]
    on = date(2025, 11, 20)
    by_yards_alone = rules.Spread(part="north", on=on, yards_yd3=800, area_ft2=ACRE_FT2)
    with_dry_tons = rules.Spread(part="north", on=on, yards_yd3=800, area_ft2=ACRE_FT2, dry_tons=20)
    assert rules.rate(will_county, [by_yards_alone], on) == ()
    assert rules.rate(will_county, [with_dry_tons], on) == ()


def test_example_23_trash_by_volume_is_held_against_a_limit_by_volume_alone():
    """Washington's proposal for incoming material, 5 % by volume; a yard is 201.97 gal. California's 1 % is by
    weight, 14 CCR 17868.5."""
    clean, dirty = rules.by_volume("0613", 1, 5), rules.by_volume("0614", 1, 12)
    assert clean.volume_pct == pytest.approx(2.48, abs=0.01)
    assert dirty.volume_pct == pytest.approx(5.94, abs=0.01)
    by_volume, by_weight = rules.sheet("farm"), rules.sheet("california")
    assert rules.trash([by_volume], clean) == ()
    (over,) = rules.trash([by_volume], dirty)
    assert (over.code, over.limit) == ("trash_over_volume", 5.0)
    # 5.94 is above 1, but not of the same thing: all there is to say is that nobody weighed it.
    assert {one.code for one in rules.trash([by_weight], dirty)} == {
        "trash_unmeasured_weight",
        "trash_unmeasured_dry_weight",
    }


def test_example_25_will_county_spread_on_day_5_is_in_time_and_tilled_on_day_6_is_late():
    """Will County code, eff. 1 Oct 2012; that the day of the event is day 0 is the sheet's own field."""
    will_county = [rules.sheet("will_county")]
    arrival = rules.Arrival("0613", date(2024, 11, 4), date(2024, 11, 9))
    assert rules.spread_in_time(will_county, arrival, date(2024, 11, 20)) == ()
    runs = rules.clocks(
        [leafed(100, 1, date(2024, 11, 9))], [rules.WorkedIn(on=date(2024, 11, 15), part="north")]
    )
    (late,) = rules.work_in(will_county, runs, date(2024, 11, 20))
    assert (late.code, late.value, late.limit) == ("worked_in_late", 6, 5)
    assert dict(late.facts)["last_day"] == date(2024, 11, 14)


def test_example_26_a_prohibited_substance_of_15_june_2023_frees_the_harvest_on_15_june_2026():
    """7 CFR 205.202(b)."""
    nop = [rules.sheet("nop")]
    last = (date(2023, 6, 15),)
    assert rules.organic_harvest(nop, rules.OrganicHarvest("north", date(2026, 6, 15), last)) == ()
    (early,) = rules.organic_harvest(nop, rules.OrganicHarvest("north", date(2026, 6, 14), last))
    assert (early.value, early.limit) == (date(2026, 6, 14), date(2026, 6, 15))


def test_example_28_the_report_for_2025_is_due_on_1_march_2026_to_three_and_blocked_without_a_ratio():
    """N.J.A.C. 7:26A-4.4(b)."""
    (due,) = rules.reports_due(NEW_JERSEY, 2025)
    assert (due.due_on, due.to) == (date(2026, 3, 1), ("municipality", "county", "state_agency"))
    today = date(2026, 2, 1)
    assert [one.code for one in rules.report(NEW_JERSEY, rules.ReportFacts(2025, "yd3"), today)] == [
        "report_blocked"
    ]
    assert rules.report(NEW_JERSEY, rules.ReportFacts(2025, "tons"), today) == ()
    (overdue,) = rules.report(NEW_JERSEY, rules.ReportFacts(2025, "tons"), date(2026, 3, 2))
    assert overdue.code == "report_overdue"


def test_example_30_a_fourth_application_in_twelve_months_is_over_on_farm_land_and_depth_is_judged_too():
    """14 CCR 17852(a)(24.5)."""
    california = [rules.sheet("california")]
    days = (date(2024, 11, 1), date(2025, 1, 5), date(2025, 3, 2), date(2025, 10, 20))
    spreads = [leafed(400, 1, on) for on in days]
    (over,) = rules.applications(california, spreads, [], days[-1], "farm")
    assert (over.value, over.limit, over.clause) == (4, 3, "applications_farm_zone")
    assert rules.applications(california, spreads[:3], [], days[2], "farm") == ()
    assert rules.depth(california, spreads, [], days[-1]) == ()
    deeper = [leafed(404, 1, on) for on in days]
    (deep,) = rules.depth(california, deeper, [], days[-1])
    assert deep.value == pytest.approx(12.02, abs=0.01)
