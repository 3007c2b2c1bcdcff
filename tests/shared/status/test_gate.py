"""The gate's tally and the piles."""

from __future__ import annotations

import json
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shared.status.gate import GateDay, gate_days, gate_sheet
from shared.status.piles import PileStatus, pile_status
from shared.status.standing import standing
from shared.words.bodies.gate import AgreedCount, PileCheck
from shared.words.bodies.work import Work


def sheet(pen, written):
    return gate_sheet(gate_days(standing(written).facts, pen.zone).values())


def test_a_day_is_tallied_by_town_and_by_place(pen):
    written = [
        pen.load("20"),
        pen.load("18", outcome="taken_after_picking"),
        pen.load("20", outcome="turned_back", reason="bags"),
        pen.load("30", to=pen.pile, town=pen.second_town),
    ]
    found = sheet(pen, written)
    assert (found.taken, found.turned_back, found.yards_yd3) == (3, 1, 68)
    first, second = found.towns
    assert (first.town, first.taken, first.picked, first.turned_back, first.yards_yd3) == (
        pen.town,
        2,
        1,
        1,
        38,
    )
    assert (second.town, second.yards_yd3) == (pen.second_town, 30)
    assert [(one.place, one.loads, one.yards_yd3) for one in found.places] == [
        (pen.field, 2, 38),
        (pen.pile, 1, 30),
    ]


def test_reporting_tons_go_by_packing_and_are_no_dry_matter(pen):
    written = [
        pen.load("100", packing="loose"),
        pen.load("100", packing="vacuumed"),
        pen.load("100", packing="compacted"),
    ]
    (town,) = sheet(pen, written).towns
    assert town.tons == pytest.approx(20 + 35 + 50)


def test_what_was_taken_off_again_is_not_in_the_yards(pen):
    assert sheet(pen, [pen.load("20", removed_yd3=Decimal(5))]).yards_yd3 == 15


def test_an_agreed_count_stands_against_ours_on_its_own_days(pen):
    agreed = pen.write(AgreedCount(pen.town, 3, Decimal(55), "driver"), "2025-11-20")
    found = sheet(
        pen,
        [pen.load("20", "2025-11-20"), pen.load("20", "2025-11-20"), pen.load("20", "2025-11-21"), agreed],
    )
    (town,) = found.towns
    assert (town.taken, town.agreed_loads, town.agreed_yd3) == (3, 3, 55)
    assert (town.off_loads, town.off_yd3) == (-1, -15)
    (none,) = sheet(pen, [pen.load("20")]).towns
    assert (none.agreed_loads, none.off_loads) == (None, None)


def test_a_struck_load_is_not_tallied_and_a_doubtful_one_stands_apart(pen):
    struck, wild = pen.load("20"), pen.load("200")
    found = sheet(pen, [struck, pen.strike(struck), wild])
    assert (found.taken, found.doubtful) == (0, (wild.entry.id,))


@settings(max_examples=60)
@given(data=st.data())
def test_a_gate_sheet_is_the_same_in_any_order_and_by_any_parts(new_pen, data):
    pen = new_pen()
    written = []
    for _ in range(data.draw(st.integers(0, 8))):
        day = data.draw(st.sampled_from(["2025-11-20", "2025-11-21"]))
        outcome = data.draw(st.sampled_from(["taken", "taken_after_picking", "turned_back"]))
        place = data.draw(st.sampled_from([pen.field, pen.pile]))
        town = data.draw(st.sampled_from([pen.town, pen.second_town]))
        packing = data.draw(st.sampled_from(["loose", "compacted"]))
        written.append(
            pen.load(
                str(data.draw(st.integers(1, 40))), day, to=place, outcome=outcome, town=town, packing=packing
            )
        )
        if data.draw(st.integers(0, 3)) == 0:
            written.append(pen.write(AgreedCount(town, 2, Decimal(40), "driver"), day))
    facts = standing(written).facts
    whole = gate_days(facts, pen.zone)
    shuffled = data.draw(st.permutations(facts))
    assert gate_days([*shuffled, *shuffled[:2]], pen.zone) == whole
    cut = data.draw(st.integers(0, len(facts)))
    one, other = gate_days(shuffled[:cut], pen.zone), gate_days(shuffled[cut:], pen.zone)
    merged = {day: _both(one.get(day), other.get(day)) for day in {*one, *other}}
    assert merged == whole
    assert gate_sheet(whole[day] for day in sorted(whole, reverse=True)) == gate_sheet(whole.values())
    for day in whole.values():
        assert GateDay.from_tree(json.loads(json.dumps(day.to_tree()))) == day


