"""Where a field stands, as its facts fold together."""

from __future__ import annotations

import json
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shared.rules import own_sheet, sheets_in_force
from shared.status.field_status import FieldStatus, fold, of_years
from shared.status.field_year import FieldYear
from shared.status.gathering import gathered, merged_years
from shared.status.leaf_room import closed_by, depth_findings, leaf_room, work_in_clocks
from shared.status.standing import standing
from shared.status.touched import speaks_of, touches, touches_of
from shared.words.bodies.desk import Land, LegChange
from shared.words.bodies.gate import PileCheck
from shared.words.bodies.told import Occurrence
from shared.words.bodies.walked import Cover, Firmness, Ground, LeafDepth, Weeds
from shared.words.bodies.work import Work

FARM = sheets_in_force(["farm"])
UNTIL_WORKED = own_sheet(
    """
name = "own"
title = "own"
authority = "the farm"
edition = "1"
force = "own"
read_on = "2026-11"
[depth_in]
value = 6
basis = "until_worked_in"
citation = "the farm"
standing = "read"
""",
    "own.toml",
)


def work(job: str, **told) -> Work:
    return Work(job, **told)


def folded(pen, written, **land) -> FieldStatus:
    return fold(standing(written).facts, pen.land(**land), pen.zone)


def cover(height: str, heads: str = "none", **told) -> Cover:
    return Cover("sorghum_sudan", Decimal(height), heads, **told)


# Legs


def test_the_legs_follow_harvest_leaves_seeding_cutting_plowing_and_planting(pen):
    written = [
        pen.write(work("plant", crop="garlic"), "2022-10-10"),
        pen.write(work("harvest", crop="garlic"), "2023-07-05"),
        pen.load(day="2023-11-10"),
        pen.write(work("spread"), "2023-11-12"),
        pen.write(work("work_in"), "2024-05-02"),
        pen.write(work("seed", crop="orchardgrass"), "2024-08-20"),
        pen.write(work("cut_hay"), "2025-05-25"),
        pen.write(work("plow"), "2026-09-01"),
        pen.write(work("seed", crop="rye_vetch"), "2026-09-15"),
        pen.write(work("plant", crop="cabbage"), "2027-05-20"),
    ]
    legs = [(leg.leg, leg.starts_on, leg.crop) for leg in folded(pen, written).legs]
    assert legs == [
        ("cash", date(2022, 10, 10), "garlic"),
        ("leaf", date(2023, 11, 10), None),
        ("hay", date(2024, 8, 20), "orchardgrass"),
        ("idle", date(2026, 9, 1), None),
        ("lead_in", date(2026, 9, 15), "rye_vetch"),
        ("cash", date(2027, 5, 20), "cabbage"),
    ]


def test_a_leg_names_the_entries_that_it_follows_from(pen):
    seeded, cut = (
        pen.write(work("seed", crop="timothy"), "2024-08-20"),
        pen.write(work("cut_hay"), "2025-06-10"),
    )
    (leg,) = folded(pen, [seeded, cut]).legs
    assert leg.evidence == (seeded.entry.id, cut.entry.id)


def test_what_the_desk_said_wins_from_its_day_until_work_moves_the_field_on(pen):
    written = [
        pen.write(work("seed", crop="sudan"), "2025-06-01"),
        pen.write(
            LegChange("hay", date(2025, 9, 1), "the sudan failed, the old sod came back"),
            "2026-01-05",
            at_desk=True,
        ),
        pen.write(work("plant", crop="squash"), "2026-05-20"),
    ]
    status = folded(pen, written)
    assert [leg.leg for leg in status.legs] == ["smother", "hay", "cash"]
    assert status.legs[1].why == "the sudan failed, the old sod came back"
    assert [one.code for one in status.odd] == ["planted_into_stand"]


