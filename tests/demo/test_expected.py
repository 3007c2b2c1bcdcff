"""What must come out, two ways: by the fixture's own arithmetic and by the fold over the book's lines."""

from __future__ import annotations

import ast
import json
from decimal import Decimal
from pathlib import Path
from uuid import UUID

import pytest

from demo_fixtures import expected, farm, people, towns
from demo_fixtures.book import LAST_NIGHT, book, by_phone
from demo_fixtures.expected import spreadable_ac
from demo_fixtures.stands import DUE_TO_MOW
from shared.errors import Unsound
from shared.status.due import FieldToday, field_dues
from shared.status.fact import Hands
from shared.status.field_status import FieldStatus, fold
from shared.status.holding import Holding, holding
from shared.status.standing import standing
from shared.wire import lines
from shared.words.entry import Written
from shared.words.field import Field, Pile

DESK = UUID(int=1)
PER_ACRE_AT_SIX_INCHES = 806.67
"""Cubic yards: "about 800" in the fact sheet Plant Nutrients in Municipal Leaves (Rutgers data), 806.67 exactly."""


@pytest.fixture(scope="module")
def told() -> dict[str, object]:
    return json.loads(expected.FILE.read_text("utf-8"))


@pytest.fixture(scope="module")
def in_force():
    number = 0
    written = []
    places = {
        phone: UUID(int=place)
        for place, phone in enumerate((people.DESK, "blue", "red", "yellow", "gate"), 1)
    }
    for phone, mine in by_phone(book()).items():
        for line, one in enumerate(mine, 1):
            number += 1
            try:
                written.append(
                    Written(lines.decode(one.raw), lines.sha(one.raw), places[phone], line, number)
                )
            except Unsound:
                continue
    return standing(written, Hands(frozenset((people.OWNER.id,)), DESK)).in_force


def held(plot: farm.Plot) -> Holding:
    field = Field(
        plot.id, plot.name, 1, plot.outline, farm.acres(plot), spreadable_ac(plot.key), farm.cap_in(plot)
    )
    return holding(field, piles=[Pile(farm.LANE_PILE.id, farm.LANE_PILE.name, 1, None)])


@pytest.fixture(scope="module")
def statuses(in_force) -> dict[str, FieldStatus]:
    return {plot.key: fold(in_force, held(plot), farm.ZONE) for plot in farm.PLOTS}


def test_the_file_says_what_the_season_says(told):
    assert expected.FILE.read_text("utf-8") == expected.text()
    assert told["entries"]["all"] == len(book())


def test_the_acres_add_up(told):
    assert sum(one["area_ac"] for one in told["fields"].values()) == pytest.approx(told["acres"], abs=1e-3)


def test_room_and_what_is_placed_fill_the_published_yards_an_acre(told):
    filled = {key: one for key, one in told["fields"].items() if one.get("room_yd3")}
    assert set(filled) == {"quarry_side", "saddle", "hedge_strip", "mill_flat"}
    for one in filled.values():
        whole = one["room_yd3"] + one["leaves_2026"]["placed_yd3"]
        assert whole == pytest.approx(one["spreadable_ac"] * PER_ACRE_AT_SIX_INCHES, rel=1e-4)
        assert one["leaves_2026"]["depth_in"] == pytest.approx(
            6 * one["leaves_2026"]["placed_yd3"] / (one["spreadable_ac"] * PER_ACRE_AT_SIX_INCHES), rel=1e-4
        )


@pytest.mark.parametrize("key", farm.BY_KEY)
def test_the_fold_places_the_same_yards_on_the_field(key, told, statuses):
    laid = statuses[key].laid
    for year in (2025, 2026):
        placed = sum((one.yards_yd3 for one in laid if one.on.year == year), Decimal(0))
        want = told["fields"][key].get(f"leaves_{year}", {"placed_yd3": 0})["placed_yd3"]
        assert float(placed) == pytest.approx(want, abs=1e-6)


@pytest.mark.parametrize("key", farm.BY_KEY)
def test_the_fold_has_the_field_in_the_same_leg(key, told, statuses):
    leg = statuses[key].leg_on(LAST_NIGHT.date())
    assert leg is not None
    assert leg.leg == told["fields"][key]["leg"]


def test_the_fold_has_the_same_last_cover_round_where_mowing_is_due(told, statuses):
    last = statuses[DUE_TO_MOW].cover[0]
    assert last.mean_in == pytest.approx(told["due_to_mow"]["mean_in"])


def test_the_towns_of_the_fold_have_brought_the_same_yards(told, in_force):
    for year in (2025, 2026):
        for town in towns.TOWNS:
            loads = [one for one in in_force if one.kind == "load" and one.body.town == town.id]
            mine = [one for one in loads if one.day(farm.ZONE).year == year]
            want = told["towns"][str(year)][town.name]
            taken = [one.body for one in mine if one.body.is_taken]
            assert len(taken) == want["taken"]
            assert len(mine) - len(taken) == want["turned_back"]
            assert float(sum(one.carried_yd3 for one in taken)) == pytest.approx(want["yards_yd3"])


def test_what_must_come_out_is_reckoned_without_the_core_that_is_held_beside_it():
    tree = ast.parse(Path(expected.__file__).read_text("utf-8"))
    imported = {node.module for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)}
    assert [
        name for name in imported if name.startswith(("shared.reckoning", "shared.rules", "shared.status"))
    ] == []


def test_the_mowing_that_was_put_off_is_the_one_that_is_still_due(statuses, in_force):
    today = FieldToday(statuses[DUE_TO_MOW], held(farm.BY_KEY[DUE_TO_MOW]), (), LAST_NIGHT.date(), None)
    due = next(one for one in field_dues(today) if one.job == "mow")
    put_off = [one for one in in_force if one.kind == "put_off"]
    assert [one.body.why for one in put_off if one.body.due == due.id] == ["broken", "broken"]
    assert due.last is not None
    assert due.last < LAST_NIGHT.date()


def test_nothing_else_is_late_in_november(statuses):
    late = {
        (plot.key, one.job)
        for plot in farm.PLOTS
        for one in field_dues(FieldToday(statuses[plot.key], held(plot), (), LAST_NIGHT.date(), None))
        if one.last is not None and one.last < LAST_NIGHT.date()
    }
    assert late == {(DUE_TO_MOW, "mow")}
