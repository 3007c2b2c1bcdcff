"""The season's lines: the same bytes for the same seed, sound but for what is not, wrong where it is meant to be."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from collections import Counter
from datetime import date, datetime, timedelta
from decimal import Decimal
from pathlib import Path
from zoneinfo import available_timezones

import pytest
from shapely.geometry import Point, Polygon

from demo_fixtures import farm, gate, ground, people, towns
from demo_fixtures.book import LAST_NIGHT, book, by_phone, end_of, facts, season_of
from demo_fixtures.clocks import ahead, shown
from demo_fixtures.seed import SEED
from shared.errors import Unsound
from shared.sync.chain import head_over
from shared.wire import lines
from shared.words.bodies.walked import Cover
from shared.words.entry import Entry

ROOT = Path(__file__).resolve().parents[2]
SUM = """
import hashlib
from datetime import UTC, datetime
from demo_fixtures import expected, tracks
from demo_fixtures.book import book
whole = b"\\n".join(line.phone.encode() + line.raw for line in book())
walk = tracks.track("round.nmea", datetime(2026, 11, 24, 14, tzinfo=UTC)).encode()
print(hashlib.sha256(whole + walk + expected.text().encode()).hexdigest())
"""


@pytest.fixture(scope="module")
def entries() -> dict[tuple[object, ...], Entry]:
    return {one.fact.key: lines.decode(one.raw) for one in book() if one.fact.scribble is None}


def test_the_season_is_the_same_byte_for_byte_in_every_process():
    surroundings = os.environ | {"PYTHONHASHSEED": "4711", "TZ": "Asia/Tokyo"}
    told = subprocess.run(
        [sys.executable, "-c", SUM], cwd=ROOT, env=surroundings, capture_output=True, text=True, check=True
    )
    here: dict[str, str] = {}
    exec(SUM.replace("print(", "here.update(sum="), {"here": here})
    assert told.stdout.strip() == here["sum"]


def test_another_seed_number_gives_another_season():
    assert {one.raw for one in book(LAST_NIGHT, SEED + 1)}.isdisjoint(
        one.raw for one in book() if one.fact.key[0] == "cover"
    )


def test_every_line_is_sound_but_the_three_that_are_not_on_purpose():
    reasons = {}
    for line in book():
        try:
            assert lines.encode(lines.decode(line.raw)) == line.raw
        except Unsound as unsound:
            reasons[line.fact.key] = unsound.why
    assert sorted(reasons.values()) == ["float", "not_json", "unknown_key"]
    assert {key[0] for key in reasons} == {"held"}


def test_every_id_is_a_version_7_of_the_time_that_the_phone_showed(entries):
    ids = set()
    for entry in entries.values():
        assert entry.id.version == 7
        made = entry.made_at.utc
        assert made is not None
        assert entry.id.int >> 80 == int(made.timestamp() * 1000)
        ids.add(entry.id)
    assert len(ids) == len(entries)


def test_each_phone_writes_forward_in_time_and_its_steady_clock_agrees(entries):
    for phone, mine in by_phone(book()).items():
        assert [one.at for one in mine] == sorted(one.at for one in mine), phone
        boots: dict[object, int] = {}
        for one in mine:
            entry = entries.get(one.fact.key)
            if entry is None or phone == people.DESK:
                continue
            assert entry.mono_ms is not None
            assert entry.mono_ms >= boots.get(entry.boot, 0)
            boots[entry.boot] = entry.mono_ms
        assert len(head_over(lines.sha(one.raw) for one in mine)) == 64


def test_cutting_off_at_an_earlier_day_changes_nothing_that_stays():
    early = end_of(date(2026, 7, 2))
    cut = {one.raw for one in book(early)}
    whole = [one for one in book() if one.at <= early]
    assert cut <= {one.raw for one in whole}
    missing = [one for one in whole if one.raw not in cut]
    assert {one.fact.key[:2] for one in missing} <= {("reading", "2026-07-02")}


@pytest.mark.parametrize("day", [date(2027, 1, 20), date(2028, 2, 29), date(2031, 7, 2), date(2030, 12, 31)])
def test_any_visitors_day_has_a_full_year_behind_it_and_nothing_after_it(day):
    told = book(end_of(day))
    assert told[-1].at <= end_of(day)
    assert told[-1].at.date() >= day - timedelta(days=3)
    loads = [one for one in told if one.fact.key[0] == "load" and one.at >= end_of(day) - timedelta(days=366)]
    assert len(loads) >= 280
    covers = [
        one for one in told if one.fact.key[0] == "cover" and one.at >= end_of(day) - timedelta(days=366)
    ]
    assert len(covers) >= 200


def test_in_early_july_one_field_wants_mowing_by_its_height():
    told = [one for one in facts(end_of(date(2026, 7, 2))) if isinstance(one.body, Cover)]
    rounds = {}
    for one in told:
        if one.body.cover == "sorghum_sudan" and one.at.year == 2026:
            rounds.setdefault((one.plot, one.at.date()), []).append(one.body.height_in)
    latest = dict(sorted(rounds))
    tall = [plot for plot, day in latest.items() if sum(rounds[plot, day]) / len(rounds[plot, day]) >= 30]
    assert tall == ["spring_piece"]


def test_some_three_hundred_loads_come_in_a_leaf_season_and_a_few_are_turned_back():
    for years in (-1, 0):
        loads = gate.loads(season_of(LAST_NIGHT), years)
        back = Counter(one.outcome for one in loads)["turned_back"]
        assert 295 <= len(loads) <= 310
        assert 5 <= back <= 20
        reasons = {item for one in loads if one.outcome == "turned_back" for item in one.items}
        assert reasons == {"glass", "plastic"}
        assert {one.truck.town for one in loads} == set(towns.TOWNS)


def test_620_was_typed_for_62_and_mended_on_the_same_phone(entries):
    typed = [one for one in entries.values() if one.kind == "cover" and one.body.height_in == 620]
    assert len(typed) == 2
    for one in typed:
        mended = next(other for other in entries.values() if other.names == one.id)
        assert mended.kind == "correction"
        assert mended.body.body.height_in == Decimal("62.0")
        assert mended.by == one.by


def test_a_load_written_twice_is_struck(entries):
    struck = [one for one in entries.values() if one.kind == "strike"]
    by_id = {one.id: one for one in entries.values()}
    assert struck
    for one in struck:
        named = by_id[one.names]
        twins = [
            other
            for other in by_id.values()
            if other.kind == "load" and other.body.vehicle == named.body.vehicle
        ]
        near = [
            o
            for o in twins
            if o.id != named.id and abs((o.made_at.utc - named.made_at.utc).total_seconds()) < 120
        ]
        assert len(near) == 1


def test_an_entry_was_written_for_a_field_that_nobody_stood_in(entries):
    for key in (("off", "depth"), ("off", "cover")):
        entry = entries[key]
        stood = Point(ground.plan(float(entry.at.lat), float(entry.at.lon)))
        chosen = farm.BY_ID[entry.field]
        assert min(Polygon(outer, holes).distance(stood) for outer, holes in chosen.pieces) > 15
        assert any(Polygon(outer, holes).contains(stood) for one in farm.PLOTS for outer, holes in one.pieces)


def test_two_mended_the_same_stop_and_neither_names_the_others_mending(entries):
    named = Counter(one.names for one in entries.values() if one.kind == "correction")
    crossed = [target for target, times in named.items() if times == 2]
    assert len(crossed) == 2
    by = [{one.by for one in entries.values() if one.names == target} for target in crossed]
    assert all(len(pair) == 2 for pair in by)


def test_the_red_phones_clock_is_fourteen_minutes_ahead_in_november():
    season = season_of(LAST_NIGHT)
    at = season.at(0, 11, 20, 9, 0)
    assert ahead(season, "red", at) == timedelta(minutes=14)
    assert ahead(season, "yellow", at) == ahead(season, "red", season.at(0, 9, 3)) == timedelta(0)
    assert shown(season, "red", at).minute == 14
    spoken = [one for one in book() if one.phone == "red" and one.at >= season.at(0, 11, 16, 7)]
    assert spoken
    for one in spoken:
        made = lines.decode(one.raw).made_at.utc
        assert round((made - one.at).total_seconds()) == 14 * 60


def test_leaves_lie_over_the_cap_in_one_field_by_its_probe_though_not_by_its_yards(entries):
    depths: dict[object, list[Decimal]] = {}
    for one in entries.values():
        if one.kind == "leaf_depth" and one.round is not None:
            depths.setdefault((one.field, one.round), []).append(one.body.depth_in)
    over = {farm.BY_ID[field].key for (field, _), some in depths.items() if sum(some) / len(some) > 6}
    assert over == {"saddle"}


def test_most_days_are_initialled_some_are_not_and_the_last_is_unread():
    days = {one.at.date() for one in facts() if one.phone != people.DESK}
    read = {one.key[1] for one in facts() if one.key[0] == "reading"}
    assert max(days).isoformat() not in read
    left = [day for day in days if day.isoformat() not in read]
    assert 0.03 < len(left) / len(days) < 0.15


def test_one_of_the_crew_speaks_spanish_and_writes_it():
    assert [one.name for one in people.PEOPLE if one.language == "es"] == [people.ANA.name]
    texts = [one.body.text for one in facts() if one.key[0] == "note" and one.by is people.ANA]
    assert any("hojas" in text.lower() for text in texts)


def test_no_name_is_that_of_a_city_and_no_plate_is_one_that_a_state_gives():
    cities = {zone.split("/")[-1].replace("_", " ").lower() for zone in available_timezones()}
    names = [town.name for town in towns.TOWNS] + [plot.name for plot in farm.PLOTS] + [farm.NAME]
    names += [word for hand in people.PEOPLE for word in hand.name.split()]
    assert [name for name in names if name.lower() in cities] == []
    assert all(truck.plate.startswith("DEMO-") for truck in towns.TRUCKS)


def test_nothing_in_the_book_looks_like_an_address_or_a_telephone():
    for line in book():
        text = re.sub(rb"[0-9a-f]{8}-[0-9a-f-]{27}", b"", line.raw)
        assert b"@" not in text
        assert b"http" not in text
        assert not re.search(rb"\b\d{3}[-. ]\d{3}[-. ]\d{4}\b", text)


def test_a_moment_within_the_day_shows_the_morning_and_not_the_afternoon():
    noon = datetime(2026, 11, 18, 12, 0, tzinfo=farm.ZONE)
    told = [one for one in book(noon) if one.fact.key[0] == "load" and one.at.date() == noon.date()]
    whole = [
        one for one in book(end_of(noon.date())) if one.fact.key[0] == "load" and one.at.date() == noon.date()
    ]
    assert 0 < len(told) < len(whole)