def test_two_cash_crops_one_after_the_other_are_two_legs_and_two_pickings_are_one(pen):
    written = [
        pen.write(work("plant", crop="cabbage"), "2025-04-20"),
        pen.write(work("harvest", crop="cabbage"), "2025-07-01"),
        pen.write(work("harvest", crop="cabbage"), "2025-07-08"),
        pen.write(work("plant", crop="cabbage"), "2026-04-20"),
    ]
    assert [leg.starts_on.year for leg in folded(pen, written).legs] == [2025, 2026]


def test_leaves_on_a_crop_that_stands_are_its_mulch_and_after_harvest_begin_the_leaf_leg(pen):
    planted = pen.write(work("plant", crop="garlic"), "2025-10-10")
    mulch = pen.load(day="2025-11-20")
    assert [leg.leg for leg in folded(pen, [planted, mulch]).legs] == ["cash"]
    lifted = pen.write(work("harvest", crop="garlic"), "2026-07-01")
    after = pen.load(day="2026-11-01")
    assert [leg.leg for leg in folded(pen, [planted, mulch, lifted, after]).legs] == ["cash", "leaf"]


@pytest.mark.parametrize(
    ("job", "code"),
    [("harvest", "harvest_without_crop"), ("seed", "sown_without_name")],
)
def test_a_step_that_does_not_fit_is_noticed_and_stops_nothing(pen, job, code):
    status = folded(pen, [pen.write(work(job), "2026-06-01")])
    assert [one.code for one in status.findings()] == [code]


def test_a_part_has_legs_of_its_own(pen):
    written = [
        pen.write(work("seed", crop="orchardgrass"), "2024-08-20"),
        pen.write(work("plant", crop="squash"), "2026-05-20", part=pen.part),
    ]
    status = folded(pen, written, parts=[(pen.part, 1.0)])
    assert [leg.leg for leg in status.legs] == ["hay"]
    assert [leg.leg for leg in status.part_legs[pen.part]] == ["hay", "cash"]


# Leaves: R2, R3, R8, R9


def test_r2_four_acres_with_two_thousand_truck_yards_under_six_inches_take_61_loads_of_20(pen):
    status = folded(pen, [pen.load("20", "2025-11-20") for _ in range(100)])
    room = leaf_room(status, pen.land(), FARM, date(2025, 12, 1), load_yd3=20)
    assert room.whole_loads == 61
    assert room.room_yd3 == pytest.approx(4 * 806.6666667 - 2000)
    assert (room.yards_are, room.placed_yd3) == ("truck", pytest.approx(2000))


def test_r3_yards_on_the_same_part_add_up_there_and_leave_the_rest_of_the_field_its_room(pen):
    parts = [(pen.part, 2.0)]
    status = folded(pen, [pen.load("1500", to=pen.part), pen.load("200", to=pen.part)], parts=parts)
    room = leaf_room(status, pen.land(parts=parts), FARM, date(2025, 12, 1))
    assert room.deepest_in == pytest.approx(6.3223, abs=1e-4)
    assert room.room_yd3 == pytest.approx(2 * 806.6666667)
    assert room.over_by_yd3 == pytest.approx(1700 - 2 * 806.6666667)
    (found,) = [
        one
        for one in depth_findings(status, pen.land(parts=parts), FARM, date(2025, 12, 1))
        if one.code.startswith("depth_over")
    ]
    assert found.value == pytest.approx(6.3223, abs=1e-4)


def test_r8_turned_back_and_removed_loads_take_no_room(pen):
    written = [
        pen.load("20"),
        pen.load("20", outcome="turned_back", reason="bags"),
        pen.load("20", removed_yd3=Decimal(5)),
    ]
    assert sum(one.yards_yd3 for one in folded(pen, written).laid) == 35


def test_r8_what_went_to_a_pile_counts_only_when_it_is_spread(pen):
    piled = pen.load("500", to=pen.pile)
    assert folded(pen, [piled]).laid == ()
    drawn = pen.write(work("spread", from_=(pen.pile,), yards_yd3=Decimal(300)), "2026-02-10")
    (laid,) = folded(pen, [piled, drawn]).laid
    assert (laid.yards_yd3, laid.source, laid.spread_on) == (300, "pile", date(2026, 2, 10))


