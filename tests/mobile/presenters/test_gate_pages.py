"""The gate's further pages: shares and piles, the reserve, the day's count, the ticket, found when tipped."""

from __future__ import annotations

import subprocess
from decimal import Decimal
from pathlib import Path
from typing import Any
from uuid import UUID

import pytest

from mobile.actions.hand_in import hand_in
from mobile.actions.loads_today import loads_of_day
from mobile.actions.ticket_paper import ticket_pdf
from mobile.presenters.found import FoundPresenter
from mobile.presenters.gate import GatePresenter
from mobile.presenters.gate_count import AgreedPresenter, CountPresenter
from mobile.presenters.gate_forms import CloserPresenter, TurnBackPresenter
from mobile.presenters.gate_places import GateFieldPresenter
from mobile.presenters.gate_room import receive_in
from mobile.presenters.gate_split import SplitPresenter
from mobile.presenters.ground import GroundPresenter
from mobile.presenters.ticket import TicketPresenter
from shared.wire.pull import row_tree
from shared.words.field import Pile
from tests.mobile.farmland import FALLOWDALE, KILN_BOTTOM, QUARRY_SIDE, TRUCKS
from tests.mobile.presenters.desk import Desk

PILE = UUID(int=0x500)


@pytest.fixture
def gate(desk: Desk) -> GatePresenter:
    desk.farm.put("piles", row_tree(Pile(PILE, "Yard pile", 1, None, KILN_BOTTOM)))
    hand_in(desk.phone, desk.session.enrolment)
    receive_in(desk.session, QUARRY_SIDE)
    page: GatePresenter = desk.opened(GatePresenter(desk.session))
    return page


def take(page: GatePresenter, truck: int = 0, fill: str = "100", seen: str = "clean") -> None:
    page.tap_truck(str(TRUCKS[truck]))
    page.pick("fill", fill)
    page.pick("seen", seen)


def labelled(page: Any) -> dict[str, str]:
    return {line.label: line.value for line in page.view().lines if hasattr(line, "value")}


def last_load(desk: Desk) -> UUID:
    return loads_of_day(desk.phone, desk.session.enrolment, desk.session.today())[-1].id


def test_a_load_is_shared_by_two_fields_by_the_yards_keyed_in(desk: Desk, gate: GatePresenter) -> None:
    take(gate, seen="share")
    page = desk.opened(SplitPresenter(desk.session))
    page.pick("to", str(KILN_BOTTOM))
    assert page.view().slots[0].figure == "10", "half of it, until something else is keyed in"
    desk.key_in(page, "25")
    page.save()
    assert "20 yd³ only" in page.view().notice
    page.key("rub")
    page.key("rub")
    desk.key_in(page, "12")
    page.save()
    (load,) = desk.bodies("load")
    assert load.to == ((QUARRY_SIDE, Decimal(12)), (KILN_BOTTOM, Decimal(8)))
    gate.entered()
    said = gate.view().said
    assert said is not None
    assert said.text == "0001 Fallowdale 3 taken, 20 yd³: Quarry Side and Kiln Bottom"


def test_a_pile_can_receive_all_loads_or_one(desk: Desk, gate: GatePresenter) -> None:
    take(gate, seen="share")
    page = desk.opened(SplitPresenter(desk.session))
    page.pick("to", str(QUARRY_SIDE))
    page.pick("to", str(PILE))
    page.save()
    places = desk.opened(GateFieldPresenter(desk.session))
    places.tap(str(PILE))
    assert gate.view().ground.room == "To the pile Yard pile"
    take(gate, 1)
    first, second = desk.bodies("load")
    assert first.to == second.to == ((PILE, Decimal(20)),)


def test_what_was_picked_is_said_by_kind_with_a_photo(desk: Desk, gate: GatePresenter) -> None:
    desk.phone.camera.sees = b"\x89PNG\r\n\x1a\n" + bytes(40)  # type: ignore[attr-defined]
    take(gate, seen="picked")
    page = desk.opened(CloserPresenter(desk.session))
    page.save()
    assert "Tap what was picked" in page.view().notice
    page.pick("items", "glass")
    page.tap("photo")
    desk.key_in(page, "3.5")
    page.save()
    (load,) = desk.bodies("load")
    assert (load.outcome, load.trash, load.trash_items) == ("taken_after_picking", "picked", ("glass",))
    assert (load.trash_lb, load.trash_basis, load.checked) == (Decimal("3.5"), "weighed", "weighed")
    assert len(desk.phone.book.written(desk.session.enrolment, None, 1)[0].entry.photos) == 1


def test_a_field_to_stay_off_names_the_next_best(desk: Desk, gate: GatePresenter) -> None:
    assert not gate.view().ground.wrong
    ground = desk.opened(GroundPresenter(desk.session), field=QUARRY_SIDE)
    ground.pick("state", "moist")
    ground.pick("thread", "rolls")
    ground.save()
    shown = gate.view().ground
    assert shown.wrong
    assert "stay off" in shown.under
    assert "next best: Spring Piece" in shown.under
    told = labelled(desk.opened(GateFieldPresenter(desk.session)))
    assert "next best" in told["Spring Piece"]


def test_loads_are_kept_back_while_other_phones_are_not_heard(desk: Desk, gate: GatePresenter) -> None:
    assert "kept back" not in gate.view().ground.under
    desk.clock.pass_ms(2 * 3_600_000 + 60_000)
    assert "2 kept back" in gate.view().ground.under


