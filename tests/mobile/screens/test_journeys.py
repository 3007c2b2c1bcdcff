"""Whole ways through the app, by touches on the glass alone."""

from __future__ import annotations

from pathlib import Path

import pytest
from kivy.core.window import Window
from kivy.tests.common import UnitTestTouch

from tests.mobile.farmland import QUARRY_SIDE, TRUCKS
from tests.mobile.stage import Stage  # first: it settles Kivy


def test_a_first_run_ends_at_the_field_one_stands_in(bare_stage: Stage) -> None:
    stage, hand = bare_stage, bare_stage.hand
    assert stage.screen == "first_run"
    hand.type("first_run.code", "7k2mp-qx4rd")
    hand.tap("first_run.save")
    hand.until(lambda: stage.screen == "who")
    hand.settle()
    hand.key_in("1406")
    assert stage.screen == "here"
    stage.hand_in()
    stage.stand(80, 60)
    stage.tick()
    assert stage.says("Spring Piece")
    assert stage.says("Mow, 3 days late")


def test_a_wrong_code_says_what_to_do_and_keeps_what_was_typed(bare_stage: Stage) -> None:
    stage, hand = bare_stage, bare_stage.hand
    hand.type("first_run.code", "AAAAAAAAAA")
    hand.tap("first_run.save")
    hand.until(lambda: stage.says("No joining slip has this code"))
    assert hand.find("first_run.code")[0].text == "AAAAAAAAAA"


def test_a_stop_is_a_figure_a_choice_and_save(stage: Stage) -> None:
    hand = stage.hand
    stage.stand(80, 60, course_deg=45.0)
    stage.tick()
    hand.tap("here.cover")
    hand.reach("round.cover.sorghum_sudan")
    hand.tap("round.save")
    hand.key_in("31")
    hand.tap("round.heads.none")
    assert not stage.says("Mow at 30"), "nothing is judged before it is saved"
    hand.tap("round.save")
    assert stage.says("31 in. Mow at 30 for weeds, before heads")
    assert stage.says("Save stop 2")
    (body,) = stage.bodies("cover")
    assert (str(body.height_in), body.heads) == ("31", "none")
    hand.tap("undo")
    assert stage.says("Undone.")
    assert stage.says("Save stop 1")


def test_rain_on_the_glass_writes_nothing(stage: Stage) -> None:
    """Touches shorter than a thumb's, and two at once, are no taps."""
    from mobile.widgets.tap import Tap

    hand = stage.hand
    stage.stand(80, 60)
    stage.tick()
    _, box = hand.find("here.weeds")
    middle = ((box[0] + box[2]) / 2, (box[1] + box[3]) / 2)
    Tap.shortest_s = 60.0
    try:
        hand.tap_at(*middle)
        assert stage.screen == "here"
    finally:
        Tap.shortest_s = 0.0
    palm, drop = UnitTestTouch(5, 5), UnitTestTouch(*middle)
    palm.touch_down()
    drop.touch_down()
    drop.touch_up()
    palm.touch_up()
    hand.settle()
    assert stage.screen == "here"
    hand.tap("here.weeds")
    assert stage.screen == "round"


def test_a_volume_key_saves_a_stop(stage: Stage) -> None:
    hand = stage.hand
    stage.stand(80, 60)
    stage.tick()
    hand.tap("here.weeds")
    hand.tap("round.classes.5-25")
    hand.tap("round.seed_set.none")
    Window.dispatch("on_key_down", 24, 0, None, [])
    hand.settle()
    assert len(stage.bodies("weeds")) == 1


def test_a_repeat_load_is_three_taps_and_its_answer_stands_across_the_glass(stage: Stage) -> None:
    hand = stage.hand
    stage.go("gate")
    hand.tap("gate.ground")
    hand.tap(f"gate_field.{QUARRY_SIDE}")
    taps = (f"gate.truck.{TRUCKS[1]}", "gate.fill.100", "gate.seen.clean")
    for name in taps:
        hand.tap(name)
    assert len(stage.bodies("load")) == 1
    assert stage.says("0001 Fallowdale 6 taken, 20 yd³")
    assert hand.find("said")[0].width >= Window.width - 130
    hand.tap("undo")
    assert stage.says("No load yet today.") or stage.says("Undone.")


def test_trucks_stay_where_they_are_while_one_is_open(stage: Stage) -> None:
    hand = stage.hand
    stage.go("gate")
    hand.tap("gate.ground")
    hand.tap(f"gate_field.{QUARRY_SIDE}")
    hand.tap(f"gate.truck.{TRUCKS[0]}")
    chips = {name: hand.find(name)[1] for name in ("gate.fill.100", "gate.seen.clean")}
    hand.tap("gate.close")
    hand.tap(f"gate.truck.{TRUCKS[1]}")
    assert {name: hand.find(name)[1] for name in chips} == chips, "the chips are always under the same thumb"