def _both(one, other):
    return one.merged(other) if one and other else one or other


# Piles


def pile(pen, *written):
    return pile_status(pen.pile, standing(written).facts, pen.zone)


def test_a_pile_holds_what_went_in_less_what_was_drawn_and_knows_its_oldest(pen):
    status = pile(
        pen,
        pen.load("100", "2025-11-20", to=pen.pile),
        pen.load("50", "2025-12-05", to=pen.pile, town=pen.second_town),
        pen.write(Work("spread", from_=(pen.pile,), yards_yd3=Decimal(110)), "2026-02-01"),
    )
    assert (status.in_yd3, status.out_yd3, status.on_hand_yd3) == (150, 110, 40)
    assert status.oldest_on == date(2025, 12, 5)
    assert dict(status.towns) == {pen.town: 100, pen.second_town: 50}


def test_leaves_moved_into_a_pile_and_out_of_it_are_in_its_balance(pen):
    status = pile(
        pen,
        pen.write(Work("move", from_=(pen.field,), to=pen.pile, yards_yd3=Decimal(30)), "2025-12-01"),
        pen.write(Work("move", from_=(pen.pile,), to=pen.field, yards_yd3=Decimal(10)), "2025-12-02"),
    )
    assert (status.in_yd3, status.out_yd3) == (30, 10)


def test_a_draw_without_yards_or_from_several_piles_is_doubtful(pen):
    no_yards = pen.write(Work("spread", from_=(pen.pile,)))
    shared = pen.write(Work("spread", from_=(pen.pile, pen.part), yards_yd3=Decimal(10)))
    status = pile(pen, pen.load("100", to=pen.pile), no_yards, shared)
    assert set(status.doubtful) == {no_yards.entry.id, shared.entry.id}
    assert status.out_yd3 == 5


def test_a_pile_is_never_below_empty_and_keeps_its_last_check(pen):
    first = pen.write(PileCheck(pen.pile, temp_f=Decimal(150)), "2025-12-01")
    last = pen.write(PileCheck(pen.pile, temp_f=Decimal(130)), "2025-12-03")
    drawn = pen.write(Work("spread", from_=(pen.pile,), yards_yd3=Decimal(10)))
    status = pile(pen, last, first, drawn)
    assert (status.on_hand_yd3, status.oldest_on, status.checked.temp_f) == (0, None, 130)


@settings(max_examples=60)
@given(data=st.data())
def test_a_pile_is_the_same_in_any_order_and_comes_back_from_its_row(new_pen, data):
    pen = new_pen()
    written = []
    for _ in range(data.draw(st.integers(0, 8))):
        day = data.draw(st.sampled_from(["2025-11-20", "2025-12-01", "2026-01-10"]))
        yards = Decimal(data.draw(st.integers(1, 40)))
        match data.draw(st.sampled_from(["load", "draw", "check", "struck"])):
            case "load":
                written.append(
                    pen.load(str(yards), day, to=data.draw(st.sampled_from([pen.pile, pen.field])))
                )
            case "draw":
                sources = data.draw(st.sampled_from([(pen.pile,), (pen.pile, pen.part, pen.town)]))
                written.append(pen.write(Work("spread", from_=sources, yards_yd3=yards), day))
            case "check":
                written.append(pen.write(PileCheck(pen.pile, temp_f=yards), day))
            case "struck":
                written.append(pen.load(str(yards), day, to=pen.pile))
                written.append(pen.strike(written[-1]))
    facts = standing(written).facts
    status = pile_status(pen.pile, facts, pen.zone)
    shuffled = data.draw(st.permutations(facts))
    assert pile_status(pen.pile, [*shuffled, *shuffled[:1]], pen.zone) == status
    assert PileStatus.from_tree(json.loads(json.dumps(status.to_tree()))) == status