def test_the_days_count_is_by_town_by_place_and_by_load(desk: Desk, gate: GatePresenter) -> None:
    take(gate, 0)
    take(gate, 2)
    told = labelled(desk.opened(CountPresenter(desk.session)))
    assert told["Fallowdale"] == "one load, 20 yd³; turned back 0 · season 20 yd³. Tap to agree the count."
    assert told["Quarry Side"] == "2 loads, 45 yd³"
    assert told["0002"].startswith("Eastmere, 25 yd³")


def test_loads_that_other_phones_reported_stand_beside_this_phones_own(
    desk: Desk, gate: GatePresenter
) -> None:
    other = Desk(desk.session.folder, server=desk.server, seed=2, joined=False)
    desk.server.slip(desk.farm, "7K2MPQX4RE")
    from shared.status.field_status import FieldStatus, TownSent
    from shared.status.laid import Laid

    on = desk.session.today()
    status = FieldStatus(
        QUARRY_SIDE,
        entries=3,
        laid=(Laid(None, on, None, Decimal(60), 3, "load"),),
        towns=(TownSent(FALLOWDALE, 3, Decimal(60), on),),
    )
    desk.farm.put("standings", status.to_tree())
    hand_in(desk.phone, desk.session.enrolment)
    take(gate, 0)
    told = labelled(desk.opened(CountPresenter(desk.session)))
    assert told["Quarry Side"] == "one load, 20 yd³; with all phones 4 loads, 80 yd³"
    assert "season 80 yd³" in told["Fallowdale"]
    assert other.phone is not desk.phone


def test_a_count_is_agreed_with_the_driver(desk: Desk, gate: GatePresenter) -> None:
    take(gate, 0)
    page = desk.opened(AgreedPresenter(desk.session), town=FALLOWDALE)
    assert [slot.figure for slot in page.view().slots] == ["1", "20"]
    page.save()
    assert page.view().notice
    page.write("with", "R. Ames")
    page.key("rub")
    page.key("2")
    page.save()
    (body,) = desk.bodies("agreed_count")
    assert (body.town, body.loads, body.yards_yd3, body.with_) == (FALLOWDALE, 2, Decimal(20), "R. Ames")
    assert (
        desk.opened(CountPresenter(desk.session)).view().said.text == "Saved. They say 2 loads, we counted 1."
    )


def test_trash_found_when_tipped_is_tied_to_its_load(desk: Desk, gate: GatePresenter) -> None:
    take(gate, 0)
    load = last_load(desk)
    page = desk.opened(FoundPresenter(desk.session), load=load)
    page.save()
    assert page.view().notice
    page.pick("items", "metal")
    page.write("action", "picked by hand")
    page.write("residue_to", "county dump")
    desk.key_in(page, "40")
    page.pick_slot("removed_yd3")
    desk.key_in(page, "5")
    page.save()
    (fact,) = loads_of_day(desk.phone, desk.session.enrolment, desk.session.today())
    body: Any = fact.body
    assert fact.id == load
    assert (body.removed_yd3, body.trash_lb, body.residue_to) == (Decimal(5), Decimal(40), "county dump")
    (found,) = desk.bodies("occurrence")
    assert (found.what, found.name, found.trash_lb) == ("trash_found", body.ticket, Decimal(40))
    assert "15 yd³" in labelled(desk.opened(CountPresenter(desk.session)))["Fallowdale"]


def test_a_ticket_is_shown_and_written_as_a_pdf(desk: Desk, gate: GatePresenter, tmp_path: Path) -> None:
    take(gate, 0)
    page = desk.opened(TicketPresenter(desk.session), load=last_load(desk))
    told = labelled(page)
    assert told["Leaves"] == "20 yd³"
    assert told["Where to"] == "Quarry Side"
    page.save()
    (file,) = tmp_path.glob("ticket-0001-*.pdf")
    assert str(file) in page.view().said.text
    text = subprocess.run(["pdftotext", str(file), "-"], capture_output=True, text=True, check=True).stdout
    assert "0001-" in text
    assert "20 yd³" in text
    assert "Quarry Side" in text


def test_a_ticket_in_spanish_keeps_its_letters_on_paper(tmp_path: Path) -> None:
    file = tmp_path / "boleto.pdf"
    file.write_bytes(ticket_pdf("Finca (sur)", "0001-ABCDE", [("Camión", "Peñasco 3, ¿último? " * 3)]))
    text = subprocess.run(["pdftotext", str(file), "-"], capture_output=True, text=True, check=True).stdout
    assert "Finca (sur)" in text
    assert "Camión" in text
    assert "Peñasco 3, ¿último?" in text


def test_a_reason_tapped_in_english_is_read_in_spanish(desk: Desk, gate: GatePresenter) -> None:
    gate.turn_back(str(TRUCKS[3]))
    page = desk.opened(TurnBackPresenter(desk.session))
    page.pick("reason", "not_leaves")
    page.save()
    from mobile.actions.choose_person import choose_person, people

    reader = next(one for one in people(desk.phone, desk.session.enrolment) if one.language == "es")
    choose_person(desk.phone, desk.session.enrolment, reader.id)
    gate.entered()
    unders = [line.under for line in gate.view().lines if hasattr(line, "under")]
    assert any("No son hojas" in under for under in unders)
