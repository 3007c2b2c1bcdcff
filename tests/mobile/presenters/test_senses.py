"""The battery's word at the gate, the look by the light, the slip that the phone's camera read."""

from __future__ import annotations

from typing import Any

import pytest

from mobile.actions.by_light import LOOKS_TO_TURN, ByLight, look_of
from mobile.actions.hand_in import hand_in
from mobile.actions.join import read_slip
from mobile.presenters.first_run import FirstRunPresenter
from mobile.presenters.gate import GatePresenter
from mobile.presenters.gate_room import receive_in
from mobile.presenters.more import LooksPresenter, theme_chosen
from mobile.trouble import BadSlip
from shared.status.field_status import FieldStatus
from shared.status.laid import Laid
from tests.mobile.farmland import QUARRY_SIDE, TRUCKS
from tests.mobile.presenters.desk import CODE, Desk


def senses(desk: Desk) -> Any:
    return desk.phone.senses.battery


@pytest.fixture
def gate(desk: Desk) -> GatePresenter:
    receive_in(desk.session, QUARRY_SIDE)
    page: GatePresenter = desk.opened(GatePresenter(desk.session))
    return page


@pytest.mark.parametrize(("percent", "charging"), [(None, False), (15, False), (9, True)])
def test_of_a_battery_that_lasts_nothing_is_said(
    desk: Desk, gate: GatePresenter, percent: int | None, charging: bool
) -> None:
    senses(desk).percent, senses(desk).is_charging = percent, charging
    assert gate.view().notice == ""


def test_a_low_battery_says_what_is_on_this_phone_alone(desk: Desk, gate: GatePresenter) -> None:
    senses(desk).percent = 14
    assert gate.view().notice == "Battery at 14 %. All is handed in: another phone can go on."
    gate.tap_truck(str(TRUCKS[0]))
    gate.pick("fill", "100")
    gate.pick("seen", "clean")
    assert gate.view().notice == "Battery at 14 %. One entry is on this phone alone: hand in now."


def test_a_low_battery_says_that_another_phone_tallies(desk: Desk, gate: GatePresenter) -> None:
    laid = (Laid(None, desk.session.today(), None, 60, 3, "load"),)  # type: ignore[arg-type]
    desk.farm.put("standings", FieldStatus(QUARRY_SIDE, entries=3, laid=laid).to_tree())
    hand_in(desk.phone, desk.session.enrolment)
    senses(desk).percent = 5
    assert gate.view().notice.endswith("another phone tallies: it told of 3 today.")


@pytest.mark.parametrize(
    ("lux", "now", "look"),
    [
        (20_000, "paper", "sun"),
        (3_000, "paper", "paper"),
        (3_000, "sun", "sun"),
        (300, "sun", "paper"),
        (2, "paper", "night"),
        (15, "night", "night"),
        (15, "paper", "paper"),
        (300, "night", "paper"),
    ],
)
def test_the_light_asks_for_a_look_and_one_that_stands_holds_on(lux: float, now: str, look: str) -> None:
    assert look_of(lux, now) == look


def test_the_look_turns_once_the_light_has_asked_for_it_several_times_running() -> None:
    by = ByLight("sun")
    assert not any(by.told(lux) for lux in (300, 300, 20_000, 300, None, 300))
    assert by.told(300)
    assert by.theme == "paper"
    assert [by.told(1) for _ in range(LOOKS_TO_TURN)] == [False, False, True]


def test_the_look_goes_by_the_light_until_somebody_chooses_one(desk: Desk) -> None:
    assert theme_chosen(desk.phone) == "sun", "nothing measures the light"
    page: LooksPresenter = desk.opened(LooksPresenter(desk.session))
    assert "light" not in dict(theme_line(page).options)
    senses(desk).bright = 300.0
    assert theme_chosen(desk.phone) == "light"
    assert "light" in dict(theme_line(page).options)
    page.pick("theme", "night")
    assert theme_chosen(desk.phone) == "night"


def theme_line(page: LooksPresenter) -> Any:
    return next(one for one in page.view().lines if one.key == "theme")


LINK = f"goodground://farm.example/#join={CODE}"


def test_the_square_of_a_slip_leads_to_its_server_by_https_alone() -> None:
    slip = read_slip("", f"{LINK}&pin={'ab' * 32}")
    assert (slip.address, slip.code, slip.pin) == ("https://farm.example", CODE, "ab" * 32)
    assert (
        read_slip("", f" GOODGROUND://farm.example:8443/#join={CODE}").address == "https://farm.example:8443"
    )
    for bad in ("goodground://", f"goodground://user name/#join={CODE}", "goodground://farm.example/#join=1"):
        with pytest.raises(BadSlip):
            read_slip("", bad)


def test_a_link_that_opened_the_app_is_shown_and_joins_nothing_by_itself(desk: Desk) -> None:
    before = len(desk.phone.book.enrolments())
    page: FirstRunPresenter = desk.opened(FirstRunPresenter(desk.session), link=LINK)
    said = page.view().said
    assert said is not None
    assert said.text == "The slip leads to https://farm.example. If that is your farm's server, tap Join."
    assert len(desk.phone.book.enrolments()) == before
    assert page.view().back, "a phone that has a farm goes back to it"


def test_a_link_that_is_no_slip_says_so(desk: Desk) -> None:
    page: FirstRunPresenter = desk.opened(FirstRunPresenter(desk.session), link="goodground://x/#join=12")
    assert page.view().notice
    assert page.view().said is None