def test_spreading_what_was_sent_does_not_count_twice_but_spreading_more_than_was_sent_does(pen):
    sent = [pen.load("100", "2025-11-20")]
    spread = pen.write(work("spread", yards_yd3=Decimal(100)), "2025-11-22")
    assert sum(one.yards_yd3 for one in folded(pen, [*sent, spread]).laid) == 100
    more = pen.write(work("spread", yards_yd3=Decimal(80)), "2025-11-23")
    assert sum(one.yards_yd3 for one in folded(pen, [*sent, spread, more]).laid) == 180


def test_leaves_moved_off_give_their_room_back(pen):
    sent = pen.load("100", "2025-11-20")
    moved = pen.write(
        work("move", from_=(pen.field,), to=pen.other_field, yards_yd3=Decimal(30)), "2025-12-01", field=None
    )
    assert sum(one.yards_yd3 for one in folded(pen, [sent, moved]).laid) == 70
    back = pen.write(
        work("move", from_=(pen.other_field,), to=pen.field, yards_yd3=Decimal(10)), "2025-12-05", field=None
    )
    assert sum(one.yards_yd3 for one in folded(pen, [sent, moved, back]).laid) == 80


def test_leaves_are_moved_off_the_ground_they_lay_on_and_not_before_they_came(pen):
    parts = [(pen.part, 1.0), (pen.second_part, 1.0)]
    here, there = pen.load("50", "2025-11-20", to=pen.part), pen.load("60", "2025-11-21", to=pen.second_part)
    later = pen.load("70", "2025-12-10", to=pen.part)
    off = work("move", from_=(pen.part,), to=pen.other_field, yards_yd3=Decimal(90))
    moved = pen.write(off, "2025-12-01", field=None)
    status = folded(pen, [here, there, later, moved], parts=parts)
    assert [(one.part, one.yards_yd3) for one in status.laid] == [(pen.second_part, 60), (pen.part, 70)]


def test_r8_a_load_split_over_two_fields_counts_by_its_shares(pen):
    split = pen.load("20", to=pen.field)
    both = ((pen.field, Decimal(12)), (pen.other_field, Decimal(8)))
    written = pen.correct(split, split.entry.body.__class__(**_with(split.entry.body, to=both)))
    assert sum(one.yards_yd3 for one in folded(pen, [split, written]).laid) == 12


def _with(body, **changed):
    return {name: getattr(body, name) for name in body.__dataclass_fields__} | changed


def test_r4_room_comes_back_when_the_leaves_are_worked_in_if_the_cap_is_meant_so(pen):
    written = [pen.load("3000", "2025-11-20"), pen.write(work("work_in"), "2026-05-01")]
    status = folded(pen, written)
    on = date(2026, 6, 1)
    assert leaf_room(status, pen.land(), [UNTIL_WORKED], on).room_yd3 == pytest.approx(4 * 806.6666667)
    assert leaf_room(status, pen.land(), FARM, on).room_yd3 == pytest.approx(4 * 806.6666667 - 3000)
    assert leaf_room(status, pen.land(), FARM, date(2026, 11, 20)).room_yd3 == pytest.approx(4 * 806.6666667)


def test_r4_what_came_after_the_last_working_in_counts_all_of_it(pen):
    written = [pen.load("1000", "2024-11-20"), pen.write(work("work_in"), "2025-05-01")]
    written += [pen.load("500", "2025-11-20"), pen.load("300", "2025-12-20")]
    room = leaf_room(folded(pen, written), pen.land(), [UNTIL_WORKED], date(2026, 1, 5))
    assert room.placed_yd3 == pytest.approx(800)
    assert room.deepest_in == pytest.approx(800 / (4 * 134.4444444))


