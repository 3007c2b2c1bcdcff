"""A long press that is read aloud, a look that turns with the light, a link that opens the app: on the glass."""

from __future__ import annotations

from typing import Any

import pytest
from kivy.tests.common import UnitTestTouch

from mobile.widgets import aloud
from tests.mobile.stage import CODE, Stage  # first: it settles Kivy


@pytest.fixture(autouse=True)
def short_wait(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(aloud, "LONG_S", 0.05)


def senses(stage: Stage) -> Any:
    return stage.phone.senses.voice


def hold(stage: Stage, name: str, by: float = 0.0) -> None:
    _, box = stage.hand.find(name)
    touch = UnitTestTouch((box[0] + box[2]) / 2, (box[1] + box[3]) / 2)
    touch.touch_down()
    if by:
        touch.touch_move(touch.x, touch.y + by)
    assert stage.app is not None
    pressed = stage.app.aloud
    stage.hand.until(lambda: not pressed.waits)
    touch.touch_up()
    stage.hand.settle()


def in_field(stage: Stage) -> None:
    stage.stand(80, 60)
    stage.tick()


def test_a_long_press_reads_a_line_in_the_persons_language_and_is_no_tap(stage: Stage) -> None:
    senses(stage).can_speak = True
    in_field(stage)
    hold(stage, "here.cover")
    assert senses(stage).spoken == [("Cover height. nothing yet.", "en")]
    assert stage.screen == "here"


def test_where_the_phone_has_no_voice_a_long_press_is_a_tap(stage: Stage) -> None:
    in_field(stage)
    hold(stage, "here.cover")
    assert stage.screen == "round"


def test_a_thumb_that_moves_on_reads_nothing(stage: Stage) -> None:
    senses(stage).can_speak = True
    in_field(stage)
    hold(stage, "here.weeds", by=40)
    assert senses(stage).spoken == []


def test_nobodys_four_digits_are_read_aloud(stage: Stage) -> None:
    senses(stage).can_speak = True
    stage.go("who")
    hold(stage, "pad.1")
    assert senses(stage).spoken == []


def test_the_look_turns_with_the_light_on_here_and_nowhere_where_one_writes(stage: Stage) -> None:
    from mobile.widgets.look import look

    in_field(stage)
    assert look.theme == "sun"
    senses(stage).bright = 1.0
    stage.go("note")
    for _ in range(4):
        stage.tick()
    assert look.theme == "sun"
    stage.go("here")
    for _ in range(4):
        stage.tick()
    assert look.theme == "night"
    assert stage.says("Spring Piece")


def test_a_slips_link_opens_the_page_that_joins(stage: Stage) -> None:
    assert stage.app is not None
    stage.app._link_opened(f"goodground://farm.example/#join={CODE}")
    stage.hand.settle()
    assert stage.screen == "first_run"
    assert stage.says("The slip leads to https://farm.example.")
