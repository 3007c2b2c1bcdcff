"""Every kind of entry is put right on the page that wrote it, filled in with what it says."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from mobile.presenters.entry import EntryPresenter
from mobile.presenters.gate import GatePresenter
from mobile.presenters.gate_room import receive_in
from mobile.presenters.ground import GroundPresenter
from mobile.presenters.load_correct import LoadCorrectPresenter
from mobile.presenters.note import NotePresenter
from mobile.presenters.sample import SamplePresenter
from mobile.presenters.work import WorkPresenter
from tests.mobile.farmland import EASTMERE, KILN_BOTTOM, QUARRY_SIDE, SPRING_PIECE, TRUCKS
from tests.mobile.presenters.desk import Desk


def correcting(desk: Desk, page_of: Any, id: Any = None) -> Any:
    """The last entry's page, as a tap on *Correct* opens it."""
    id = id or desk.phone.book.written(desk.session.enrolment, None, 1)[0].id
    entry: EntryPresenter = desk.opened(EntryPresenter(desk.session), entry=id)
    assert entry.view().save == "Correct"
    entry.save()
    return desk.opened(page_of(desk.session))


def now(desk: Desk, id: Any) -> str:
    entry = desk.opened(EntryPresenter(desk.session), entry=id)
    return entry.view().lines[0].value


def test_work_is_put_right_and_keeps_what_was_not_touched(desk: Desk) -> None:
    page = desk.opened(WorkPresenter(desk.session), field=QUARRY_SIDE)
    page.pick("job", "seed")
    page.write("crop", "rye")
    page.write("machine", "drill")
    page.pick("when", "yesterday")
    page.view()
    desk.key_in(page, "19")
    page.save()
    line = desk.phone.book.written(desk.session.enrolment, None, 1)[0]
    page = correcting(desk, WorkPresenter)
    view = page.view()
    assert view.title == "Correct: Seed"
    assert view.slots[0].figure == "19"
    page.save()
    assert "reason" in page.view().notice
    page.pick("corrected_for", "mistyped")
    page.key("rub")
    page.key("rub")
    desk.key_in(page, "90")
    page.save()
    (fix,) = desk.bodies("correction")
    assert (fix.body.seed_lb_per_ac, fix.body.crop, fix.body.machine) == (Decimal(90), "rye", "drill")
    newest = desk.phone.book.written(desk.session.enrolment, None, 1)[0].entry
    assert (newest.names, newest.field, newest.done_at) == (line.id, QUARRY_SIDE, line.entry.done_at)
    assert desk.shown[-1] == "entry"


def test_a_wrong_job_is_put_right_and_drops_what_only_the_wrong_one_had(desk: Desk) -> None:
    page = desk.opened(WorkPresenter(desk.session), field=QUARRY_SIDE, job="mow")
    page.view()
    desk.key_in(page, "6")
    page.save()
    page = correcting(desk, WorkPresenter)
    page.tap("job")
    page.pick("job", "disk")
    page.pick("corrected_for", "mistyped")
    page.save()
    (fix,) = desk.bodies("correction")
    assert (fix.body.job, fix.body.stubble_in) == ("disk", None)


def test_ground_put_right_to_frozen_forgets_the_thread(desk: Desk) -> None:
    page = desk.opened(GroundPresenter(desk.session), field=SPRING_PIECE)
    page.pick("state", "moist")
    page.pick("thread", "rolls")
    page.save()
    page = correcting(desk, GroundPresenter)
    page.pick("state", "frozen")
    page.pick("corrected_for", "misread")
    page.save()
    (fix,) = desk.bodies("correction")
    assert (fix.body.state, fix.body.thread) == ("frozen", None)


def test_a_sample_a_note_and_an_occurrence_are_put_right(desk: Desk) -> None:
    page = desk.opened(SamplePresenter(desk.session), field=SPRING_PIECE)
    page.pick("of", "soil")
    page.write("lab_bag", "B-17")
    page.save()
    page = correcting(desk, SamplePresenter)
    page.write("lab_bag", "B-71")
    page.pick("corrected_for", "mistyped")
    page.save()
    assert desk.bodies("correction")[-1].body.lab_bag == "B-71"

    page = desk.opened(NotePresenter(desk.session), field=SPRING_PIECE)
    page.write("text", "gate leans")
    page.save()
    page = correcting(desk, NotePresenter)
    page.write("text", "gate post leans")
    page.pick("corrected_for", "left_out")
    page.save()
    assert desk.bodies("correction")[-1].body.text == "gate post leans"

    page = desk.opened(NotePresenter(desk.session), field=SPRING_PIECE)
    page.pick("kind", "occurrence")
    page.pick("what", "trash_found")
    page.write("action", "picked up")
    page.write("name", "0613")
    page.view()
    desk.key_in(page, "4")
    page.save()
    page = correcting(desk, NotePresenter)
    page.pick("what", "trash_found")
    page.pick("what", "complaint")
    page.pick("corrected_for", "misread")
    page.save()
    fix = desk.bodies("correction")[-1].body
    assert (fix.what, fix.trash_lb, fix.action) == ("complaint", None, "picked up")


@pytest.fixture
def load(desk: Desk) -> Any:
    receive_in(desk.session, QUARRY_SIDE)
    gate = desk.opened(GatePresenter(desk.session))
    gate.tap_truck(str(TRUCKS[0]))
    gate.pick("fill", "100")
    gate.pick("seen", "clean")
    return desk.phone.book.written(desk.session.enrolment, None, 1)[0].id


def test_a_load_is_put_right_truck_fill_and_place_at_once(desk: Desk, load: Any) -> None:
    page = correcting(desk, LoadCorrectPresenter)
    page.pick("truck", str(TRUCKS[2]))
    page.pick("fill", "80")
    page.pick("to", str(QUARRY_SIDE))
    page.pick("to", str(KILN_BOTTOM))
    page.save()
    assert "reason" in page.view().notice
    page.pick("corrected_for", "misread")
    page.save()
    (fix,) = desk.bodies("correction")
    body = fix.body
    assert (body.town, body.vehicle, body.carried_yd3) == (EASTMERE, TRUCKS[2], Decimal(20))
    assert body.to == ((KILN_BOTTOM, Decimal(20)),)
    assert body.ticket == desk.bodies("load")[0].ticket
    assert "Eastmere" in now(desk, load)


def test_a_load_put_right_to_turned_back_goes_nowhere(desk: Desk, load: Any) -> None:
    page = correcting(desk, LoadCorrectPresenter)
    page.pick("outcome", "turned_back")
    page.pick("corrected_for", "mistyped")
    page.save()
    assert desk.bodies("correction") == [], "a reason is asked for"
    page.write("reason", "half of it gravel")
    page.save()
    (fix,) = desk.bodies("correction")
    assert (fix.body.to, fix.body.reason) == ((), "half of it gravel")