def test_r9_working_a_part_stops_the_clock_of_that_part_alone(pen):
    parts = [(pen.part, 1.0), (pen.second_part, 1.5)]
    written = [pen.load("100", to=pen.part), pen.load("100", to=pen.second_part)]
    written.append(pen.write(work("work_in"), "2026-05-01", part=pen.part))
    runs = work_in_clocks(folded(pen, written, parts=parts), pen.land(parts=parts))
    assert {(run.part, run.worked_on) for run in runs} == {
        (str(pen.part), date(2026, 5, 1)),
        (str(pen.second_part), None),
    }


def test_r2_a_depth_by_volume_is_firm_only_once_the_factor_is_measured(pen):
    status = folded(pen, [pen.load("9000", "2025-11-20")])
    on = date(2025, 12, 1)
    truck = {one.code for one in depth_findings(status, pen.land(), FARM, on)}
    ground = {one.code for one in depth_findings(status, pen.land(factor=0.9), FARM, on)}
    assert truck == {"depth_over_truck_yards", "target_over_truck_yards"}
    assert ground == {"depth_over", "target_over"}
    assert depth_findings(status, pen.land(acres=None), FARM, on) == ()


def test_a_holding_is_made_of_its_parts_and_the_rest(pen):
    land = pen.land(parts=[(pen.part, 1.0), (pen.second_part, 1.5)])
    assert sorted(land.pieces.values()) == [1.0, 1.5, 1.5]
    assert (land.acres(pen.part), land.acres(None), land.acres(pen.pile)) == (1.0, 4.0, 4.0)
    assert land.ground(pen.part) < land.ground(None)
    assert (land.part(pen.part), land.part(pen.field), land.holds(pen.pile)) == (pen.part, None, False)


def test_overlapping_parts_share_a_piece_and_leaves_on_it_add_up(pen):
    both = frozenset((pen.part, pen.second_part))
    overlay = {frozenset((pen.part,)): 1.0, both: 1.0, frozenset((pen.second_part,)): 1.0}
    parts = [(pen.part, 2.0), (pen.second_part, 2.0)]
    land = pen.land(parts=parts, overlay=overlay)
    written = [pen.load("1000", to=pen.part), pen.load("1000", to=pen.second_part)]
    room = leaf_room(fold(standing(written).facts, land, pen.zone), land, FARM, date(2025, 12, 1))
    piece = 806.6666667
    assert room.room_yd3 == pytest.approx(2 * (piece - 500) + piece)
    assert room.over_by_yd3 == pytest.approx(1000 - piece)
    assert room.deepest_in == pytest.approx(6 * 1000 / piece)


def test_a_fields_own_shallower_cap_makes_its_room_smaller(pen):
    room = leaf_room(folded(pen, []), pen.land(cap_in=Decimal(3)), FARM, date(2025, 12, 1))
    assert (room.cap_in, room.room_yd3) == (3.0, pytest.approx(4 * 806.6666667 / 2))


def test_a_measured_factor_makes_more_truck_yards_fit(pen):
    land = pen.land(factor=0.5)
    room = leaf_room(fold((), land, pen.zone), land, FARM, date(2025, 12, 1))
    assert (room.room_yd3, room.yards_are) == (pytest.approx(4 * 806.6666667 * 2), "ground")


def test_r8_a_field_that_is_not_open_has_no_room_and_says_why(pen):
    status = folded(pen, [pen.write(work("seed", crop="timothy"), "2025-08-20")])
    closed = closed_by(status, date(2025, 12, 1), ground_barred=True, town_barred=True)
    room = leaf_room(status, pen.land(), FARM, date(2025, 12, 1), load_yd3=20, closed=closed)
    assert (room.room_yd3, room.whole_loads) == (0, 0)
    assert room.closed == ("ground", "leg", "town_not_approved")


