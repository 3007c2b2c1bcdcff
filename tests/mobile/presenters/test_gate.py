"""Gate: three taps, the tally, turning back, undo, what is refused."""

from __future__ import annotations

from decimal import Decimal

import pytest

from mobile.presenters.gate import GatePresenter
from mobile.presenters.gate_forms import CloserPresenter, TurnBackPresenter
from mobile.presenters.gate_places import NewTruckPresenter
from mobile.presenters.gate_room import receive_in
from tests.mobile.farmland import OVER_LANE, QUARRY_SIDE, TRUCKS
from tests.mobile.presenters.desk import Desk


@pytest.fixture
def gate(desk: Desk) -> GatePresenter:
    receive_in(desk.session, QUARRY_SIDE)
    page: GatePresenter = desk.opened(GatePresenter(desk.session))
    return page


def take(page: GatePresenter, truck: int = 0, fill: str = "100", seen: str = "clean") -> None:
    page.tap_truck(str(TRUCKS[truck]))
    page.pick("fill", fill)
    page.pick("seen", seen)


def test_a_load_is_three_taps(desk: Desk, gate: GatePresenter) -> None:
    take(gate)
    (load,) = desk.bodies("load")
    assert load.beds == ((Decimal(20), Decimal(100)),)
    assert load.to == ((QUARRY_SIDE, Decimal(20)),)
    assert (load.outcome, load.trash, load.vehicle) == ("taken", "none", TRUCKS[0])
    said = gate.view().said
    assert said is not None
    assert said.text == "0001 Fallowdale 3 taken, 20 yd³"


def test_nothing_is_taken_before_it_is_said_how_full_it_was(desk: Desk, gate: GatePresenter) -> None:
    gate.tap_truck(str(TRUCKS[0]))
    load = gate.view().load
    assert load is not None
    assert load.dead
    assert load.fills.chosen == ()
    gate.pick("seen", "clean")
    assert desk.bodies("load") == []


def test_the_fill_of_the_last_load_is_not_copied(gate: GatePresenter) -> None:
    take(gate, fill="80")
    gate.tap_truck(str(TRUCKS[0]))
    load = gate.view().load
    assert load is not None
    assert load.fills.chosen == ()


def test_ticket_numbers_go_up_by_one_and_bear_the_phones_mark(desk: Desk, gate: GatePresenter) -> None:
    for truck in (0, 1, 2):
        take(gate, truck)
    tickets = [load.ticket for load in desk.bodies("load")]
    assert [one[:4] for one in tickets] == ["0001", "0002", "0003"]
    assert len({one[5:] for one in tickets}) == 1
    assert len(tickets[0]) == 10


def test_two_phones_give_out_different_tickets(desk: Desk) -> None:
    from uuid import UUID

    from mobile.actions.save_load import ticket_mark

    marks = {ticket_mark(UUID(int=0x0190_0000_0000_7000_8000_0000_0000_0000 + n * 7919)) for n in range(200)}
    assert len(marks) == 200


def test_the_tally_is_by_town(gate: GatePresenter) -> None:
    take(gate, 0)
    take(gate, 1, "90")
    take(gate, 2)
    assert gate.view().under == "Fallowdale 38 yd³ · Eastmere 25 yd³ today"


def test_the_room_falls_with_each_load(gate: GatePresenter) -> None:
    before = gate.view().ground.room
    take(gate)
    assert before != gate.view().ground.room


def test_a_load_is_undone_for_ten_seconds(desk: Desk, gate: GatePresenter) -> None:
    take(gate)
    gate.undo()
    assert gate.view().under == "No load yet today."
    assert len(desk.bodies("strike")) == 1
    take(gate, 1)
    assert desk.bodies("load")[-1].ticket[:4] == "0002", "an undone number is never given out again"


