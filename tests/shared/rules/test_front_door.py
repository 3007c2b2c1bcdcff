"""What the phone calls at the moment of an entry."""

from __future__ import annotations

from dataclasses import FrozenInstanceError, replace
from datetime import date

import pytest

from shared import rules
from shared.errors import OutOfRange, UnknownName

SHEETS = {
    "new_jersey",
    "connecticut",
    "will_county",
    "california",
    "wisconsin",
    "ohio_intake",
    "nop",
    "produce_safety",
    "farm",
}
DAY = date(2025, 11, 3)
OWN = 'name = "own"\ntitle = "Own"\nauthority = "us"\nedition = "1"\nforce = "own"\nread_on = "2026-11"\n'


def test_nine_sheets_come_with_the_program():
    assert set(rules.sheet_names()) == SHEETS


def test_an_unknown_sheet_is_told_with_those_that_there_are():
    with pytest.raises(UnknownName) as caught:
        rules.sheet("atlantis")
    assert set(caught.value.known) == SHEETS
    with pytest.raises(UnknownName):
        rules.sheets_in_force(["new_jersey", "atlantis"])


def test_a_new_farm_begins_with_new_jersey_the_organic_program_and_its_own_six_inches():
    in_force = rules.sheets_in_force(rules.DEFAULT_SHEETS)
    assert [one.name for one in in_force] == ["new_jersey", "nop", "farm"]
    assert [cap.depth_in for cap in rules.caps(in_force)] == [6, 6]


def test_a_farms_own_sheet_stands_in_for_the_one_that_comes_with_the_program():
    stricter = rules.own_sheet(
        OWN.replace('"own"\ntitle', '"farm"\ntitle')
        + '[depth_in]\nvalue = 4\ncitation = "own"\nstanding = "read"\n',
        "farm.toml",
    )
    in_force = rules.sheets_in_force([*rules.DEFAULT_SHEETS, "farm"], own=[stricter])
    assert [one.title for one in in_force] == [
        "New Jersey leaf mulching",
        "National Organic Program records",
        "Own",
    ]
    assert rules.lowest_cap(in_force).depth_in == 4


def test_a_looser_limit_of_the_farms_own_takes_nothing_from_the_law():
    loose = rules.own_sheet(OWN + '[depth_in]\nvalue = 9\ncitation = "own"\nstanding = "read"\n', "own.toml")
    in_force = rules.sheets_in_force(["new_jersey", "own"], own=[loose])
    assert rules.lowest_cap(in_force).sheet.name == "new_jersey"
    assert [one.sheet for one in rules.depth_at_stop(in_force, "north", 7)] == ["new_jersey"]


def test_a_sheet_cant_be_changed_once_read():
    with pytest.raises(FrozenInstanceError):
        rules.sheet("farm").title = "Other"


def test_an_advised_value_binds_nobody_and_says_so():
    california = rules.sheet("california")
    (over,) = rules.trash(
        [california], rules.TrashFacts(load="0613", seen=True, weight_pct=2.0, dry_weight_pct=0.0)
    )
    assert over.severity == "reminder"
    assert "advice" in rules.worded(over, "en").text()


def test_a_proposed_value_binds_nobody_and_says_so():
    text = OWN + '[trash_volume_pct]\nvalue = 5\nforce = "proposed"\ncitation = "WAC"\nstanding = "read"\n'
    (over,) = rules.trash([rules.own_sheet(text, "own.toml")], rules.by_volume("0614", 1, 12))
    assert over.severity == "reminder"
    assert "not in force" in rules.worded(over, "en").text()


def test_a_flag_that_is_false_asks_for_nothing():
    flags = (
        "bags_off litter_off farmland plan_listing soil_test_rate report_ratio made_when_done nuisance_free"
    )
    text = OWN + "".join(
        f'[{flag}]\nvalue = false\ncitation = "own"\nstanding = "read"\n'
        for flag in [*flags.split(), "town_approval"]
    )
    own = [rules.own_sheet(text, "own.toml")]
    bagged = rules.BagFacts("0613", bags_seen=True, bags_off=False, litter_seen=True, litter_off=False)
    late = rules.RecordFacts("x", "load", frozenset(), DAY, date(2025, 12, 1))
    stranger = rules.TownToGround("Fallowdale", "north", True, None, DAY)
    assert rules.bags(own, bagged) == ()
    assert rules.land(own, rules.LandFacts(field="north", on=DAY, farm_use=False, town_in_plan=False)) == ()
    assert rules.report(own, rules.ReportFacts(2025, "yd3"), DAY) == ()
    assert rules.records(own, late) == ()
    assert rules.occurrences(own, rules.OccurrenceFacts("x", "complaint", DAY)) == ()
    assert rules.town_approval(own, stranger) == ()