def test_a_field_whose_cash_crop_is_off_is_open_and_one_in_crop_is_not(pen):
    planted = pen.write(work("plant", crop="cabbage"), "2025-05-01")
    lifted = pen.write(work("harvest", crop="cabbage"), "2025-09-01")
    on = date(2025, 12, 1)
    assert closed_by(folded(pen, [planted]), on, False, False) == ("leg",)
    assert closed_by(folded(pen, [planted, lifted]), on, False, False) == ()
    assert closed_by(folded(pen, [lifted]), on, False, False) == ()


def test_no_area_or_no_cap_leaves_no_room_and_the_reason(pen):
    status = folded(pen, [])
    assert leaf_room(status, pen.land(acres=None), FARM, date(2025, 12, 1)).closed == ("no_area",)
    assert leaf_room(status, pen.land(), [], date(2025, 12, 1)).closed == ("no_cap",)
    unknown = [leaf_room(status, pen.land(acres=None), FARM, date(2025, 12, 1), load) for load in (None, 20)]
    assert [one.whole_loads for one in unknown] == [None, 0]


def test_r9_the_clock_runs_from_the_first_spreading_until_the_worked_area_reaches_the_covered(pen):
    spread = [
        pen.write(work("spread", yards_yd3=Decimal(300), area_ac=Decimal(3)), "2025-11-22"),
        pen.write(work("spread", yards_yd3=Decimal(300), area_ac=Decimal(3)), "2025-12-02"),
    ]
    half = pen.write(work("work_in", area_ac=Decimal(1)), "2026-04-20")
    (run,) = work_in_clocks(folded(pen, [*spread, half]), pen.land())
    assert (run.started, run.worked_on) == (date(2025, 11, 22), None)
    rest = pen.write(work("disk", area_ac=Decimal(2)), "2026-04-28")
    (run,) = work_in_clocks(folded(pen, [*spread, half, rest]), pen.land())
    assert run.worked_on == date(2026, 4, 28)


@pytest.mark.parametrize(
    ("acres", "typed", "done"),
    [
        (4.0388, "4.0", True),
        (4.0388, "4.04", True),
        (4.0388, "4.02", False),
        (1.4, "1", False),
        (4.0388, "4.1", True),
    ],
)
def test_r9_an_area_typed_as_the_fields_own_rounded_is_all_of_it(pen, acres, typed, done):
    written = [pen.load(day="2025-11-20"), pen.write(work("work_in", area_ac=Decimal(typed)), "2026-05-01")]
    (run,) = work_in_clocks(folded(pen, written, acres=acres), pen.land(acres))
    assert (run.worked_on is not None) == done


def test_r9_leaves_that_came_and_were_never_marked_spread_run_from_their_arrival(pen):
    (run,) = work_in_clocks(folded(pen, [pen.load(day="2025-11-20")]), pen.land())
    assert run.started == date(2025, 11, 20)


def test_a_spreading_is_of_leaves_that_lay_on_its_ground_by_then(pen):
    parts = [(pen.part, 1.0), (pen.second_part, 1.5)]
    here, there = pen.load(day="2025-11-20", to=pen.part), pen.load(day="2025-11-20", to=pen.second_part)
    spread = pen.write(work("spread"), "2025-11-22", part=pen.part)
    later = pen.load(day="2025-11-25", to=pen.part)
    laid = folded(pen, [here, there, spread, later], parts=parts).laid
    assert {(one.part, one.on.day, one.spread_on) for one in laid} == {
        (pen.part, 20, date(2025, 11, 22)),
        (pen.second_part, 20, None),
        (pen.part, 25, None),
    }


def test_leaves_worked_in_without_a_spreading_are_not_taken_for_next_years(pen):
    written = [pen.load(day="2024-11-20"), pen.write(work("work_in"), "2025-05-01")]
    written += [pen.load(day="2025-11-20"), pen.write(work("spread"), "2025-11-25")]
    laid = folded(pen, written).laid
    assert [(one.on.year, one.spread_on) for one in laid] == [(2024, None), (2025, date(2025, 11, 25))]


# Rounds


