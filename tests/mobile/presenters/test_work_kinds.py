"""What work and notes ask by kind."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import get_args
from uuid import UUID

import pytest

from mobile.actions.hand_in import hand_in
from mobile.actions.save_entry import NewEntry, save_entry
from mobile.presenters.entry_words import told
from mobile.presenters.note import NotePresenter
from mobile.presenters.sample import SamplePresenter
from mobile.presenters.work import WorkPresenter
from shared.wire.pull import row_tree
from shared.words.bodies.walked import Cover
from shared.words.bodies.work import JobName, Work
from shared.words.field import Pile
from tests.mobile.farmland import KILN_BOTTOM, QUARRY_SIDE
from tests.mobile.presenters.desk import Desk

PILE = UUID(int=0x500)


@pytest.mark.parametrize("job", get_args(JobName))
def test_every_job_is_written_with_its_machine_and_its_day(desk: Desk, job: str) -> None:
    page = desk.opened(WorkPresenter(desk.session), field=QUARRY_SIDE, job=job)
    keys = {line.key for line in page.view().lines}
    assert {"machine", "when", "people"} <= keys
    for key in ("crop", "other_text"):
        page.write(key, "rye") if key in keys else None
    page.pick("when", "earlier")
    page.save()
    assert "how many days ago" in page.view().notice
    desk.key_in(page, "9")
    page.save()
    entry = desk.phone.book.written(desk.session.enrolment, None, 1)[0].entry
    assert (entry.body.job, entry.done_at) == (job, date(2026, 5, 3))  # type: ignore[union-attr]


def test_spreading_says_passes_stubble_bags_and_whether_near_houses(desk: Desk) -> None:
    page = desk.opened(WorkPresenter(desk.session), field=QUARRY_SIDE, job="spread")
    slots = [slot.key for slot in page.view().slots]
    assert slots == ["passes", "loads", "yards_yd3", "area_ac", "stubble_in"]
    page.pick("near_houses", "no")
    page.pick("bags_off", "yes")
    desk.key_in(page, "2")
    page.save()
    (body,) = desk.bodies("work")
    assert (body.passes, body.bags_off, body.other_text) == (2, True, "kept away")
    assert told(desk.session, body) == "spread leaves", "in words only what the job is"


def test_leaves_are_drawn_from_a_pile(desk: Desk) -> None:
    desk.farm.put("piles", row_tree(Pile(PILE, "Yard pile", 1, None, KILN_BOTTOM)))
    hand_in(desk.phone, desk.session.enrolment)
    page = desk.opened(WorkPresenter(desk.session), field=QUARRY_SIDE, job="spread")
    page.pick("from_", str(PILE))
    page.save()
    page = desk.opened(WorkPresenter(desk.session), field=QUARRY_SIDE, job="move")
    page.pick("from_", str(PILE))
    page.pick("to", str(KILN_BOTTOM))
    page.save()
    spread, move = desk.bodies("work")
    assert (spread.from_, move.from_, move.to) == ((PILE,), (PILE,), KILN_BOTTOM)


def test_a_calibration_run_is_told_in_pounds_an_acre_and_fills_in_the_seeding(desk: Desk) -> None:
    page = desk.opened(NotePresenter(desk.session), field=QUARRY_SIDE)
    page.pick("kind", "calibrate")
    page.save()
    assert "the machine, its setting" in page.view().notice
    page.write("machine", "drill")
    page.write("setting", "4")
    for slot, figure in (("run_1", "1"), ("run_2", "1.2"), ("sheet_ft2", "435.6")):
        page.view()
        page.pick_slot(slot)
        desk.key_in(page, figure)
    page.save()
    (body,) = desk.bodies("calibrate")
    assert (body.runs, body.sheet_ft2) == ((Decimal(1), Decimal("1.2")), Decimal("435.6"))
    assert desk.session.facts["said"][0].text == "drill, 4: 110 lb/ac from 2 runs."
    page = desk.opened(WorkPresenter(desk.session), field=QUARRY_SIDE, job="seed")
    page.write("crop", "rye")
    page.pick("calibrated", "0")
    page.save()
    (seeding,) = desk.bodies("work")
    assert (seeding.machine, seeding.seed_lb_per_ac) == ("drill, 4", Decimal(110))


def test_mowing_names_a_round_that_is_walked_there_today(desk: Desk) -> None:
    def caution() -> str:
        page: WorkPresenter = desk.opened(WorkPresenter(desk.session), field=QUARRY_SIDE, job="mow")
        return page.view().caution

    assert "round" not in caution()
    body = Cover(cover="rye", height_in=Decimal(31), heads="none")
    save_entry(desk.phone, desk.session.enrolment, NewEntry(body=body, field=QUARRY_SIDE))
    assert "walked a round here today, as of 07:30" in caution()


def test_hay_off_leafed_ground_is_warned_of(desk: Desk) -> None:
    body = Work(job="spread", yards_yd3=Decimal(200))
    page: WorkPresenter = desk.opened(WorkPresenter(desk.session), field=QUARRY_SIDE, job="bale")
    assert "glass" not in page.view().caution
    save_entry(desk.phone, desk.session.enrolment, NewEntry(body=body, field=QUARRY_SIDE))
    assert "glass and plastic" in page.view().caution


def test_deep_cores_have_buried_lines_marked_first(desk: Desk) -> None:
    page = desk.opened(SamplePresenter(desk.session), field=QUARRY_SIDE)
    page.pick("of", "nitrate")
    page.view()
    page.pick_slot("bottom_in")
    desk.key_in(page, "12")
    assert page.view().caution == ""
    page.key("rub")
    desk.key_in(page, "8")
    assert "buried lines" in page.view().caution
