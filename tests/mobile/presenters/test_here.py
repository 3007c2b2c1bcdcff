"""Here: the field, what is next in it, and what is wrong with the phone."""

from __future__ import annotations

from datetime import timedelta

from mobile.presenters.gate import GatePresenter
from mobile.presenters.gate_room import receive_in
from mobile.presenters.here import HerePresenter
from tests.mobile.farmland import QUARRY_SIDE, SPRING_PIECE, TRUCKS
from tests.mobile.presenters.desk import Desk
from tests.mobile.presenters.test_round import begun


def here(desk: Desk) -> HerePresenter:
    page: HerePresenter = desk.opened(HerePresenter(desk.session))
    return page


def test_well_inside_a_field_it_is_sure(desk: Desk) -> None:
    desk.stand(80, 60)
    view = here(desk).view()
    assert view.title == "Spring Piece"
    assert "sure" in view.under


def test_near_a_boundary_it_asks_and_never_guesses(desk: Desk) -> None:
    desk.stand(158, 60, "8")
    view = here(desk).view()
    assert view.title == "Which field?"
    assert {row.label for row in view.rows} == {"Spring Piece", "Quarry Side"}  # type: ignore[union-attr]
    assert view.due is None


def test_the_field_that_was_tapped_holds_until_the_receiver_is_sure_of_another(desk: Desk) -> None:
    desk.stand(158, 60, "8")
    page = here(desk)
    page.tap(f"field.{QUARRY_SIDE}")
    assert page.view().title == "Quarry Side"
    desk.stand(80, 60)
    assert page.view().title == "Spring Piece"


def test_without_a_position_every_field_is_offered_and_why_is_said(desk: Desk) -> None:
    desk.receiver.lose("not_allowed")
    view = here(desk).view()
    assert len(view.rows) == 4
    assert "Allow it in the settings" in view.under


def test_off_the_farm_the_nearest_field_and_its_distance_are_said(desk: Desk) -> None:
    desk.stand(900, 900)
    assert "Quarry Side" in here(desk).view().under


def test_what_is_next_is_said_with_how_late_it_is(desk: Desk) -> None:
    desk.stand(80, 60)
    due = here(desk).view().due
    assert due is not None
    assert due.job == "Mow, 3 days late"


def test_what_cant_be_done_today_is_put_off_with_a_reason(desk: Desk) -> None:
    desk.stand(80, 60)
    page = here(desk)
    page.cant_today()
    page.tap("put_off.wet")
    (body,) = desk.bodies("put_off")
    assert (body.due, body.why) == ("mow-spring-piece", "wet")
    assert "put off" in (page.view().said or page.view()).text  # type: ignore[union-attr]
    assert page.view().due is None, "it is not asked for again today"
    desk.clock.pass_ms(24 * 3_600_000)
    assert page.view().due is not None


def test_a_due_that_is_a_job_opens_work_filled_in(desk: Desk) -> None:
    desk.stand(80, 60)
    here(desk).open_due()
    assert desk.shown == ["work"]
    assert desk.session.facts["job"] == "mow"
    assert desk.session.facts["field"] == SPRING_PIECE


def test_one_tap_on_a_measure_begins_its_round_in_this_field(desk: Desk) -> None:
    desk.stand(80, 60)
    here(desk).tap("weeds")
    assert desk.shown == ["round"]
    assert desk.session.facts["round"] == {"field": SPRING_PIECE, "measures": ("weeds",)}


def test_a_clock_that_is_minutes_off_is_said(desk: Desk) -> None:
    desk.clock.jump(timedelta(minutes=7))
    desk.phone.book.heard(desk.session.enrolment, desk.clock.now(), 7 * 60_000, 0)
    assert "7 minutes ahead" in here(desk).view().notice


def test_a_stopped_phone_says_to_bring_it_in(desk: Desk) -> None:
    desk.phone.book.restand(desk.session.enrolment, "stopped")
    assert "Bring it in" in here(desk).view().notice


def test_the_foot_says_what_waits_and_who_writes(desk: Desk) -> None:
    desk.stand(80, 60)
    page = here(desk)
    page.cant_today()
    page.tap("put_off.wet")
    assert page.view().waiting == "1 waiting, handed in 07:30 · Orla"


def test_the_gates_bar_stands_in_leaf_season_and_while_loads_come(desk: Desk) -> None:
    page = desk.opened(HerePresenter(desk.session))
    desk.stand(80, 60)
    assert page.view().gate == "", "nobody brings leaves in May"
    receive_in(desk.session, QUARRY_SIDE)
    gate = desk.opened(GatePresenter(desk.session))
    gate.tap_truck(str(TRUCKS[0]))
    gate.pick("fill", "100")
    gate.pick("seen", "clean")
    assert page.view().gate == "Gate, one load today"
    desk.clock.pass_ms(170 * 24 * 3_600_000)
    assert page.view().gate == "Gate"


def test_a_round_that_goes_on_is_there_without_a_position_too(desk: Desk) -> None:
    begun(desk, "weeds")
    desk.receiver.lose("searching")
    page: HerePresenter = desk.opened(HerePresenter(desk.session))
    assert page.view().rows[0].key == "going"
    page.tap("going")
    assert desk.shown[-1] == "round"