def test_the_last_cover_round_tells_its_mean_and_the_share_of_stops_with_heads(pen):
    older = pen.write(cover("90"), "2026-06-01", round=pen.pile, stop=1)
    heights = ["60", "71", "76", "80"]
    heads = ["none", "few", "none", "many"]
    walked = [
        pen.write(cover(height, head), "2026-06-30", round=pen.town, stop=stop)
        for stop, (height, head) in enumerate(zip(heights, heads, strict=True), 1)
    ]
    last, before = folded(pen, [*walked, older]).cover
    assert (last.mean_in, last.stops, last.headed, last.headed_pct, last.on) == (
        71.75,
        4,
        2,
        50.0,
        date(2026, 6, 30),
    )
    assert last.low_in < 71.75 < last.high_in
    assert (before.mean_in, before.low_in) == (90, None)


def test_r17_weeds_are_the_mean_of_class_midpoints_with_an_interval_over_stops(pen):
    stops = [("none", "trace"), ("1-5", "1-5"), ("5-25", "none")]
    walked = [
        pen.write(Weeds("none", scale="cover8", classes=classes), round=pen.town, stop=stop)
        for stop, classes in enumerate(stops)
    ]
    (weeds,) = folded(pen, walked).weeds
    assert weeds.mean_pct == pytest.approx((0.25 + 3 + 7.5) / 3)
    assert (weeds.low_pct, weeds.word) == (0.0, "low")


def test_r15_five_of_twelve_over_300_is_no_call_to_act_and_not_sure(pen):
    peaks = [120, 180, 250, 310, 320, 290, 330, 200, 210, 305, 340, 260]
    walked = [
        pen.write(
            Firmness("half_inch", "ready", "body", peak_psi=Decimal(psi), top_in=Decimal(8)),
            round=pen.town,
            stop=stop,
        )
        for stop, psi in enumerate(peaks)
    ]
    walked.append(
        pen.write(Firmness("half_inch", "ready", "lane", peak_psi=Decimal(600)), round=pen.town, stop=13)
    )
    (firm,) = folded(pen, walked).firmness
    assert (firm.hard, firm.judged, firm.apart, firm.act, firm.sure) == (5, 12, 1, False, False)
    assert (round(firm.low_pct, 1), round(firm.high_pct, 1), firm.top_in) == (19.3, 68.0, 8.0)


def test_r1_r7_a_depth_round_is_judged_against_the_cap_in_force_and_settled_never_within(pen):
    def walked(depths, layer):
        return [
            pen.write(LeafDepth(Decimal(depth), layer), round=pen.town, stop=stop)
            for stop, depth in enumerate(depths)
        ]

    named = ["4", "5", "5", "6", "6", "6", "6", "6.4", "7", "5"]
    (depth,) = folded(pen, walked(named, "fresh")).leaf_depth
    assert (depth.mean_in, depth.verdict(6).verdict, depth.verdict(6).spots) == (
        pytest.approx(5.64),
        "cannot_say",
        2,
    )
    (fresh,) = folded(pen, walked(["4"] * 9 + ["4.1"], "fresh")).leaf_depth
    (settled,) = folded(pen, walked(["4"] * 9 + ["4.1"], "settled")).leaf_depth
    assert (fresh.verdict(6).verdict, settled.verdict(6).verdict) == ("within", "cannot_say")


def test_a_figure_that_can_not_be_believed_is_told_apart_and_no_mean_is_made_of_it(pen):
    wrong = pen.write(cover("620"), round=pen.town, stop=2)
    status = folded(pen, [pen.write(cover("62"), round=pen.town, stop=1), wrong])
    assert (status.cover[0].mean_in, status.doubtful) == (62, (wrong.entry.id,))


def test_the_last_look_at_the_ground_keeps_its_time(pen):
    status = folded(
        pen, [pen.write(Ground("wet"), "2026-03-02"), pen.write(Ground("moist", thread="edge"), "2026-03-05")]
    )
    assert (status.ground.body["state"], status.ground.body["thread"], status.ground.at[:10]) == (
        "moist",
        "edge",
        "2026-03-05",
    )