def test_any_number_of_applications_elsewhere_and_rates_by_either_basis_are_a_growers_to_set():
    def sheet(lines: str) -> list[rules.Sheet]:
        return [rules.own_sheet(OWN + lines + 'citation = "own"\nstanding = "read"\n', "own.toml")]

    heavy = rules.Spread(part="north", on=DAY, yards_yd3=10, area_ft2=43_560.0, dry_tons=12, wet_tons=30)
    dry = sheet('[rate_tons_per_ac]\nvalue = 20\nbasis = "dry"\n')
    wet = sheet('[rate_tons_per_ac]\nvalue = 20\nbasis = "as_received"\n')
    assert rules.rate(dry, [heavy], DAY) == ()
    (over,) = rules.rate(wet, [heavy], DAY)
    assert (over.value, over.severity) == (30.0, "verdict")
    assert rules.rate(wet, [replace(heavy, wet_tons=None)], DAY) == ()
    once = sheet("[applications]\nvalue = 1\n")
    assert rules.applications(once, [heavy], [], DAY) == ()
    twice = [heavy, replace(heavy, on=date(2025, 9, 1))]
    assert [one.value for one in rules.applications(once, twice, [], DAY)] == [2]


def test_organic_ground_takes_no_load_of_an_unapproved_town_but_other_ground_may():
    sheets = rules.sheets_in_force(rules.DEFAULT_SHEETS)
    organic = rules.TownToGround("Fallowdale", "north", True, None, DAY)
    (stop,) = rules.town_approval(sheets, organic)
    assert (stop.code, stop.is_verdict) == ("town_not_approved", True)
    assert rules.town_approval(sheets, replace(organic, is_organic=False)) == ()
    assert rules.town_approval(sheets, replace(organic, approved_on=date(2025, 11, 4))) != ()


def test_a_position_that_may_be_wrong_by_more_than_the_shortfall_is_no_verdict():
    farm = [rules.sheet("farm")]
    (sure,) = rules.setbacks(farm, [rules.Reach("stop 4", "well", 150, off_by_ft=20)])
    (unsure,) = rules.setbacks(farm, [rules.Reach("stop 4", "well", 190, off_by_ft=20)])
    assert (sure.severity, unsure.severity) == ("verdict", "reminder")


def test_the_widest_setback_is_what_a_buffer_is_drawn_by():
    sheets = rules.sheets_in_force(rules.DEFAULT_SHEETS)
    assert rules.widest_setback_ft(sheets, "well") == 200
    assert rules.widest_setback_ft([rules.sheet("new_jersey")], "well") is None


def test_what_the_sheets_ask_of_a_load_is_listed_once_each():
    sheets = [rules.sheet("new_jersey"), rules.sheet("ohio_intake")]
    assert rules.fields_asked(sheets, "load") == (
        "date",
        "material",
        "municipality",
        "amount",
        "unit",
        "conversion_ratio",
        "county",
    )


def test_the_last_days_are_the_earliest_of_all_sheets():
    sheets = [rules.sheet("will_county"), rules.sheet("new_jersey"), rules.sheet("connecticut")]
    assert rules.spread_by(sheets, DAY) == date(2025, 11, 8)
    assert rules.work_in_last_day(sheets, DAY, date(2026, 5, 1)) == date(2025, 11, 8)
    assert rules.work_in_last_day([rules.sheet("new_jersey")], DAY) is None
    assert rules.work_in_last_day([rules.sheet("new_jersey")], DAY, date(2026, 5, 1)) == date(2026, 5, 1)
    assert rules.notice_by(sheets, DAY) == DAY


def test_a_pile_and_a_load_that_still_wait_are_overdue_and_not_late():
    will_county = [rules.sheet("will_county")]
    waiting = rules.Arrival("0613", DAY)
    (overdue,) = rules.spread_in_time(will_county, waiting, date(2025, 11, 9))
    assert (overdue.code, overdue.cure) == ("spread_overdue", "spread_now")
    runs = rules.clocks([rules.Spread(part="north", on=DAY, yards_yd3=10, area_ft2=100.0)], [])
    assert [one.code for one in rules.work_in(will_county, runs, date(2025, 11, 9))] == ["work_in_overdue"]
    empty = rules.Stored("barn pile", date(2020, 1, 1), 0)
    assert rules.storage([rules.sheet("farm"), rules.sheet("new_jersey")], empty, DAY) == ()