def test_turning_back_gives_the_reason_first(stage: Stage) -> None:
    hand = stage.hand
    stage.go("gate")
    hand.reach(f"gate.truck.{TRUCKS[3]}.back")
    hand.tap("turn_back.reason.bags")
    hand.tap("turn_back.save")
    assert stage.screen == "gate"
    assert stage.says("0001 Eastmere 5 turned back")
    (body,) = stage.bodies("load")
    assert (body.outcome, body.bags, body.reason) == ("turned_back", "many", "Bags")


def test_a_correction_is_made_on_the_pad(stage: Stage) -> None:
    from tests.mobile.kit import cover

    hand = stage.hand
    saved = cover(stage.phone, stage.enrolment, "31")
    stage.go("wrote")
    hand.tap(f"wrote.{saved.entry.id}")
    hand.tap("entry.save")
    hand.tap("in_place.corrected_for.misread")
    hand.tap("in_place.figures")
    hand.tap("pad.rub")
    hand.tap("pad.4")
    hand.tap("in_place.save")
    assert str(stage.bodies("correction")[0].body.height_in) == "34"
    assert stage.says("34 in")


def test_what_waits_is_handed_in_by_one_tap(stage: Stage) -> None:
    from tests.mobile.kit import note

    note(stage.phone, stage.enrolment, "the gate post leans")
    stage.go("hand_in")
    assert stage.says("one entry")
    assert stage.app is not None
    assert stage.app.sending is not None
    stage.hand.tap("hand_in.save")
    stage.app.sending.step()
    stage.tick()
    assert stage.says("0 entries")


def test_a_server_that_does_not_answer_loses_nothing_and_says_so(stage: Stage) -> None:
    from tests.mobile.kit import note

    note(stage.phone, stage.enrolment, "the gate post leans")
    stage.go("hand_in")
    assert stage.app is not None
    assert stage.app.sending is not None
    stage.is_reachable = False
    stage.app.sending.step()
    stage.tick()
    assert stage.says("Nothing is lost")
    assert stage.says("one entry")


def test_the_language_and_the_look_change_at_once(stage: Stage) -> None:
    hand = stage.hand
    stage.go("looks")
    hand.tap("looks.theme.night")
    hand.reach("looks.scale.2.0")
    assert stage.says("Look and size")
    stage.go("who")
    hand.key_in("1407")
    assert stage.screen == "here"
    assert stage.says("Nota")


def test_everything_is_in_spanish_for_who_speaks_it(tmp_path: Path) -> None:
    """No label of the English phone stands on any of the main screens."""
    from shared.languages import sentences

    english, spanish = sentences("en"), sentences("es")
    only_english = {
        text
        for key, text in english.items()
        if key.startswith("phone.") and text not in spanish.values() and "{" not in text
    }
    with Stage(tmp_path).joined("es") as stage:
        stage.stand(80, 60)
        for name in ("here", "gate", "wrote", "hand_in", "more", "looks", "work", "note", "ground"):
            stage.go(name)
            assert set(stage.texts()) & only_english == set(), name


def test_the_map_is_dragged_pinched_and_tapped(stage: Stage) -> None:
    """One finger takes the land along; two keep what lies between them; a tap brings its spot to the middle."""
    stage.stand(80, 60)
    stage.go("map")
    assert stage.app is not None
    sketch = stage.app.manager.current_screen.ids.sketch
    one, other = UnitTestTouch(150, 500), UnitTestTouch(250, 500)
    one.touch_down()
    other.touch_down()
    held = sketch.spot((200, 500))
    for step in range(1, 6):
        one.touch_move(150 - 10 * step, 500)
        other.touch_move(250 + 10 * step, 500)
    stage.hand.frames(2)
    one.touch_up()
    other.touch_up()
    assert sketch.zoom == pytest.approx(2.0, rel=0.01)
    assert sketch.spot((200, 500)) == pytest.approx(held, abs=0.5)

    finger = UnitTestTouch(200, 500)
    finger.touch_down()
    finger.touch_move(200, 420)
    finger.touch_move(260, 400)
    stage.hand.frames(2)
    finger.touch_up()
    assert sketch.spot((260, 400)) == pytest.approx(held, abs=0.5)

    wanted = sketch.spot((100, 300))
    stage.hand.tap_at(100, 300)
    assert sketch.middle == pytest.approx(wanted)
