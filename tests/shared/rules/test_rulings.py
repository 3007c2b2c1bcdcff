"""Where two careful people would compute different numbers: each ruling by its number."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from shared import rules
from shared.reckoning.deadlines import keep_until, manure_wait, organic_from
from shared.rules import ground as ground_rules

ACRE_FT2 = 43_560.0
DAY = date(2025, 11, 20)
NEW_JERSEY = [rules.sheet("new_jersey")]
FARM = [rules.sheet("farm")]


def own(**keys: str) -> list[rules.Sheet]:
    text = (
        'name = "own"\ntitle = "Own"\nauthority = "us"\nedition = "1"\nforce = "own"\nread_on = "2026-11"\n'
    )
    for key, lines in keys.items():
        text += f'[{key}]\ncitation = "own"\nstanding = "read"\n{lines}\n'
    return [rules.own_sheet(text, "own.toml")]


def capped(basis: str, cap: float = 6) -> list[rules.Sheet]:
    return own(depth_in=f'value = {cap}\nbasis = "{basis}"')


def leafed(yards_yd3: float, on: date = DAY, part: str = "north", acres: float = 1, **more) -> rules.Spread:
    return rules.Spread(part=part, on=on, yards_yd3=yards_yd3, area_ft2=acres * ACRE_FT2, **more)


def codes(findings) -> list[str]:
    return [one.code for one in findings]


R1_STOPS = (4, 5, 5, 6, 6, 6, 6, 6.4, 7, 5)


def test_r1_two_spots_on_a_mean_of_5_64_are_no_verdict():
    findings = rules.measured_depth(NEW_JERSEY, rules.DepthStops("north", R1_STOPS))
    assert "depth_measured_over" not in codes(findings)
    (spots,) = [one for one in findings if one.code == "depth_spots"]
    assert (spots.value, spots.severity) == (2, "reminder")
    (unsure,) = [one for one in findings if one.code == "depth_cannot_say"]
    assert unsure.value == pytest.approx(5.64)


def test_r1_ten_stops_with_the_low_end_above_the_cap_are_over():
    deep = rules.DepthStops("north", (6.5, 6.6, 6.7, 6.8, 6.5, 6.6, 6.9, 6.4, 6.6, 6.7))
    findings = rules.measured_depth(NEW_JERSEY, deep)
    assert [one.code for one in findings if one.is_verdict] == ["depth_measured_over"]
    nine = rules.DepthStops("north", deep.fresh_in[:9])
    assert not any(one.is_verdict for one in rules.measured_depth(NEW_JERSEY, nine))


def test_r1_one_stop_over_the_cap_is_a_spot_and_never_a_verdict():
    (spot,) = rules.depth_at_stop(NEW_JERSEY, "north", 6.4)
    assert (spot.code, spot.severity) == ("depth_spot", "reminder")
    assert rules.depth_at_stop(NEW_JERSEY, "north", 6.0) == ()


def test_r2_four_acres_with_2000_truck_yards_under_six_inches_leave_61_loads_of_20():
    field = rules.FieldToFill(
        field="north",
        on=DAY,
        area_ft2=4 * ACRE_FT2,
        sent=(rules.Sent(on=DAY, yards_yd3=2000),),
        load_yd3=20,
        factor=1.0,
    )
    room = rules.field_room(NEW_JERSEY, field)
    assert (room.whole_loads, room.yards_are) == (61, "ground")


def test_r2_until_the_factor_is_measured_room_and_depth_are_truck_yards_and_no_verdict():
    field = rules.FieldToFill(field="north", on=DAY, area_ft2=ACRE_FT2)
    assert rules.field_room(NEW_JERSEY, field).yards_are == "truck"
    (over,) = rules.depth(NEW_JERSEY, [leafed(900, yards_are="truck")], [], DAY)
    assert (over.code, over.severity) == ("depth_over_truck_yards", "reminder")


def test_r3_two_passes_on_the_same_two_of_four_acres_add_up_to_6_32_in():
    passes = [leafed(1500, acres=2), leafed(200, acres=2, on=DAY + timedelta(days=2))]
    (over,) = rules.depth(NEW_JERSEY, passes, [], DAY + timedelta(days=2))
    assert over.value == pytest.approx(6.32, abs=0.005)
    assert rules.depth(NEW_JERSEY, passes[:1], [], DAY) == ()


def test_r3_a_part_inside_a_spread_field_carries_both():
    whole = leafed(1613, part="field", acres=4, pieces=frozenset({"wet corner", "rest"}))
    corner = leafed(500, part="wet corner", acres=1)
    (over,) = rules.depth(NEW_JERSEY, [whole, corner], [], DAY)
    assert over.subject == "wet corner"
    assert over.value == pytest.approx(3.0 + 3.72, abs=0.01)


def test_r3_where_only_the_outline_is_known_the_depth_is_at_least_so_much():
    (over,) = rules.depth(NEW_JERSEY, [leafed(900, area_from="outline")], [], DAY)
    assert dict(over.facts)["at_least"] is True
    assert "at least" in rules.worded(over, "en").text()


@pytest.mark.parametrize(
    ("basis", "trips"),
    [
        ("one_application", False),
        ("calendar_year", False),
        ("rolling_twelve_months", True),
        ("until_worked_in", True),
        ("accumulated", True),
        ("strictest", True),
    ],
)
def test_r4_the_period_of_the_cap_is_a_field_of_the_sheet(basis: str, trips: bool):
    autumn, after_new_year = date(2025, 11, 20), date(2026, 1, 10)
    spreads = [leafed(500, autumn), leafed(500, after_new_year)]
    assert bool(rules.depth(capped(basis), spreads, [], after_new_year)) == trips


def test_r4_the_rolling_window_leaves_out_the_same_day_a_year_before():
    year_later = date(2026, 11, 20)
    sheets = capped("rolling_twelve_months")
    assert rules.depth(sheets, [leafed(500), leafed(500, year_later)], [], year_later) == ()
    day_short = year_later - timedelta(days=1)
    assert codes(rules.depth(sheets, [leafed(500), leafed(500, day_short)], [], day_short)) == ["depth_over"]


def test_r4_unread_text_takes_the_strictest_period():
    assert rules.sheet("new_jersey").depth_in.basis == "strictest"
    assert own(depth_in="value = 6")[0].depth_in.basis == "strictest"


def test_r4_what_is_worked_in_clears_the_period_until_worked_in_and_no_other():
    spreads = [leafed(500), leafed(500, DAY + timedelta(days=20))]
    worked = [rules.WorkedIn(on=DAY + timedelta(days=10), part="north")]
    on = DAY + timedelta(days=20)
    assert rules.depth(capped("until_worked_in"), spreads, worked, on) == ()
    assert rules.depth(capped("one_application"), spreads, worked, on) == ()
    assert codes(rules.depth(capped("rolling_twelve_months"), spreads, worked, on)) == ["depth_over"]


@pytest.mark.parametrize(("gap_days", "count"), [(30, 1), (31, 2)])
def test_r5_one_application_ends_with_thirty_idle_days(gap_days: int, count: int):
    on = DAY + timedelta(days=gap_days)
    findings = rules.applications(own(applications="value = 0"), [leafed(10), leafed(10, on)], [], on)
    assert [one.value for one in findings] == [count]


def test_r5_one_application_ends_when_it_is_worked_in():
    on = DAY + timedelta(days=5)
    worked = [rules.WorkedIn(on=DAY + timedelta(days=2), part="north")]
    findings = rules.applications(own(applications="value = 0"), [leafed(10), leafed(10, on)], worked, on)
    assert [one.value for one in findings] == [2]


def test_r5_where_the_zone_is_not_known_the_stricter_number_is_a_reminder():
    california = [rules.sheet("california")]
    days = [DAY, DAY + timedelta(days=40)]
    (over,) = rules.applications(california, [leafed(10, on) for on in days], [], days[-1])
    assert (over.limit, over.severity) == (1, "reminder")


def test_r6_bare_stops_are_not_averaged_into_the_verdict():
    deep = (6.5, 6.6, 6.7, 6.8, 6.5, 6.6, 6.9, 6.4, 6.6, 6.7)
    with_bare = rules.DepthStops("north", (*deep, 0.0, 0.4, 0.0, 0.0))
    (over,) = [one for one in rules.measured_depth(NEW_JERSEY, with_bare) if one.is_verdict]
    assert over.value == pytest.approx(6.63)


def test_r7_a_settled_layer_can_be_over_but_never_within():
    shallow = (4.0, 4.1, 4.2, 4.0, 4.1, 4.3, 4.0, 4.1, 4.2, 4.0)
    deep = tuple(one + 3 for one in shallow)
    assert rules.measured_depth(NEW_JERSEY, rules.DepthStops("north", shallow)) == ()
    settled = rules.DepthStops("north", (), shallow)
    assert codes(rules.measured_depth(NEW_JERSEY, settled)) == ["depth_cannot_say"]
    over = rules.measured_depth(NEW_JERSEY, rules.DepthStops("north", (), deep))
    assert [one.code for one in over if one.is_verdict] == ["depth_measured_over"]


def test_r8_room_counts_what_was_sent_and_not_what_was_turned_back_removed_or_lies_in_a_pile():
    sent = (
        rules.Sent(on=DAY, yards_yd3=20),
        rules.Sent(on=DAY, yards_yd3=20, turned_back=True),
        rules.Sent(on=DAY, yards_yd3=20, removed_yd3=5),
        rules.Sent(on=DAY, yards_yd3=20, in_pile=True),
    )
    field = rules.FieldToFill(field="north", on=DAY, area_ft2=ACRE_FT2, sent=sent)
    assert rules.field_room(NEW_JERSEY, field).room_yd3 == pytest.approx(806.67 - 35, abs=0.01)


@pytest.mark.parametrize("reason", ["leg", "ground", "town_not_approved"])
def test_r8_a_field_that_is_not_open_has_no_room_and_says_why(reason):
    field = rules.FieldToFill(field="north", on=DAY, area_ft2=ACRE_FT2, load_yd3=20, closed=(reason,))
    room = rules.field_room(NEW_JERSEY, field)
    assert (room.room_yd3, room.whole_loads, room.closed) == (0, 0, (reason,))


def test_r8_without_any_cap_there_is_no_room_to_reckon():
    field = rules.FieldToFill(field="north", on=DAY, area_ft2=ACRE_FT2)
    assert rules.field_room([rules.sheet("nop")], field).closed == ("no_cap",)


def test_r8_the_least_room_of_all_caps_counts_and_last_year_is_out_of_a_rolling_year():
    long_ago = rules.Sent(on=date(2023, 11, 20), yards_yd3=800)
    field = rules.FieldToFill(
        field="north", on=DAY, area_ft2=ACRE_FT2, sent=(long_ago,), worked_in_on=date(2024, 5, 1)
    )
    new_jersey_alone = rules.field_room(NEW_JERSEY, field)
    assert new_jersey_alone.room_yd3 == pytest.approx(806.67, abs=0.01)
    # Twelve inches in all leave less beside what was laid two years ago than six inches a year.
    both = rules.field_room([*NEW_JERSEY, *capped("accumulated", 9)], field)
    assert both.room_yd3 == pytest.approx(1210 - 800, abs=0.01)
    assert both.cap.sheet.name == "own"


def run_of(spreads, workings) -> list[tuple[str, date, date | None]]:
    return [(one.part, one.started, one.worked_on) for one in rules.clocks(spreads, workings)]


def test_r9_the_clock_runs_from_the_earliest_unworked_spread_until_the_worked_area_reaches_the_covered():
    spreads = [leafed(100, DAY, acres=2), leafed(100, DAY + timedelta(days=4), acres=2)]
    first = rules.WorkedIn(on=DAY + timedelta(days=6), part="north", area_ft2=ACRE_FT2)
    rest = replace(first, on=DAY + timedelta(days=9))
    assert run_of(spreads, [first]) == [("north", DAY, None)]
    assert run_of(spreads, [first, rest]) == [("north", DAY, DAY + timedelta(days=9))]


def test_r9_ground_that_is_covered_again_after_some_was_worked_in_is_to_be_worked_again():
    first, again = leafed(100, DAY, acres=4), leafed(100, DAY + timedelta(days=8), acres=4)
    half = rules.WorkedIn(on=DAY + timedelta(days=4), part="north", area_ft2=2 * ACRE_FT2)
    later = replace(half, on=DAY + timedelta(days=9))
    assert run_of([first, again], [half, later]) == [("north", DAY, None)]
    rest = replace(half, on=DAY + timedelta(days=10))
    assert run_of([first, again], [half, later, rest]) == [("north", DAY, rest.on)]
    whole = rules.WorkedIn(on=later.on, part="north")
    assert run_of([first, again], [half, whole]) == [("north", DAY, whole.on)]


def test_r9_area_worked_somewhere_in_the_field_clears_the_oldest_first():
    spreads = [
        leafed(100, DAY, "south", acres=1),
        leafed(100, DAY + timedelta(days=3), "north", acres=1),
    ]
    somewhere = rules.WorkedIn(on=DAY + timedelta(days=5), area_ft2=1.5 * ACRE_FT2)
    assert run_of(spreads, [somewhere]) == [
        ("south", DAY, somewhere.on),
        ("north", DAY + timedelta(days=3), None),
    ]
    (left,) = [one for one in rules.clocks(spreads, [somewhere]) if one.worked_on is None]
    assert left.worked_ft2 == pytest.approx(0.5 * ACRE_FT2)


def test_r9_the_day_count_is_a_field_of_the_sheet_and_the_last_day_is_included():
    runs = rules.clocks([leafed(100)], [rules.WorkedIn(on=DAY + timedelta(days=5), part="north")])
    day_0 = own(work_in_within_days='value = 5\nbasis = "event_is_day_0"')
    day_1 = own(work_in_within_days='value = 5\nbasis = "event_is_day_1"')
    assert rules.work_in(day_0, runs, DAY) == ()
    assert [one.value for one in rules.work_in(day_1, runs, DAY)] == [6]
    assert rules.work_in_last_day(day_0, DAY) == DAY + timedelta(days=5)
    assert rules.work_in_last_day(day_1, DAY) == DAY + timedelta(days=4)


def test_r9_the_next_season_is_the_farms_own_date_and_never_more_than_a_reminder():
    runs = rules.clocks([leafed(100)], [])
    (unset,) = rules.work_in(NEW_JERSEY, runs, DAY)
    assert (unset.code, unset.severity) == ("next_season_not_set", "reminder")
    season = date(2026, 5, 1)
    assert rules.work_in(NEW_JERSEY, runs, season, season) == ()
    (overdue,) = rules.work_in(NEW_JERSEY, runs, season + timedelta(days=1), season)
    assert (overdue.code, overdue.severity, overdue.limit) == (
        "work_in_overdue_for_season",
        "reminder",
        season,
    )


def test_r13_29_february_2024_frees_the_harvest_on_1_march_2027():
    nop = [rules.sheet("nop")]
    last = (date(2024, 2, 29),)
    (early,) = rules.organic_harvest(nop, rules.OrganicHarvest("north", date(2027, 2, 28), last))
    assert early.limit == date(2027, 3, 1) == organic_from(last[0]).harvest_from
    assert rules.organic_harvest(nop, rules.OrganicHarvest("north", date(2027, 3, 1), last)) == ()


def test_r13_joined_fields_take_the_latest_date():
    joined = (date(2022, 5, 1), date(2024, 5, 1))
    (early,) = rules.organic_harvest(
        [rules.sheet("nop")], rules.OrganicHarvest("joined", date(2026, 5, 1), joined)
    )
    assert early.limit == date(2027, 5, 1)


def test_r13_manure_that_was_not_worked_in_gives_no_day_of_harvest():
    facts = rules.ManureHarvest("north", date(2026, 7, 1), None, touches_soil=True)
    (unworked,) = rules.manure_harvest([rules.sheet("nop")], facts)
    assert unworked.code == "manure_not_worked_in"


def test_the_sheet_of_the_organic_program_and_the_reckoner_say_the_same():
    nop = rules.sheet("nop")
    worked_in = date(2026, 4, 1)
    assert manure_wait(worked_in, True).days == nop.manure_touching_days.value
    assert manure_wait(worked_in, False).days == nop.manure_clear_days.value


@pytest.mark.parametrize("name", ["nop", "produce_safety", "ohio_intake", "new_jersey", "farm"])
@pytest.mark.parametrize("made_on", [date(2025, 11, 3), date(2024, 2, 29), date(2025, 12, 31)])
def test_the_sheets_and_the_reckoner_keep_records_until_the_same_day(name: str, made_on: date):
    sheet = rules.sheet(name)
    (kept,) = rules.keep_until([sheet], made_on)
    own_years = sheet.retention_years.value if name == "farm" else None
    assert kept.until == keep_until(made_on, [name], own_years).until


def test_the_longest_retention_wins():
    sheets = [rules.sheet(name) for name in ("produce_safety", "nop", "farm", "ohio_intake")]
    made_on = date(2025, 11, 3)
    assert [one.sheet.name for one in rules.keep_until(sheets, made_on)] == [
        "farm",
        "nop",
        "ohio_intake",
        "produce_safety",
    ]
    still = rules.may_be_discarded(sheets, "load 0613", made_on, date(2031, 1, 1))
    assert [one.sheet for one in still] == ["farm"]


def test_r19_a_verdict_keeps_the_outline_of_the_day_with_the_recomputed_figure_beside_it():
    redrawn = leafed(900, area_now_ft2=1.2 * ACRE_FT2)
    (over,) = rules.depth(NEW_JERSEY, [redrawn], [], DAY)
    assert over.value == pytest.approx(6.69, abs=0.01)
    assert dict(over.facts)["depth_now_in"] == pytest.approx(5.58, abs=0.01)
    assert rules.depth(NEW_JERSEY, [leafed(700, area_now_ft2=0.5 * ACRE_FT2)], [], DAY) == ()


def test_r20_whether_ground_may_be_spread_on_is_asked_without_whether_it_bears_a_truck():
    fields = ground_rules.GroundToSpreadOn.__dataclass_fields__
    assert set(fields) == {"part", "state"}
    barred = rules.may_be_spread_on(FARM, rules.GroundToSpreadOn("north", "snow"))
    assert "another question" in rules.worded(barred[0], "en").says
    # Frozen ground may bear a truck well; the farm's sheet bars snow and standing water only.
    assert rules.may_be_spread_on(FARM, rules.GroundToSpreadOn("north", "frozen")) == ()
    assert rules.may_be_spread_on(NEW_JERSEY, rules.GroundToSpreadOn("north", "standing_water")) == ()


def test_a_legal_cap_and_the_farms_own_target_are_two_numbers():
    sheets = rules.sheets_in_force(rules.DEFAULT_SHEETS)
    assert rules.lowest_cap(sheets).depth_in == 6
    assert rules.lowest_target(sheets).depth_in == 5
    (between,) = rules.depth(sheets, [leafed(740)], [], DAY)
    assert (between.code, between.clause, between.severity) == ("target_over", "target_depth_in", "reminder")


def test_what_is_spread_and_worked_in_on_one_day_was_too_deep_on_that_day():
    worked = [rules.WorkedIn(on=DAY, part="north")]
    for basis in ("until_worked_in", "one_application", "strictest"):
        assert codes(rules.depth(capped(basis), [leafed(900)], worked, DAY)) == ["depth_over"]
    assert rules.depth(capped("until_worked_in"), [leafed(900)], worked, DAY + timedelta(days=1)) == ()


def test_the_history_of_depth_tells_each_day_of_spreading_that_was_over():
    days = [DAY, DAY + timedelta(days=10), DAY + timedelta(days=500)]
    spreads = [leafed(500, days[0]), leafed(500, days[1]), leafed(900, days[2])]
    history = rules.depth_history(capped("calendar_year"), spreads, [])
    assert sorted(dict(one.facts)["on"] for one in history) == days[1:]


def test_r7_settled_stops_can_prove_over_what_few_fresh_ones_cant():
    few_fresh = rules.DepthStops("north", (6.6, 6.7, 6.5), (6.6, 6.8, 6.7, 6.5, 6.6, 6.9, 6.7, 6.6))
    findings = rules.measured_depth(NEW_JERSEY, few_fresh)
    assert [one.code for one in findings if one.is_verdict] == ["depth_measured_over"]