def test_the_last_of_each_job_the_waits_and_the_marks_are_kept(pen):
    status = folded(
        pen,
        [
            pen.write(work("mow", stubble_in=Decimal(8)), "2026-06-01"),
            pen.write(work("mow"), "2026-07-01"),
            pen.write(work("spray", plantback_d=120, preharvest_d=14), "2026-05-01"),
            pen.write(Occurrence("disease", "dug out", name="white rot"), "2024-06-01"),
        ],
    )
    assert status.last_done("mow", "cut_hay").on == date(2026, 7, 1)
    assert (status.plantback.until, status.preharvest.until) == (date(2026, 8, 29), date(2026, 5, 15))
    assert [(one.what, one.name) for one in status.events] == [("disease", "white rot")]


def test_a_fact_of_another_field_changes_nothing(pen):
    assert folded(pen, [pen.write(cover("31"), field=pen.other_field)]) == folded(pen, [])


# What a fold must be done again for


def test_an_entry_touches_the_ground_that_it_names_and_a_correction_both_old_and_new(pen):
    load = pen.load("20", to=pen.part, field=None)
    assert touches(load.entry) == {pen.part}
    drawn = pen.write(work("spread", from_=(pen.pile,)))
    assert touches(drawn.entry) == {pen.field, pen.pile}
    corrected = pen.correct(
        load, load.entry.body.__class__(**_with(load.entry.body, to=((pen.other_field, Decimal(20)),)))
    )
    assert touches_of([load.entry, corrected.entry]) == {pen.part, pen.other_field}
    drawn_anew = Land("part", pen.part, 2, "north", "split", in_field=pen.field, before=(pen.second_part,))
    assert touches(pen.write(drawn_anew, field=None).entry) == {pen.part, pen.field, pen.second_part}
    assert touches(pen.write(PileCheck(pen.pile), field=None).entry) == {pen.pile}
    assert touches(pen.write(work("move", to=pen.other_field), field=None).entry) == {pen.other_field}
    assert speaks_of(corrected.entry) == {load.entry.id}
    assert speaks_of(pen.initial(load, corrected).entry) == {load.entry.id, corrected.entry.id}


# Properties


@st.composite
def season(draw, pen):
    """A field's entries of all sorts over three years, some of them corrected or struck."""
    written = []
    for _ in range(draw(st.integers(0, 11))):
        day = str(date(2024 + draw(st.integers(0, 2)), draw(st.integers(1, 12)), draw(st.integers(1, 28))))
        part = draw(st.sampled_from([None, pen.part, pen.second_part]))
        round_ = draw(st.sampled_from([None, pen.town, pen.pile]))
        stop = draw(st.integers(1, 3))
        area = draw(st.sampled_from([None, Decimal(1), Decimal("2.5")]))
        yards = draw(st.sampled_from([None, Decimal(40), Decimal("100.5")]))
        match draw(
            st.sampled_from(["cover", "weeds", "load", "load", "work", "work", "depth", "ground", "leg"])
        ):
            case "cover":
                body = cover(
                    str(draw(st.integers(0, 200))),
                    draw(st.sampled_from(["none", "many"])),
                    frost=draw(st.sampled_from([None, "light"])),
                )
            case "weeds":
                body = Weeds("none", scale="cover8", classes=(draw(st.sampled_from(["none", "5-25"])),))
            case "load":
                place = draw(
                    st.sampled_from([pen.field, pen.part, pen.second_part, pen.pile, pen.other_field])
                )
                removed = draw(st.sampled_from([None, Decimal(3)]))
                town = draw(st.sampled_from([pen.town, pen.second_town]))
                written.append(pen.load("20", day, to=place, removed_yd3=removed, town=town))
                continue
            case "work":
                job = draw(
                    st.sampled_from(
                        ["spread", "work_in", "seed", "plant", "harvest", "cut_hay", "disk", "move", "mow"]
                    )
                )
                source = draw(st.sampled_from([None, (pen.pile,), (pen.field,), (pen.part,)]))
                crop = draw(st.sampled_from([None, "garlic", "timothy", "sudan", "rye"]))
                target = draw(st.sampled_from([None, pen.other_field, pen.part])) if job == "move" else None
                body = work(job, area_ac=area, yards_yd3=yards, from_=source, crop=crop, to=target)
            case "depth":
                body = LeafDepth(Decimal(stop), draw(st.sampled_from(["fresh", "settled"])))
            case "ground":
                body = Ground(draw(st.sampled_from(["wet", "moist"])))
            case "leg":
                body = LegChange(draw(st.sampled_from(["hay", "idle"])), date.fromisoformat(day), "seen")
        field = draw(st.sampled_from([pen.field, pen.field, pen.other_field]))
        written.append(
            pen.write(
                body,
                day,
                part=part,
                round=round_,
                stop=stop,
                field=field,
                at_desk=body.__class__ is LegChange,
            )
        )
        if draw(st.integers(0, 5)) == 0:
            written.append(pen.strike(written[-1]))
        elif draw(st.integers(0, 5)) == 0:
            written.append(pen.correct(written[-1], body, stop=9, field=pen.field))
    return written


