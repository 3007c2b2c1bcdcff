"""Wet or frozen?, work, note, sample: one entry a page, and what it means."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from mobile.presenters.gate import GatePresenter
from mobile.presenters.gate_forms import TurnBackPresenter
from mobile.presenters.ground import GroundPresenter
from mobile.presenters.hand_in import HandInPresenter
from mobile.presenters.note import NotePresenter
from mobile.presenters.reckoner import ReckonerPresenter
from mobile.presenters.sample import SamplePresenter
from mobile.presenters.work import WorkPresenter
from tests.mobile.farmland import QUARRY_SIDE, SPRING_PIECE, TRUCKS
from tests.mobile.kit import note
from tests.mobile.presenters.desk import Desk


def test_ground_is_a_state_and_a_thread(desk: Desk) -> None:
    page = desk.opened(GroundPresenter(desk.session), field=SPRING_PIECE)
    page.save()
    assert page.view().notice
    page.pick("state", "moist")
    page.pick("thread", "rolls")
    page.save()
    (body,) = desk.bodies("ground")
    assert (body.state, body.thread) == ("moist", "rolls")
    said, _ = desk.session.facts["said"]
    assert said.text == "Stay off. A thread rolls out long."
    assert said.wrong


def test_frost_is_keyed_in_where_the_ground_is_frozen(desk: Desk) -> None:
    page = desk.opened(GroundPresenter(desk.session), field=SPRING_PIECE)
    page.pick("state", "frozen")
    assert [slot.key for slot in page.view().slots] == ["frost_in", "thawed_in", "axle_tons"]
    desk.key_in(page, "6.5")
    page.save()
    assert desk.bodies("ground")[0].frost_in == Decimal("6.5")
    assert desk.session.facts["said"][0].text.startswith("Fit to drive")


def test_work_is_done_in_two_taps(desk: Desk) -> None:
    page = desk.opened(WorkPresenter(desk.session), field=QUARRY_SIDE)
    page.pick("job", "mow")
    page.save()
    (body,) = desk.bodies("work")
    assert body.job == "mow"
    assert desk.phone.book.written(desk.session.enrolment, None, 1)[0].entry.field == QUARRY_SIDE
    assert desk.shown == ["here"]


def test_work_of_yesterday_says_when_it_was_done(desk: Desk) -> None:
    page = desk.opened(WorkPresenter(desk.session), field=QUARRY_SIDE)
    page.pick("job", "disk")
    page.pick("when", "yesterday")
    page.save()
    assert desk.phone.book.written(desk.session.enrolment, None, 1)[0].entry.done_at == date(2026, 5, 11)


def test_work_that_was_started_waits_for_its_end(desk: Desk) -> None:
    page = desk.opened(WorkPresenter(desk.session), field=QUARRY_SIDE)
    page.pick("job", "mow")
    page.extra()
    assert desk.bodies("work") == []
    desk.clock.pass_ms(3_600_000)
    again = desk.opened(WorkPresenter(desk.session))
    assert "07:30" in again.view().under
    again.save()
    (body,) = desk.bodies("work")
    assert body.started_at.text.startswith("2026-05-12T07:30")


def test_seeding_names_its_crop(desk: Desk) -> None:
    page = desk.opened(WorkPresenter(desk.session), field=QUARRY_SIDE)
    page.pick("job", "seed")
    page.save()
    assert "Crop" in page.view().notice
    page.write("crop", "rye")
    desk.key_in(page, "90")
    page.save()
    (body,) = desk.bodies("work")
    assert (body.crop, body.seed_lb_per_ac) == ("rye", Decimal(90))


def test_the_caution_of_a_job_stands_until_it_was_done_once_that_day(desk: Desk) -> None:
    page = desk.opened(WorkPresenter(desk.session), field=QUARRY_SIDE, job="mow")
    assert "nobody else in the field" in page.view().caution
    page.save()
    again = desk.opened(WorkPresenter(desk.session), field=QUARRY_SIDE, job="mow")
    assert again.view().caution == ""


def test_a_note_has_words(desk: Desk) -> None:
    page = desk.opened(NotePresenter(desk.session), field=SPRING_PIECE)
    page.save()
    assert page.view().notice
    page.write("text", "  ñandú by the hedge ")
    page.save()
    assert desk.bodies("note")[0].text == "ñandú by the hedge"


def test_something_that_happened_is_on_record_with_what_was_done(desk: Desk) -> None:
    page = desk.opened(NotePresenter(desk.session), field=SPRING_PIECE)
    page.pick("kind", "occurrence")
    page.pick("what", "injury")
    assert page.view().caution
    page.save()
    assert desk.bodies("occurrence") == []
    page.write("action", "washed, went to the clinic")
    page.save()
    (body,) = desk.bodies("occurrence")
    assert (body.what, body.action) == ("injury", "washed, went to the clinic")


def test_a_sample_keeps_its_bag_and_depth(desk: Desk) -> None:
    page = desk.opened(SamplePresenter(desk.session), field=SPRING_PIECE)
    page.pick("of", "soil")
    page.write("lab_bag", "B-17")
    page.view()
    desk.key_in(page, "0")
    page.pick_slot("bottom_in")
    desk.key_in(page, "6")
    page.pick_slot("cores")
    desk.key_in(page, "15")
    page.save()
    (body,) = desk.bodies("sample")
    assert (body.of, body.lab_bag, body.top_in, body.bottom_in, body.cores) == ("soil", "B-17", 0, 6, 15)


def test_the_reckoner_answers_with_its_source(desk: Desk) -> None:
    page = desk.opened(ReckonerPresenter(desk.session))
    page.tap("leaf_depth")
    page.write("yards_yd3", "3100")
    page.write("area_ac", "4.2")
    page.save()
    values = {line.label: line.value for line in page.view().lines if getattr(line, "heavy", False)}
    assert any(value.startswith("5.49") for value in values.values())


def test_the_reckoner_names_the_input_that_is_wrong(desk: Desk) -> None:
    page = desk.opened(ReckonerPresenter(desk.session))
    page.tap("leaf_depth")
    page.write("yards_yd3", "many")
    page.save()
    assert page.view().notice


PNG = b"\x89PNG\r\n\x1a\n" + bytes(40)


def test_a_photo_goes_with_a_note(desk: Desk) -> None:
    desk.phone.camera.sees = PNG  # type: ignore[attr-defined]
    page = desk.opened(NotePresenter(desk.session), field=SPRING_PIECE)
    page.extra()
    assert page.view().extra == "Photo taken"
    page.write("text", "bags by the gate")
    page.save()
    (photo,) = desk.phone.book.written(desk.session.enrolment, None, 1)[0].entry.photos
    assert (photo.type, photo.bytes) == ("image/png", len(PNG))


def test_a_photo_that_was_not_taken_is_never_in_the_way(desk: Desk) -> None:
    page = desk.opened(NotePresenter(desk.session), field=SPRING_PIECE)
    page.extra()
    assert "without one" in page.view().notice
    page.write("text", "bags by the gate")
    page.save()
    assert desk.phone.book.written(desk.session.enrolment, None, 1)[0].entry.photos == ()


def test_a_load_is_turned_back_with_a_photo(desk: Desk) -> None:
    desk.phone.camera.sees = PNG  # type: ignore[attr-defined]
    GatePresenter(desk.session).turn_back(str(TRUCKS[0]))
    page = desk.opened(TurnBackPresenter(desk.session))
    page.pick("reason", "plastic")
    page.extra()
    page.save()
    assert len(desk.phone.book.written(desk.session.enrolment, None, 1)[0].entry.photos) == 1


def test_what_waits_can_be_carried_in_a_file(desk: Desk) -> None:
    note(desk.phone, desk.session.enrolment, "no network all week")
    page = desk.opened(HandInPresenter(desk.session))
    page.extra()
    said = page.view().said
    assert said is not None
    assert said.text.startswith("One entry is on the carry file")
    assert desk.session.farm.waiting == 1, "it still waits to be handed in"
