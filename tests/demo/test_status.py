"""The demo's season, folded: what the invented farm's own account says must come out of it comes out."""

from __future__ import annotations

import json
from datetime import date
from itertools import pairwise
from statistics import NormalDist
from uuid import UUID

import pytest

from demo_fixtures import farm, firmness, people, weeds
from demo_fixtures.book import LAST_NIGHT, book, season_of
from demo_fixtures.expected import FILE
from demo_fixtures.rotation import COURSES
from server.ahead.trends import hard_of, trend_since, weeds_of
from shared.errors import Unsound
from shared.rules import sheets_in_force
from shared.status.due import FieldToday, field_dues
from shared.status.field_status import fold
from shared.status.gate import gate_days, gate_sheet
from shared.status.gathering import gathered
from shared.status.holding import holding
from shared.status.leaf_room import closed_by, leaf_room
from shared.status.registers import Ground, leaf_intake
from shared.status.standing import Hands, standing
from shared.wire import lines
from shared.words.bodies.reading import Reading
from shared.words.entry import Written
from shared.words.field import Field, Pile

SHEETS = sheets_in_force(["new_jersey", "nop", "farm"])
TODAY = LAST_NIGHT.date()


@pytest.fixture(scope="module")
def told():
    return json.loads(FILE.read_text("utf-8"))


@pytest.fixture(scope="module")
def facts():
    """What stands of every readable line, numbered in the order of writing."""
    phones = {key: UUID(int=place) for place, key in enumerate(_keys(), 1)}
    written, count = [], dict.fromkeys(phones, 0)
    for number, line in enumerate(book(LAST_NIGHT), 1):
        count[line.phone] += 1
        try:
            entry = lines.decode(line.raw)
        except Unsound:
            continue
        written.append(Written(entry, lines.sha(line.raw), phones[line.phone], count[line.phone], number))
    managers = {one.entry.by for one in written if isinstance(one.entry.body, Reading)}
    return standing(written, Hands(frozenset(managers), phones[people.DESK])).facts


def _keys():
    return [*(one.key for one in people.PHONES), people.DESK]


@pytest.fixture(scope="module")
def grounds(facts, told):
    """Each field's holding and status, on the acres that the farm's own account names."""
    year = season_of(LAST_NIGHT).year
    piles = [Pile(one.id, "pile", 1, None) for one in vars(farm).values() if isinstance(one, farm.Heap)]
    found = {}
    for plot in farm.PLOTS:
        acres = told["fields"][plot.key]["spreadable_ac"]
        own = {"cap_in": farm.cap_in(plot), "organic_from": farm.organic_from(plot, year)}
        field = Field(plot.id, plot.name, 1, plot.outline, farm.acres(plot), acres, **own)
        land = holding(field, (), piles)
        found[plot.key] = Ground(fold(facts, land, farm.ZONE), land)
    return found


@pytest.mark.parametrize("plot", farm.PLOTS, ids=[plot.key for plot in farm.PLOTS])
def test_the_room_of_a_field_is_that_of_the_farms_own_account(grounds, told, plot):
    ground, expected = grounds[plot.key], told["fields"][plot.key]
    closed = closed_by(ground.status, TODAY, ground_barred=False, town_barred=False)
    room = leaf_room(ground.status, ground.land, SHEETS, TODAY, closed=closed)
    assert room.room_yd3 == pytest.approx(expected.get("room_yd3", 0), abs=0.3)
    assert bool(room.closed) == ("room_yd3" not in expected)


def test_the_tally_by_town_is_that_of_the_farms_own_account(facts, told):
    days = gate_days(facts, farm.ZONE).values()
    for year in (TODAY.year - 1, TODAY.year):
        sheet = gate_sheet(day for day in days if day.on.year == year)
        ours = sorted((one.taken, one.turned_back, float(one.yards_yd3)) for one in sheet.towns)
        theirs = told["towns"][str(year)].values()
        assert ours == sorted((one["taken"], one["turned_back"], one["yards_yd3"]) for one in theirs)


def test_the_field_that_wants_mowing_is_told_with_its_round(grounds, told):
    expected = told["due_to_mow"]
    mowing = {}
    for key, ground in grounds.items():
        for one in field_dues(FieldToday(ground.status, ground.land, SHEETS, TODAY)):
            if one.job == "mow":
                mowing[farm.BY_KEY[key].name] = one
    (name,) = mowing
    due = mowing[name]
    assert (name, due.last.isoformat(), due.why) == (expected["field"], expected["on"], "dues.mow.heads")
    assert due.facts["height"] == f"{expected['mean_in']:g}"
    assert (due.facts["headed"], due.facts["stops"]) == (
        str(expected["stops_with_heads"]),
        str(expected["stops"]),
    )


def test_every_load_of_the_season_is_in_the_register_with_its_yards(facts, grounds, told):
    grounds_by_id = {ground.land.field: ground for ground in grounds.values()}
    rows = [row for row in leaf_intake(facts, list(grounds.values()), farm.ZONE) if not row.struck]
    for year in (TODAY.year - 1, TODAY.year):
        taken = [row for row in rows if row.on.year == year and row.outcome.word != "turned_back"]
        expected = told["towns"][str(year)].values()
        assert len({row.entry for row in taken}) == sum(one["taken"] for one in expected)
        assert float(sum(row.yards_yd3 for row in taken)) == pytest.approx(
            sum(one["yards_yd3"] for one in expected)
        )
        on_fields = [row for row in taken if row.to in grounds_by_id]
        for row in on_fields:
            last = grounds_by_id[row.to].status.last_done("spread")
            assert (row.spread_on is None) == (last.on < row.on), row


def drawn_pct(measure, plot, day):
    """What the rounds of a day were drawn around: the mean cover of weeds, or the share of points over 300 psi."""
    year = season_of(LAST_NIGHT).year
    if measure is weeds_of:
        return weeds.mean_pct(plot, day, year)
    middle = firmness.middle_psi(plot, day, year)
    return 100.0 * (1.0 - NormalDist(middle, 52.0).cdf(firmness.LIMIT_PSI))


# The invented farm probes every second April: one rest alone is long enough for a line of hard points.
@pytest.mark.parametrize(("measure", "rests"), [(weeds_of, 5), (hard_of, 1)])
def test_most_lines_of_a_rest_hold_the_change_that_the_farm_was_drawn_with(facts, grounds, measure, rests):
    year, told = season_of(LAST_NIGHT).year, []
    for plot, ground in grounds.items():
        rounds = [one for each in gathered(facts, ground.land, farm.ZONE).values() for one in each.rounds]
        cash = [year + at for at, _ in COURSES[plot].cash]
        for before, after in pairwise(cash):
            rest = [one for one in rounds if date(before + 1, 1, 1) <= one.last[0] < date(after, 1, 1)]
            days = sorted(found[0] for one in rest if (found := measure(one)) is not None)
            line = trend_since(rest, date(before + 1, 1, 1), measure).line
            if line is None:
                continue
            change = drawn_pct(measure, plot, days[-1]) - drawn_pct(measure, plot, days[0])
            true = change / ((days[-1] - days[0]).days / 365.2425)
            told.append((plot, line.low <= true <= line.high, line.rises))
    assert len(told) >= rests
    assert sum(held for _, held, _ in told) >= 0.75 * len(told)
    assert not any(rises for *_, rises in told)