def test_an_open_request_for_the_rate_counts_working_days_only():
    friday = date(2025, 11, 7)
    asked = rules.RateRequest("north", friday)
    assert rules.rate_answered([rules.sheet("will_county")], asked, date(2025, 11, 21)) == ()
    (late,) = rules.rate_answered([rules.sheet("will_county")], asked, date(2025, 11, 24))
    assert (late.value, late.cure) == (11, "answer_now")


def test_what_was_not_written_down_is_a_reminder_and_no_verdict():
    silent = rules.BagFacts("0613", bags_seen=True, bags_off=None, litter_seen=True, litter_off=None)
    assert {one.severity for one in rules.bags([rules.sheet("farm")], silent)} == {"reminder"}
    unknown = rules.LandFacts(field="north", on=DAY)
    told = rules.land([rules.sheet("new_jersey"), rules.sheet("will_county")], unknown)
    assert {one.code: one.severity for one in told if one.code != "no_soil_test_rate"} == {
        "not_farmland": "reminder",
        "not_in_plan": "reminder",
        "no_crop_on_record": "reminder",
    }


def test_no_notice_at_all_is_missing_and_overdue():
    facts = rules.NoticeFacts("home farm", None, frozenset(), DAY)
    told = rules.notice([rules.sheet("connecticut")], facts, date(2025, 11, 4))
    assert {one.code for one in told} == {"notice_missing", "notice_overdue"}
    assert {one.code for one in rules.notice([rules.sheet("connecticut")], facts, DAY)} == {"notice_missing"}


def test_a_weighed_sample_is_a_share_by_weight_alone():
    facts = rules.weighed("0613", 200, 3)
    assert (facts.weight_pct, facts.volume_pct, facts.dry_weight_pct) == (1.5, None, None)


def test_a_day_without_loads_needs_no_check():
    assert rules.load_checks([rules.sheet("california")], rules.LoadDay("3 November", (), ())) == ()


@pytest.mark.parametrize(
    "build",
    [
        lambda bad: rules.Spread(part="n", on=DAY, yards_yd3=bad, area_ft2=1.0),
        lambda bad: rules.Spread(part="n", on=DAY, yards_yd3=1.0, area_ft2=bad),
        lambda bad: rules.WorkedIn(on=DAY, area_ft2=bad),
        lambda bad: rules.TrashFacts(load="x", seen=True, weight_pct=bad),
        lambda bad: rules.Reach("x", "well", bad),
        lambda bad: rules.Stored("x", DAY, bad),
        lambda bad: rules.Windrows(place="x", yards_yd3=bad, area_ac=1),
        lambda bad: rules.LoadDay("x", (bad,), ()),
        lambda bad: rules.ReportFacts(2025, "yd3", bad),
        lambda bad: rules.Sent(on=DAY, yards_yd3=bad),
        lambda bad: rules.FieldToFill(field="x", on=DAY, area_ft2=1.0, factor=bad),
        lambda bad: rules.grass([], "x", bad),
    ],
)
@pytest.mark.parametrize("bad", [-1.0, float("nan"), float("inf")])
def test_a_figure_that_cant_be_is_refused_by_name_and_range(build, bad):
    with pytest.raises(OutOfRange) as caught:
        build(bad)
    assert caught.value.name
    assert caught.value.allowed


def test_no_more_trucks_are_asked_to_be_looked_through_than_came():
    own = rules.own_sheet(
        OWN + '[load_check_trucks]\nvalue = 3\ncitation = "own"\nstanding = "read"\n', "own.toml"
    )
    assert rules.load_checks([own], rules.LoadDay("3 November", (20.0, 20.0), (20.0, 20.0))) == ()
    (short,) = rules.load_checks([own], rules.LoadDay("3 November", (20.0, 20.0), (20.0,)))
    assert short.value == 1


def test_the_tons_of_another_year_count_nothing_against_a_yearly_rate():
    will_county = [rules.sheet("will_county")]
    now = rules.Spread(part="north", on=DAY, yards_yd3=100, area_ft2=43_560.0, dry_tons=15)
    assert rules.rate(will_county, [now, replace(now, on=date(2024, 11, 3))], DAY) == ()
    (over,) = rules.rate(will_county, [now, replace(now, on=date(2025, 1, 3))], DAY)
    assert over.value == 30.0


def test_a_load_in_which_no_trash_was_seen_need_not_be_measured():
    clean = rules.TrashFacts(load="0613", seen=False)
    assert rules.trash([rules.sheet("california"), rules.sheet("farm")], clean) == ()
