"""What a field and the farm need next: each due with its pair that is not due, and its sentences."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shared.languages import LANGUAGES
from shared.rules import own_sheet, sheets_in_force
from shared.status.due import (
    FarmToday,
    FieldToday,
    Forecast,
    Foresight,
    due_words,
    farm_dues,
    field_dues,
    in_order,
    with_jobs,
)
from shared.status.field_status import fold
from shared.status.needs import covers, farm, leaves, walks
from shared.status.piles import pile_status
from shared.status.standing import Hands, standing
from shared.words.bodies.desk import Document, Job, LegChange
from shared.words.bodies.gate import PileCheck
from shared.words.bodies.laboratory import Sample
from shared.words.bodies.walked import Cover, Firmness, Ground, LeafDepth, Weeds
from shared.words.bodies.work import Work
from shared.words.moment import Moment
from shared.words.verdict import Asked

JERSEY = sheets_in_force(["new_jersey"])
WILL = sheets_in_force(["will_county"])


def today(pen, written, on, land=None, **told):
    holds = land or pen.land()
    status = fold(standing(written).facts, holds, pen.zone)
    ahead = Foresight(**{one: told.pop(one) for one in ("mow", "boot", "hay") if one in told})
    sheets = told.pop("sheets", JERSEY)
    return FieldToday(status, holds, sheets, date.fromisoformat(on), **told, foreseen=ahead)


def only(found):
    (one,) = found
    assert all(due_words(one, language).why for language in LANGUAGES)
    return one


def cover(height, heads="none", plant="sorghum_sudan", **told):
    return Cover(plant, Decimal(height), heads, **told)


def walk(pen, bodies, day, round_):
    return [pen.write(body, day, round=round_, stop=stop) for stop, body in enumerate(bodies, 1)]


def sudan(pen):
    return pen.write(Work("seed", crop="sorghum_sudan"), "2026-05-25")


# Leaves


def spread_leaves(pen):
    return [pen.load("100", "2025-11-20"), pen.write(Work("spread"), "2025-11-22")]


def test_leaves_are_to_be_worked_in_by_the_date_that_the_farm_set_for_the_next_season(pen):
    ask = today(pen, spread_leaves(pen), "2026-04-01", next_season_on=date(2026, 9, 30))
    found = only(leaves.work_in(ask))
    assert (found.earliest, found.last, found.why) == (
        date(2025, 11, 22),
        date(2026, 9, 30),
        "dues.work_in.by_day",
    )
    assert found.facts == {"spread_on": "2025-11-22", "yards": "100", "acres": "4"}


def test_leaves_are_to_be_worked_in_within_a_sheets_days_the_last_day_included(pen):
    found = only(leaves.work_in(today(pen, spread_leaves(pen), "2025-11-23", sheets=WILL)))
    assert found.last == date(2025, 11, 27)


def test_without_a_date_or_a_rule_working_in_has_no_last_day_and_says_why(pen):
    assert only(leaves.work_in(today(pen, spread_leaves(pen), "2026-04-01"))).why == "dues.work_in.no_date"
    found = only(leaves.work_in(today(pen, spread_leaves(pen), "2026-04-01", sheets=())))
    assert (found.why, found.last) == ("dues.work_in.no_rule", None)


def test_leaves_that_are_worked_in_are_due_no_more(pen):
    written = [*spread_leaves(pen), pen.write(Work("work_in"), "2026-05-01")]
    assert list(leaves.work_in(today(pen, written, "2026-06-01"))) == []


def test_a_sheet_with_days_from_arrival_asks_for_spreading_what_lies_as_it_was_tipped(pen):
    tipped = pen.load("20", "2025-11-20")
    found = only(leaves.spread(today(pen, [tipped, pen.load("30", "2025-11-20")], "2025-11-21", sheets=WILL)))
    assert (found.last, found.facts["yards"]) == (date(2025, 11, 25), "50")
    spread = pen.write(Work("spread"), "2025-11-22")
    assert list(leaves.spread(today(pen, [tipped, spread], "2025-11-23", sheets=WILL))) == []


def test_where_no_sheet_sets_a_day_the_ground_says_when_tipped_leaves_are_spread(pen):
    def lying(on, *seen):
        return only(leaves.spread(today(pen, [tipped, pen.load("30", "2025-11-21"), *seen], on)))

    tipped = pen.load("20", "2025-11-20")
    unseen = lying("2025-11-23")
    assert (unseen.why, unseen.last, unseen.facts["yards"]) == ("dues.spread.while_unseen", None, "50")
    for state, thread, why in (
        ("moist", "crumbles", "while_fit"),
        ("moist", "edge", "while_light"),
        ("standing_water", None, "while_stay_off"),
    ):
        looked = pen.write(Ground(state, thread=thread, axle_tons=Decimal(5)), "2025-11-22")
        found = lying("2025-11-23", looked)
        assert (found.why, found.id) == (f"dues.spread.{why}", unseen.id)
        assert lying("2025-11-25", looked).why == "dues.spread.while_unseen"
    spread = pen.write(Work("spread"), "2025-11-23")
    assert list(leaves.spread(today(pen, [tipped, spread], "2025-11-24"))) == []


def test_a_pile_is_to_be_spread_before_a_sheet_says_it_is_too_old(pen):
    held = pile(pen)
    free = only(farm.spread_pile(held, (), date(2026, 1, 15)))
    bound = only(farm.spread_pile(held, JERSEY, date(2026, 1, 15)))
    assert (free.why, free.last) == ("dues.spread.from_pile", None)
    assert (held.oldest_on, bound.last) == (date(2025, 11, 20), date(2026, 5, 20))
    drawn = pen.write(Work("spread", from_=(pen.pile,), yards_yd3=Decimal(100)), "2026-02-01")
    assert list(farm.spread_pile(pile(pen, drawn), JERSEY, date(2026, 2, 2))) == []


def test_r7_a_fresh_layer_is_to_be_measured_within_two_days(pen):
    fresh = only(leaves.depth_round(today(pen, spread_leaves(pen), "2025-11-24")))
    assert (fresh.last, fresh.why) == (date(2025, 11, 24), "dues.depth_round.fresh")
    assert (
        only(leaves.depth_round(today(pen, spread_leaves(pen), "2025-11-25"))).why
        == "dues.depth_round.settled"
    )
    assert list(leaves.depth_round(today(pen, spread_leaves(pen), "2025-12-20"))) == []
    measured = [*spread_leaves(pen), pen.write(LeafDepth(Decimal(5), "fresh"), "2025-11-23")]
    assert list(leaves.depth_round(today(pen, measured, "2025-11-24"))) == []


# Covers and hay


def test_a_smother_crop_at_30_in_is_to_be_mown_within_a_week_and_at_29_is_not(pen):
    tall = [sudan(pen), *walk(pen, [cover("29"), cover("31")], "2026-07-01", pen.town)]
    found = only(covers.mow(today(pen, tall, "2026-07-02")))
    assert (found.best, found.last, found.why) == (date(2026, 7, 1), date(2026, 7, 8), "dues.mow.height")
    short = [sudan(pen), *walk(pen, [cover("29"), cover("30.9")], "2026-07-01", pen.town)]
    assert list(covers.mow(today(pen, short, "2026-07-02"))) == []


def test_a_crop_sown_and_one_mown_before_it_was_sown_have_ids_of_their_own(pen):
    mown = pen.write(Work("mow"), "2025-08-01")
    tall = [sudan(pen), *walk(pen, [cover("31")], "2026-07-01", pen.town)]
    with_old, without = (only(covers.mow(today(pen, one, "2026-07-02"))) for one in ([mown, *tall], tall))
    assert with_old.id == without.id


def test_a_smother_crop_that_only_the_desk_knows_of_is_mown_too(pen):
    said = desk_leg(pen, LegChange("smother", date(2026, 5, 1), "the old sudan came back", "sudan"))
    found = only(
        covers.mow(today(pen, [said, *walk(pen, [cover("31")], "2026-07-01", pen.town)], "2026-07-02"))
    )
    assert found.id == f"mow:{pen.field}:2026-05-01"


def desk_leg(pen, body):
    return pen.write(body, "2026-05-02", at_desk=True)


def test_mowing_for_height_counts_from_the_first_round_that_was_tall_enough(pen):
    written = [sudan(pen), *walk(pen, [cover("31")], "2026-07-01", pen.town)]
    written += walk(pen, [cover("45")], "2026-07-06", pen.pile)
    assert only(covers.mow(today(pen, written, "2026-07-07"))).last == date(2026, 7, 8)


def test_the_first_head_seen_makes_mowing_late_from_that_day(pen):
    heads = [cover("60", "few"), *[cover("71")] * 9]
    written = [sudan(pen), *walk(pen, heads, "2026-06-29", pen.town)]
    later = walk(pen, [cover("80", "few")] * 4 + [cover("80")] * 6, "2026-07-01", pen.pile)
    found = only(covers.mow(today(pen, [*written, *later], "2026-07-02")))
    assert (found.last, found.why) == (date(2026, 6, 29), "dues.mow.heads")
    assert (found.facts["headed"], found.facts["stops"]) == ("4", "10")
    assert due_words(found, "en").why == "Heads at 4 of 10 stops, 80 in. Leave 6 to 8 in."


def test_mowing_meets_the_due_and_the_next_one_has_another_id(pen):
    written = [sudan(pen), *walk(pen, [cover("40")], "2026-07-01", pen.town)]
    first = only(covers.mow(today(pen, written, "2026-07-02")))
    written.append(pen.write(Work("mow"), "2026-07-03"))
    assert list(covers.mow(today(pen, written, "2026-07-04"))) == []
    written += walk(pen, [cover("33")], "2026-08-01", pen.pile)
    assert only(covers.mow(today(pen, written, "2026-08-02"))).id != first.id


def test_heads_of_a_crop_that_was_sown_over_say_nothing_of_the_new_one(pen):
    written = [sudan(pen), *walk(pen, [cover("60", "many")], "2026-07-01", pen.town)]
    again = pen.write(Work("seed", crop="sorghum_sudan"), "2026-07-10")
    assert list(covers.mow(today(pen, [*written, again], "2026-07-11"))) == []
    assert list(covers.mow(today(pen, written, "2027-06-01"))) == []


def test_boot_by_heat_units_makes_a_short_crop_due(pen):
    written = [sudan(pen), *walk(pen, [cover("25")], "2026-07-01", pen.town)]
    boot = Forecast(date(2026, 7, 10), date(2026, 7, 14), date(2026, 7, 20))
    before = only(covers.mow(today(pen, written, "2026-07-13", boot=boot)))
    assert (before.earliest, before.last, before.why) == (
        date(2026, 7, 10),
        date(2026, 7, 14),
        "dues.mow.boots_about",
    )
    found = only(covers.mow(today(pen, written, "2026-07-14", boot=boot)))
    assert (found.last, found.why) == (date(2026, 7, 14), "dues.mow.boot")


def test_a_forecast_gives_the_three_days_of_a_crop_that_is_short_yet(pen):
    mow = Forecast(date(2026, 7, 5), date(2026, 7, 9), date(2026, 7, 15))
    written = [sudan(pen), *walk(pen, [cover("20")], "2026-07-01", pen.town)]
    found = only(covers.mow(today(pen, written, "2026-07-02", mow=mow)))
    assert (found.earliest, found.best, found.last) == (date(2026, 7, 5), date(2026, 7, 9), date(2026, 7, 15))
    assert only(covers.mow(today(pen, [sudan(pen)], "2026-06-10", mow=mow))).why == "dues.mow.forecast"


def test_only_a_smother_crop_is_mown_for_its_height(pen):
    written = [
        pen.write(Work("seed", crop="rye"), "2026-03-01"),
        *walk(pen, [cover("40")], "2026-05-01", pen.town),
    ]
    assert list(covers.mow(today(pen, written, "2026-05-02"))) == []


def hay(pen, crop, stage, day="2026-05-20"):
    seeded = pen.write(Work("seed", crop=crop), "2024-08-20")
    return [seeded, *walk(pen, [cover("20", plant=crop, stage=stage)], day, pen.town)]


@pytest.mark.parametrize(
    ("crop", "stage", "why"),
    [
        ("orchardgrass", "boot", "boot_to_early_head"),
        ("orchardgrass", "bloom", "past_early_head"),
        ("timothy", "bloom", "bloom"),
        ("timothy", "past_bloom", "past_bloom"),
        ("orchardgrass", "jointing", None),
        ("timothy", "heading", None),
        ("timothy", "boot", None),
    ],
)
def test_orchardgrass_is_cut_at_boot_and_timothy_only_in_bloom(pen, crop, stage, why):
    found = list(covers.cut_hay(today(pen, hay(pen, crop, stage), "2026-05-21")))
    assert [one.why for one in found] == ([f"dues.cut_hay.{why}"] if why else [])


def test_a_stage_that_was_past_when_seen_is_late_from_that_day(pen):
    late = only(covers.cut_hay(today(pen, hay(pen, "orchardgrass", "bloom"), "2026-05-21")))
    good = only(covers.cut_hay(today(pen, hay(pen, "orchardgrass", "boot"), "2026-05-21")))
    assert (late.last, good.last) == (date(2026, 5, 20), date(2026, 5, 27))


def test_orchardgrass_is_cut_again_after_four_to_six_weeks_and_timothy_is_not(pen):
    cut = pen.write(Work("cut_hay"), "2026-05-25")
    found = only(covers.cut_hay(today(pen, [*hay(pen, "orchardgrass", "boot"), cut], "2026-06-10")))
    assert (found.earliest, found.best, found.last) == (
        date(2026, 6, 22),
        date(2026, 6, 29),
        date(2026, 7, 6),
    )
    assert list(covers.cut_hay(today(pen, [*hay(pen, "timothy", "bloom"), cut], "2026-06-10"))) == []
    orchard = [*hay(pen, "orchardgrass", "boot"), cut]
    assert only(covers.cut_hay(today(pen, orchard, "2026-09-30"))).last == date(2026, 7, 6)
    assert list(covers.cut_hay(today(pen, orchard, "2026-10-01"))) == []
    autumn = pen.write(Work("cut_hay"), "2026-09-10")
    assert list(covers.cut_hay(today(pen, [*hay(pen, "orchardgrass", "boot"), autumn], "2026-09-20"))) == []


def test_the_first_cut_is_as_forecast_until_a_stage_is_seen(pen):
    seeded = pen.write(Work("seed", crop="timothy"), "2024-08-20")
    window = Forecast(date(2026, 6, 1), date(2026, 6, 8), date(2026, 6, 20))
    assert only(covers.cut_hay(today(pen, [seeded], "2026-05-21", hay=window))).best == date(2026, 6, 8)
    assert list(covers.cut_hay(today(pen, [seeded], "2026-05-21"))) == []


def test_planting_waits_two_to_three_weeks_after_a_kill_and_for_a_labels_plant_back(pen):
    killed = [pen.write(Work("seed", crop="rye"), "2025-09-20"), pen.write(Work("kill"), "2026-05-01")]
    found = only(covers.plant(today(pen, killed, "2026-05-02")))
    assert (found.earliest, found.best, found.last) == (date(2026, 5, 15), date(2026, 5, 22), None)
    spray = pen.write(Work("spray", plantback_d=60), "2026-05-01")
    waits = only(covers.plant(today(pen, [*killed, spray], "2026-05-02")))
    assert (waits.earliest, waits.why) == (date(2026, 6, 30), "dues.plant.plantback")
    for day in ("2026-05-01", "2026-05-20"):
        planted = pen.write(Work("plant", crop="cabbage"), day)
        assert list(covers.plant(today(pen, [*killed, planted], "2026-05-21"))) == []


# Rounds and samples


def test_a_growing_cover_is_looked_at_every_week_in_its_season(pen):
    first = only(walks.cover_round(today(pen, [sudan(pen)], "2026-06-10")))
    assert (first.best, first.why) == (date(2026, 6, 15), "dues.cover_round.first")
    written = [sudan(pen), *walk(pen, [cover("20")], "2026-06-20", pen.town)]
    assert only(walks.cover_round(today(pen, written, "2026-06-21"))).best == date(2026, 6, 27)
    assert list(walks.cover_round(today(pen, written, "2026-11-01"))) == []
    cabbage = pen.write(Work("plant", crop="cabbage"), "2026-05-20")
    assert list(walks.cover_round(today(pen, [cabbage], "2026-06-21"))) == []


def weeds(pen, classes, day):
    return walk(pen, [Weeds("none", scale="cover8", classes=(one,)) for one in classes], day, pen.town)


def test_a_weed_round_that_was_missed_stays_late_for_four_weeks_and_then_lapses(pen):
    ask = today(pen, [sudan(pen)], "2026-06-10")
    last = only(walks.weed_round(ask)).last
    assert last is not None
    for days, count in ((28, 1), (29, 0)):
        later = today(pen, [sudan(pen)], (last + timedelta(days=days)).isoformat())
        assert len(list(walks.weed_round(later))) == count


def test_weeds_are_walked_before_they_set_seed_and_again_where_they_were_not_low(pen):
    found = only(walks.weed_round(today(pen, [sudan(pen)], "2026-06-10")))
    assert (found.best, found.last) == (date(2026, 7, 1), date(2026, 7, 31))
    low = [sudan(pen), *weeds(pen, ["none", "trace"], "2026-06-15")]
    assert list(walks.weed_round(today(pen, low, "2026-06-20"))) == []
    high = [sudan(pen), *weeds(pen, ["50-75", "50-75"], "2026-06-15")]
    again = only(walks.weed_round(today(pen, high, "2026-06-20")))
    assert (again.best, again.why) == (date(2026, 7, 13), "dues.weed_round.again_high")
    for day, count in (("2026-07-03", 1), ("2026-07-04", 0)):
        late = [sudan(pen), *weeds(pen, ["50-75", "50-75"], day)]
        assert len(list(walks.weed_round(today(pen, late, "2026-07-05")))) == count


def test_a_hard_layer_round_is_due_once_a_year_when_moist_with_no_last_day(pen):
    found = only(walks.firmness_round(today(pen, [sudan(pen)], "2026-06-10")))
    assert (found.last, found.why) == (None, "dues.firmness_round.when_moist")
    peaks = [120, 180, 250, 310, 320, 290, 330, 200, 210, 305, 340, 260]
    unsure = [Firmness("half_inch", "ready", "body", peak_psi=Decimal(psi)) for psi in peaks]
    asked = only(
        walks.firmness_round(
            today(pen, [sudan(pen), *walk(pen, unsure, "2026-06-08", pen.town)], "2026-06-10")
        )
    )
    assert (asked.why, asked.facts) == ("dues.firmness_round.not_sure", {"hard": "5", "of": "12"})
    sure = [Firmness("half_inch", "ready", "body", peak_psi=Decimal(100))] * 12
    met = [sudan(pen), *walk(pen, sure, "2026-06-08", pen.town)]
    assert list(walks.firmness_round(today(pen, met, "2026-06-10"))) == []


def test_soil_is_sampled_yearly(pen):
    never = only(walks.sample_soil(today(pen, [], "2026-06-10")))
    assert (never.last, never.why) == (date(2026, 12, 31), "dues.sample_soil.never")
    sampled = pen.write(Sample("soil"), "2025-10-05")
    found = only(walks.sample_soil(today(pen, [sampled], "2026-06-10")))
    assert (found.best, found.last) == (date(2026, 10, 5), date(2026, 12, 31))
    assert only(
        walks.sample_soil(today(pen, [pen.write(Sample("leaves"), "2026-05-01")], "2026-06-10"))
    ).why.endswith("never")


def test_organic_ground_is_due_until_its_day_has_come(pen):
    land = pen.land(organic_from=date(2027, 3, 1))
    assert only(farm.organic_end(today(pen, [], "2026-06-10", land))).best == date(2027, 3, 1)
    assert list(farm.organic_end(today(pen, [], "2027-03-01", land))) == []


# The farm


def pile(pen, *written):
    return pile_status(
        pen.pile, standing([pen.load("100", "2025-11-20", to=pen.pile), *written]).facts, pen.zone
    )


@pytest.mark.parametrize(
    ("temp", "why", "last"),
    [
        (None, "twice_a_month", date(2025, 12, 16)),
        ("140", "twice_a_month", date(2025, 12, 16)),
        ("141", "warm", date(2025, 12, 2)),
        ("160", "hot", date(2025, 12, 1)),
    ],
)
def test_a_pile_is_checked_twice_a_month_and_daily_when_warm(pen, temp, why, last):
    check = pen.write(PileCheck(pen.pile, temp_f=Decimal(temp) if temp else None), "2025-12-01")
    found = only(farm.pile_check(pile(pen, check), date(2025, 12, 2)))
    assert (found.why, found.last, found.part) == (f"dues.pile_check.{why}", last, pen.pile)


def test_a_pile_never_checked_is_due_and_an_empty_one_is_not(pen):
    assert only(farm.pile_check(pile(pen), date(2025, 11, 25))).last == date(2025, 12, 5)
    drawn = pen.write(Work("spread", from_=(pen.pile,), yards_yd3=Decimal(100)), "2026-02-01")
    assert list(farm.pile_check(pile(pen, drawn), date(2026, 2, 2))) == []
    checked = pen.write(PileCheck(pen.pile, temp_f=Decimal(90)), "2026-01-20")
    assert list(farm.pile_check(pile(pen, drawn, checked), date(2026, 2, 2))) == []


def desk(pen, body, day="2026-01-10"):
    return pen.write(body, day, at_desk=True, field=None)


def test_a_paper_is_due_before_it_ends_and_a_newer_one_alike_meets_it(pen):
    old = desk(pen, Document("licence", "Pesticide licence", expires_on=date(2026, 10, 31)))
    (found,) = farm.papers(standing([old]).facts, date(2026, 6, 1))
    assert (found.earliest, found.last) == (date(2026, 9, 1), date(2026, 10, 31))
    new = desk(pen, Document("licence", "Pesticide licence", expires_on=date(2027, 10, 31)))
    assert [one.last for one in farm.papers(standing([new, old]).facts, date(2026, 6, 1))] == [
        date(2027, 10, 31)
    ]
    struck = [old, pen.strike(old, by=pen.ruth, at_desk=True)]
    own = standing(
        [*struck, desk(pen, Job("x", pen.ana, date(2026, 6, 1)))], Hands(frozenset({pen.ruth}))
    ).facts
    assert list(farm.papers(own, date(2026, 6, 1))) == []
    visit = desk(pen, Document("visit", "County visit", cure_by=date(2026, 7, 1)))
    assert [one.why for one in farm.papers(standing([visit]).facts, date(2026, 6, 1))] == [
        "dues.paper.cure_by"
    ]


def test_the_yearly_report_is_due_after_a_year_with_loads_and_met_by_the_paper(pen):
    on = date(2026, 1, 15)
    found = only(farm.reports(JERSEY, (), {2025}, on))
    assert (found.last, found.why) == (date(2026, 3, 1), "dues.report.yearly")
    assert list(farm.reports(JERSEY, (), {2024}, on)) == []
    handed = desk(pen, Document("report", "Leaf report 2025", issued_on=date(2026, 1, 12)))
    assert list(farm.reports(JERSEY, standing([handed]).facts, {2025}, on)) == []


ASKS_NOTICE = own_sheet(
    """