def three_parts(pen):
    return pen.land(parts=[(pen.part, 1.0), (pen.second_part, 1.5)])


@settings(max_examples=60)
@given(data=st.data())
def test_i12_a_status_is_the_same_in_any_order_and_however_often_a_fact_is_fed(new_pen, data):
    pen = new_pen()
    written = data.draw(season(pen))
    shuffled = data.draw(st.permutations(written))
    repeats = data.draw(st.lists(st.sampled_from(written), max_size=5)) if written else []
    land = three_parts(pen)
    assert fold(standing([*shuffled, *repeats]).facts, land, pen.zone) == fold(
        standing(written).facts, land, pen.zone
    )


@settings(max_examples=60)
@given(data=st.data())
def test_i12_folding_in_what_came_equals_folding_the_whole_book(new_pen, data):
    pen = new_pen()
    facts = standing(data.draw(season(pen))).in_force
    sides = data.draw(st.lists(st.integers(0, 2), min_size=len(facts), max_size=len(facts)))
    land = three_parts(pen)
    years: dict[int, FieldYear] = {}
    for side in range(3):
        some = [fact for fact, where in zip(facts, sides, strict=True) if where == side]
        years = merged_years(years, gathered(some, land, pen.zone))
        years = {
            number: FieldYear.from_tree(json.loads(json.dumps(year.to_tree())))
            for number, year in years.items()
        }
    assert years == gathered(facts, land, pen.zone)
    assert of_years(years.values(), land) == fold(facts, land, pen.zone)


@settings(max_examples=40)
@given(data=st.data())
def test_a_status_comes_back_from_its_row_as_it_was(new_pen, data):
    pen = new_pen()
    status = fold(standing(data.draw(season(pen))).facts, three_parts(pen), pen.zone)
    assert FieldStatus.from_tree(json.loads(json.dumps(status.to_tree()))) == status


@settings(max_examples=40)
@given(data=st.data())
def test_room_and_clocks_can_be_told_of_whatever_is_in_the_book(new_pen, data):
    pen = new_pen()
    land = three_parts(pen)
    status = fold(standing(data.draw(season(pen))).facts, land, pen.zone)
    room = leaf_room(status, land, FARM, date(2025, 7, 1), load_yd3=20)
    assert 0 <= room.room_yd3 <= 4 * 806.67
    assert room.whole_loads == int(room.room_yd3 / 20 + 1e-9)
    lying = sum(one.yards_yd3 for one in status.laid)
    assert sum(
        spread.yards_yd3 for run in work_in_clocks(status, land) for spread in run.spreads
    ) == pytest.approx(float(lying))
    assert all(one.yards_yd3 > 0 for one in status.laid)