def test_trucks_keep_their_places_all_day(gate: GatePresenter) -> None:
    before = [line.label for line in gate.view().lines]  # type: ignore[union-attr]
    take(gate, 3)
    take(gate, 2)
    assert [line.label for line in gate.view().lines] == before  # type: ignore[union-attr]


def test_a_town_that_is_not_approved_is_refused_on_organic_ground(desk: Desk, gate: GatePresenter) -> None:
    from shared.wire.pull import row_tree
    from shared.words.farm import SheetInForce

    desk.farm.put("sheets", row_tree(SheetInForce("nop", "nop", True)))
    from mobile.actions.hand_in import hand_in

    hand_in(desk.phone, desk.session.enrolment)
    receive_in(desk.session, OVER_LANE)
    take(gate, 2)
    assert desk.bodies("load") == []
    assert "Eastmere is not approved" in gate.view().notice
    take(gate, 0)
    assert len(desk.bodies("load")) == 1


def test_without_a_receiving_field_nothing_is_taken(desk: Desk) -> None:
    page = desk.opened(GatePresenter(desk.session))
    take(page)
    assert desk.bodies("load") == []
    assert page.view().notice


def test_the_caution_stands_once_a_day(desk: Desk, gate: GatePresenter) -> None:
    assert "back up" in gate.view().caution
    gate.extra()
    assert gate.view().caution == ""
    desk.clock.pass_ms(24 * 3_600_000)
    assert gate.view().caution


def test_a_load_is_turned_back_with_its_reason_and_goes_nowhere(desk: Desk, gate: GatePresenter) -> None:
    gate.turn_back(str(TRUCKS[3]))
    page = desk.opened(TurnBackPresenter(desk.session))
    page.save()
    assert page.view().notice
    page.pick("reason", "glass")
    page.write("plate", "AB 12")
    page.save()
    (load,) = desk.bodies("load")
    assert (load.outcome, load.trash_items, load.to, load.plate) == ("turned_back", ("glass",), (), "AB 12")
    assert load.reason == "Glass"
    assert desk.shown[-1] == "gate"


def test_a_truck_that_comes_back_is_tied_to_the_load_that_was_turned_back(
    desk: Desk, gate: GatePresenter
) -> None:
    gate.turn_back(str(TRUCKS[3]))
    page = desk.opened(TurnBackPresenter(desk.session))
    page.pick("reason", "bags")
    page.save()
    gate.entered()
    first = desk.phone.book.written(desk.session.enrolment, None, 1)[0].id
    gate.turn_back(str(TRUCKS[3]))
    gate.pick("fill", "100")
    gate.pick("seen", "clean")
    assert desk.bodies("load")[-1].again_of == first


def test_a_hazard_is_never_taken(desk: Desk, gate: GatePresenter) -> None:
    gate.tap_truck(str(TRUCKS[0]))
    gate.pick("fill", "100")
    gate.pick("seen", "closer")
    page = desk.opened(CloserPresenter(desk.session))
    page.pick("items", "sharps")
    view = page.view()
    assert view.save == ""
    assert "Stand off" in view.caution
    page.extra()
    (load,) = desk.bodies("load")
    assert (load.trash, load.outcome) == ("hazard", "turned_back")


def test_a_truck_not_seen_before_gets_its_place(desk: Desk, gate: GatePresenter) -> None:
    page = desk.opened(NewTruckPresenter(desk.session))
    town = page.view().lines[0].options[0][0]
    page.pick("town", town)
    page.pick("packing", "loose")
    page.write("label", "Blue one")
    desk.key_in(page, "12")
    page.save()
    labels = [line.label for line in gate.view().lines]  # type: ignore[union-attr]
    assert "Blue one" in labels
    gate.tap_truck("Blue one")
    gate.pick("fill", "50")
    gate.pick("seen", "clean")
    (load,) = desk.bodies("load")
    assert (load.carried_yd3, load.plate, load.vehicle) == (Decimal(6), "Blue one", None)
