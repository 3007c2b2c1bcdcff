"""Each value that a sheet states has a case that trips it and a pair that does not, at the published number.

The numbers stand here as the sheets' sources print them, not read back from the sheets.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta

import pytest

from shared import rules
from shared.rules import Sheet
from shared.words.finding import Finding

DAY = date(2025, 11, 3)
ACRE_FT2 = 43_560.0

Check = Callable[[Sheet], tuple[Finding, ...]]
Pair = tuple[Check, Check]


def laid(yards_yd3: float, acres: float, *before: tuple[date, float]) -> Check:
    """Yards on so many acres on the day, with earlier spreadings on the same ground."""
    layers = [(DAY, yards_yd3), *before]
    spreads = [
        rules.Spread(part="north", on=on, yards_yd3=yards, area_ft2=acres * ACRE_FT2) for on, yards in layers
    ]
    return lambda sheet: rules.depth([sheet], spreads, [], DAY)


def tons(dry: float | None = None, wet: float | None = None) -> Check:
    spread = rules.Spread(part="north", on=DAY, yards_yd3=100, area_ft2=ACRE_FT2, dry_tons=dry, wet_tons=wet)
    return lambda sheet: rules.rate([sheet], [spread], DAY)


def applied(count: int, zone: str | None) -> Check:
    """So many applications, each more than thirty days after the one before, the last on the day."""
    spreads = [
        rules.Spread(part="north", on=DAY - timedelta(days=40 * n), yards_yd3=10, area_ft2=ACRE_FT2)
        for n in range(count)
    ]
    return lambda sheet: rules.applications([sheet], spreads, [], DAY, zone)


def spread_after(days: int) -> Check:
    arrival = rules.Arrival("0613", DAY, DAY + timedelta(days=days))
    return lambda sheet: rules.spread_in_time([sheet], arrival, DAY + timedelta(days=days))


def worked_after(days: int, next_season_on: date | None = None) -> Check:
    worked_on = DAY + timedelta(days=days)
    run = rules.clocks(
        [rules.Spread(part="north", on=DAY, yards_yd3=100, area_ft2=ACRE_FT2)],
        [rules.WorkedIn(on=worked_on, part="north")],
    )
    return lambda sheet: rules.work_in([sheet], run, worked_on, next_season_on)


def in_bags(off: bool) -> Check:
    return lambda sheet: rules.bags([sheet], rules.BagFacts("0613", bags_seen=True, bags_off=off))


def with_litter(off: bool) -> Check:
    return lambda sheet: rules.bags([sheet], rules.BagFacts("0613", litter_seen=True, litter_off=off))


def with_trash(**shares: float) -> Check:
    return lambda sheet: rules.trash([sheet], rules.TrashFacts(load="0613", seen=True, **shares))


def with_grass(share: float) -> Check:
    return lambda sheet: rules.grass([sheet], "0613", share)


def piled(oldest_on: date, yards_yd3: float = 100) -> Check:
    return lambda sheet: rules.storage([sheet], rules.Stored("barn pile", oldest_on, yards_yd3), DAY)


def near(feature: str, feet: float) -> Check:
    return lambda sheet: rules.setbacks([sheet], [rules.Reach("stop 4", feature, feet)])


def ground(state: str) -> Check:
    return lambda sheet: rules.may_be_spread_on([sheet], rules.GroundToSpreadOn("north", state))


def heaped(**facts: float) -> Check:
    told = {"yards_yd3": 1.0, "area_ac": 1.0} | facts
    return lambda sheet: rules.windrows([sheet], rules.Windrows(place="lower lot", **told))


def noticed(left_out: str | None = None, given: date | None = DAY, starts: date = DAY) -> Check:
    def look(sheet: Sheet) -> tuple[Finding, ...]:
        asked = frozenset(sheet.notice_fields.value) if sheet.notice_fields else frozenset()
        facts = rules.NoticeFacts("home farm", given, asked - {left_out}, starts)
        return rules.notice([sheet], facts, DAY)

    return look


def reported(handed_in_on: date = date(2026, 1, 5), ratio: float | None = 5.0, measure: str = "yd3") -> Check:
    facts = rules.ReportFacts(2025, measure, ratio, handed_in_on)
    return lambda sheet: rules.report([sheet], facts, date(2026, 6, 1))


def discarded(made_on: date, on: date) -> Check:
    return lambda sheet: rules.may_be_discarded([sheet], "load 0613", made_on, on)


def recorded(kind: str, says: str, made_on: date = DAY) -> Check:
    facts = rules.RecordFacts("load 0613", kind, frozenset(says.split()), DAY, made_on)
    return lambda sheet: rules.records([sheet], facts)


def from_town(approved_on: date | None) -> Check:
    load = rules.TownToGround("Fallowdale", "north", is_organic=True, approved_on=approved_on, on=DAY)
    return lambda sheet: rules.town_approval([sheet], load)


def harvested_organic(prohibited: date, harvest: date) -> Check:
    return lambda sheet: rules.organic_harvest([sheet], rules.OrganicHarvest("north", harvest, (prohibited,)))


def after_manure(days: int, touches_soil: bool) -> Check:
    facts = rules.ManureHarvest("north", DAY + timedelta(days=days), DAY, touches_soil)
    return lambda sheet: rules.manure_harvest([sheet], facts)


def happened(what: str, *told: str, is_put_right: bool = False) -> Check:
    facts = rules.OccurrenceFacts("entry 12", what, DAY, frozenset(told), is_put_right)
    return lambda sheet: rules.occurrences([sheet], facts)


def looked_through(came: tuple[float, ...], looked: tuple[float, ...]) -> Check:
    return lambda sheet: rules.load_checks([sheet], rules.LoadDay("3 November", came, looked))


def on_land(**facts: object) -> Check:
    told = {
        "farm_use": True,
        "last_harvest_on": DAY,
        "has_soil_test_rate": True,
        "analyses": frozenset({"pathogens", "metals"}),
        "town_in_plan": True,
    } | facts
    return lambda sheet: rules.land([sheet], rules.LandFacts(field="north", on=DAY, **told))


def answered_after(days: int) -> Check:
    request = rules.RateRequest("north", DAY, DAY + timedelta(days=days))
    return lambda sheet: rules.rate_answered([sheet], request, DAY + timedelta(days=days))


OHIO_LOAD = "date amount unit material county"
REFUSED = "date time plate hauler reason"

CASES: dict[tuple[str, str], Pair] = {
    # Worked examples 4 and 5: 3,100 and 3,500 yd3 on 4.2 acres are 5.49 and 6.20 in.
    ("new_jersey", "depth_in"): (laid(3500, 4.2), laid(3100, 4.2)),
    ("new_jersey", "work_in_by"): (worked_after(200, date(2026, 5, 1)), worked_after(170, date(2026, 5, 1))),
    ("new_jersey", "bags_off"): (in_bags(False), in_bags(True)),
    ("new_jersey", "storage_months"): (piled(date(2025, 5, 2)), piled(date(2025, 5, 3))),
    ("new_jersey", "windrow_yd3_per_year"): (heaped(yards_yd3=10_001), heaped(yards_yd3=10_000)),
    ("new_jersey", "windrow_area_ac"): (heaped(area_ac=3.1), heaped(area_ac=3)),
    ("new_jersey", "windrow_grass_pct"): (heaped(grass_pct=10.5), heaped(grass_pct=10)),
    ("new_jersey", "windrow_line_ft"): (heaped(line_ft=49), heaped(line_ft=50)),
    ("new_jersey", "windrow_residence_ft"): (heaped(residence_ft=149), heaped(residence_ft=150)),
    ("new_jersey", "windrow_residence_grass_ft"): (
        heaped(residence_ft=499, grass_pct=1),
        heaped(residence_ft=500, grass_pct=1),
    ),
    ("new_jersey", "notice_fields"): (noticed("site_block"), noticed()),
    ("new_jersey", "report_due"): (reported(date(2026, 3, 2)), reported(date(2026, 3, 1))),
    ("new_jersey", "report_ratio"): (reported(ratio=None), reported(ratio=5.0)),
    ("new_jersey", "retention_years"): (
        discarded(DAY, date(2028, 12, 31)),
        discarded(DAY, date(2029, 1, 1)),
    ),
    ("new_jersey", "load_fields"): (
        recorded("load", "date material amount unit conversion_ratio"),
        recorded("load", "date material municipality amount unit conversion_ratio"),
    ),
    ("new_jersey", "farmland"): (on_land(farm_use=False), on_land()),
    ("new_jersey", "plan_listing"): (on_land(town_in_plan=False), on_land()),
    ("connecticut", "notice_fields"): (noticed("leaf_sources"), noticed()),
    ("connecticut", "notice_days_before"): (
        noticed(given=DAY, starts=DAY - timedelta(days=1)),
        noticed(given=DAY, starts=DAY),
    ),
    ("will_county", "rate_tons_per_ac"): (tons(dry=20.1), tons(dry=20)),
    ("will_county", "spread_within_days"): (spread_after(6), spread_after(5)),
    ("will_county", "work_in_within_days"): (worked_after(6), worked_after(5)),
    ("will_county", "litter_off"): (with_litter(False), with_litter(True)),
    ("will_county", "crop_within_months"): (
        on_land(last_harvest_on=date(2024, 11, 3)),
        on_land(last_harvest_on=date(2024, 11, 4)),
    ),
    ("will_county", "soil_test_rate"): (on_land(has_soil_test_rate=False), on_land()),
    # 3 November 2025 is a Monday: ten working days end on Monday the 17th.
    ("will_county", "rate_answer_working_days"): (answered_after(15), answered_after(14)),
    # 12 in on an acre are 1,613.33 yd3; years back still count where depth accumulates.
    ("california", "depth_in"): (
        laid(814, 1, (date(2022, 11, 1), 800)),
        laid(813, 1, (date(2022, 11, 1), 800)),
    ),
    ("california", "applications_farm_zone"): (applied(4, "farm"), applied(3, "farm")),
    ("california", "applications_other_zone"): (applied(2, "other"), applied(1, "other")),
    ("california", "trash_dry_weight_pct"): (
        with_trash(weight_pct=0.0, dry_weight_pct=0.11),
        with_trash(weight_pct=0.0, dry_weight_pct=0.1),
    ),
    ("california", "trash_weight_pct"): (
        with_trash(weight_pct=1.01, dry_weight_pct=0.0),
        with_trash(weight_pct=1.0, dry_weight_pct=0.0),
    ),
    ("california", "load_check_pct"): (
        looked_through((20.0,) * 101, (20.0,)),
        looked_through((20.0,) * 100, (20.0,)),
    ),
    ("california", "load_check_trucks"): (looked_through((20.0,), ()), looked_through((20.0,), (20.0,))),
    ("california", "analyses"): (on_land(analyses=frozenset({"metals"})), on_land()),
    ("california", "complaint_fields"): (
        recorded("complaint", "nature date action"),
        recorded("complaint", "nature date complainant action"),
    ),
    ("california", "retention_years"): (discarded(DAY, date(2030, 11, 3)), discarded(DAY, date(2030, 11, 4))),
    ("wisconsin", "nuisance_free"): (happened("complaint"), happened("complaint", is_put_right=True)),
    ("ohio_intake", "load_fields"): (
        recorded("load", "date amount unit material"),
        recorded("load", OHIO_LOAD),
    ),
    ("ohio_intake", "refused_fields"): (
        recorded("refused", "date time plate hauler"),
        recorded("refused", REFUSED),
    ),
    ("ohio_intake", "found_fields"): (
        recorded("found", "date time description hauler"),
        recorded("found", "date time description hauler action"),
    ),
    ("ohio_intake", "report_due"): (reported(date(2026, 2, 2)), reported(date(2026, 2, 1))),
    ("ohio_intake", "retention_years"): (
        discarded(DAY, date(2028, 11, 3)),
        discarded(DAY, date(2028, 11, 4)),
    ),
    ("nop", "town_approval"): (from_town(None), from_town(DAY)),
    ("nop", "input_fields"): (
        recorded("input", "composition source"),
        recorded("input", "composition source places_used"),
    ),
    ("nop", "activity_fields"): (
        recorded("activity", "date field material rate"),
        recorded("activity", "date field material rate operator"),
    ),
    # Worked example 26, 7 CFR 205.202(b).
    ("nop", "prohibited_free_years"): (
        harvested_organic(date(2023, 6, 15), date(2026, 6, 14)),
        harvested_organic(date(2023, 6, 15), date(2026, 6, 15)),
    ),
    ("nop", "manure_touching_days"): (after_manure(119, True), after_manure(120, True)),
    ("nop", "manure_clear_days"): (after_manure(89, False), after_manure(90, False)),
    ("nop", "tell_at_once"): (happened("drift"), happened("drift", "certifier")),
    ("nop", "retention_years"): (discarded(DAY, date(2030, 11, 3)), discarded(DAY, date(2030, 11, 4))),
    ("produce_safety", "activity_fields"): (
        recorded("activity", "farm farm_location observed growing_area date time"),
        recorded("activity", "farm farm_location observed growing_area date time initials"),
    ),
    ("produce_safety", "made_when_done"): (
        recorded("load", "", made_on=DAY + timedelta(days=1)),
        recorded("load", "", made_on=DAY),
    ),
    ("produce_safety", "retention_years"): (
        discarded(DAY, date(2027, 11, 3)),
        discarded(DAY, date(2027, 11, 4)),
    ),
    ("farm", "depth_in"): (laid(807, 1), laid(806, 1)),
    ("farm", "target_depth_in"): (laid(673, 1), laid(672, 1)),
    ("farm", "bags_off"): (in_bags(False), in_bags(True)),
    ("farm", "litter_off"): (with_litter(False), with_litter(True)),
    ("farm", "trash_volume_pct"): (with_trash(volume_pct=5.1), with_trash(volume_pct=5.0)),
    ("farm", "grass_pct"): (with_grass(11), with_grass(10)),
    ("farm", "storage_days"): (piled(DAY - timedelta(days=61)), piled(DAY - timedelta(days=60))),
    ("farm", "storage_yd3"): (piled(DAY, 2001), piled(DAY, 2000)),
    ("farm", "setback_well_ft"): (near("well", 199), near("well", 200)),
    ("farm", "setback_residence_ft"): (near("residence", 149), near("residence", 150)),
    ("farm", "setback_water_ft"): (near("water", 24), near("water", 25)),
    ("farm", "setback_wetland_ft"): (near("wetland", 24), near("wetland", 25)),
    ("farm", "setback_line_ft"): (near("line", 49), near("line", 50)),
    ("farm", "setback_drain_ft"): (near("drain", 9), near("drain", 10)),
    ("farm", "barred_ground"): (ground("snow"), ground("moist")),
    ("farm", "load_check_trucks"): (looked_through((20.0, 20.0), ()), looked_through((20.0, 20.0), (20.0,))),
    ("farm", "refused_fields"): (recorded("refused", "date time plate"), recorded("refused", REFUSED)),
    ("farm", "retention_years"): (discarded(DAY, date(2032, 11, 3)), discarded(DAY, date(2032, 11, 4))),
}

NEVER_A_VERDICT = {"target_depth_in", "work_in_by", "nuisance_free"}
"""Keys whose check never gives more than a reminder: a target is no cap, *the next season* is a date of the farm's,
and a complaint is no proof."""

STATED = [(name, clause.key) for name in rules.sheet_names() for clause in rules.sheet(name).clauses()]


def of(findings: tuple[Finding, ...], sheet: str, key: str) -> list[Finding]:
    return [one for one in findings if (one.sheet, one.clause) == (sheet, key)]


def test_no_stated_key_is_without_its_case_and_no_case_without_its_key():
    assert set(STATED) == set(CASES)


@pytest.mark.parametrize(("name", "key"), STATED)
def test_a_stated_key_is_tripped_by_its_case_and_not_by_its_pair(name: str, key: str):
    sheet = rules.sheet(name)
    tripping, keeping = CASES[name, key]
    (tripped,) = of(tripping(sheet), name, key)
    assert of(keeping(sheet), name, key) == []
    clause = getattr(sheet, key)
    assert (tripped.citation, tripped.standing, tripped.unit) == (
        clause.citation,
        clause.standing,
        clause.unit,
    )
    assert tripped.is_verdict == (clause.binds and key not in NEVER_A_VERDICT)


@pytest.mark.parametrize(("name", "key"), STATED)
@pytest.mark.parametrize("language", ["en", "es"])
def test_a_finding_is_told_in_both_languages_with_its_source(name: str, key: str, language: str):
    sheet = rules.sheet(name)
    (tripped,) = of(CASES[name, key][0](sheet), name, key)
    told = rules.worded(tripped, language)
    assert told.cure
    assert tripped.citation in told.source
    assert "{" not in told.text()
    asks = {"en": "Check with the authority.", "es": "Consulte con la autoridad."}[language]
    if tripped.standing != "read" or not getattr(sheet, key).binds:
        assert told.ask == asks
        assert asks in told.text()


UNCONFIRMED = [pair for pair in STATED if getattr(rules.sheet(pair[0]), pair[1]).standing == "unconfirmed"]


def test_what_is_known_from_memory_alone_is_marked_unconfirmed():
    assert set(UNCONFIRMED) == {
        ("will_county", "rate_tons_per_ac"),
        ("california", "trash_dry_weight_pct"),
        ("california", "analyses"),
        ("produce_safety", "retention_years"),
    }


@pytest.mark.parametrize(("name", "key"), UNCONFIRMED)
def test_an_unconfirmed_value_is_a_reminder_to_check_with_the_authority_and_never_a_verdict(name, key):
    (tripped,) = of(CASES[name, key][0](rules.sheet(name)), name, key)
    assert tripped.severity == "reminder"
    assert rules.worded(tripped, "en").ask == "Check with the authority."
    assert rules.worded(tripped, "es").ask == "Consulte con la autoridad."