name = "own_notice"
title = "own"
authority = "the county"
edition = "1"
force = "local"
read_on = "2026-11"
[notice_days_before]
value = 30
citation = "invented"
standing = "read"
""",
    "own.toml",
)


def test_a_notice_is_due_before_the_leaves_where_a_sheet_asks_for_it(pen):
    leaves_from = date(2026, 10, 15)
    found = only(farm.notices([ASKS_NOTICE], (), leaves_from, date(2026, 8, 1)))
    assert found.last == date(2026, 9, 15)
    assert list(farm.notices(JERSEY, (), leaves_from, date(2026, 8, 1))) == []
    given_ = desk(pen, Document("notice", "Notice", issued_on=date(2026, 8, 20)))
    assert list(farm.notices([ASKS_NOTICE], standing([given_]).facts, leaves_from, date(2026, 9, 1))) == []


def asked(pen, answered=False):
    at = Moment("2026-06-01T20:00:00Z", datetime(2026, 6, 1, 20, tzinfo=UTC))
    return Asked(pen.town, pen.pile, pen.ana, None, "Which part?", at, answered)


def test_a_query_is_due_to_the_person_it_was_put_to_until_it_is_answered(pen):
    assert only(farm.answers([asked(pen)])).person == pen.ana
    assert list(farm.answers([asked(pen, answered=True)])) == []


# All together


def test_dues_come_by_last_day_and_those_without_one_after_them(pen):
    ask = today(pen, [sudan(pen), *walk(pen, [cover("40", "few")], "2026-07-01", pen.town)], "2026-07-02")
    found = field_dues(ask)
    assert found[0].why == "dues.mow.heads"
    lasts = [one.last or date.max for one in found]
    assert lasts == sorted(lasts)
    assert in_order(reversed(found)) == found


def test_a_due_put_to_a_person_says_who_when_and_in_which_place(pen):
    ask = today(pen, [sudan(pen), *walk(pen, [cover("40")], "2026-07-01", pen.town)], "2026-07-02")
    (mow,) = covers.mow(ask)
    jobs = [
        desk(pen, Job(mow.id, pen.ben, date(2026, 7, 2), 2)),
        desk(pen, Job(mow.id, pen.ana, date(2026, 7, 3), 1)),
    ]
    facts = standing(jobs).facts
    (put,) = with_jobs([mow], facts)
    assert (put.person, put.on, put.place) == (pen.ana, date(2026, 7, 3), 1)
    assert with_jobs([mow], reversed(facts)) == (put,)
    assert with_jobs([mow], ()) == (mow,)


def test_the_farms_dues_come_together_in_order(pen):
    ask = FarmToday(
        date(2026, 1, 15),
        JERSEY,
        [pile(pen)],
        standing([desk(pen, Document("plan", "Plan", expires_on=date(2026, 2, 1)))]).facts,
        {2025},
        [asked(pen)],
        date(2026, 10, 15),
    )
    assert [one.job for one in farm_dues(ask)] == [
        "pile_check",
        "paper",
        "report",
        "spread",
        "answer",
    ]


@settings(max_examples=60)
@given(data=st.data())
def test_dues_are_the_same_in_any_order_keep_their_ids_from_day_to_day_and_can_be_said(new_pen, data):
    pen = new_pen()
    written = [
        pen.write(Work("seed", crop=data.draw(st.sampled_from(["sudan", "timothy", "rye"]))), "2026-04-20")
    ]
    for _ in range(data.draw(st.integers(0, 6))):
        day = str(date(2026, 4, 21) + timedelta(days=data.draw(st.integers(0, 100))))
        body = data.draw(
            st.sampled_from(
                [
                    cover("35"),
                    cover("50", "few"),
                    cover("20", plant="timothy", stage="bloom"),
                    Work("mow"),
                    Work("kill"),
                    Work("cut_hay"),
                    Work("spread", yards_yd3=Decimal(50)),
                    Sample("soil"),
                ]
            )
        )
        written.append(pen.write(body, day))
    on = str(date(2026, 4, 21) + timedelta(days=data.draw(st.integers(0, 200))))
    shuffled = data.draw(st.permutations(written))
    found = field_dues(today(pen, written, on))
    assert field_dues(today(pen, shuffled, on)) == found
    assert len({one.id for one in found}) == len(found)
    for one in found:
        days = [day for day in (one.earliest, one.best, one.last) if day is not None]
        assert days == sorted(days)
        for language in LANGUAGES:
            words = due_words(one, language)
            assert "" not in (words.job, words.why, words.change)
    tomorrow = {
        one.id for one in field_dues(today(pen, written, str(date.fromisoformat(on) + timedelta(days=1))))
    }
    kept = {one.id for one in found if one.job in ("mow", "cut_hay", "work_in", "plant")}
    assert kept <= tomorrow
