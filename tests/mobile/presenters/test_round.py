"""Round: stops, figures, judgement only after Save, undo, and how it came out."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from mobile.actions.field_now import field_now
from mobile.presenters.round import RoundPresenter
from mobile.trouble import DiskFull
from tests.mobile.farmland import SPRING_PIECE
from tests.mobile.presenters.desk import CODE, Desk


def begun(desk: Desk, *measures: str, **once: str) -> RoundPresenter:
    desk.stand(80, 60)
    facts = {"field": SPRING_PIECE, "measures": measures}
    page: RoundPresenter = desk.opened(RoundPresenter(desk.session), round=facts)
    for key, name in once.items():
        page.pick(key, name)
    if page.face == "once":
        page.save()
    return page


def cover(desk: Desk) -> RoundPresenter:
    return begun(desk, "cover", cover="sorghum_sudan")


def write(desk: Desk, page: RoundPresenter, figure: str, heads: str = "none") -> None:
    desk.key_in(page, figure)
    page.pick("heads", heads)
    page.save()


def test_what_is_asked_once_is_asked_once(desk: Desk) -> None:
    page = cover(desk)
    assert page.face == "stop"
    again: RoundPresenter = desk.opened(
        RoundPresenter(desk.session), round={"field": SPRING_PIECE, "measures": ("weeds",)}
    )
    assert again.face == "stop", "weeds ask nothing once"


def test_the_last_rounds_answer_is_offered_again(desk: Desk) -> None:
    cover(desk)
    desk.session.facts.clear()
    page = desk.opened(
        RoundPresenter(desk.session), round={"field": SPRING_PIECE, "measures": ("cover", "weeds")}
    )
    cover_line = next(one for one in page.view().choices if one.key == "cover")
    assert cover_line.chosen == ("sorghum_sudan",)


def test_nothing_is_judged_before_it_is_saved(desk: Desk) -> None:
    page = cover(desk)
    desk.key_in(page, "31")
    page.pick("heads", "none")
    assert page.view().said is None
    page.save()
    said = page.view().said
    assert said is not None
    assert said.text.startswith("31 in. Mow at 30 for weeds, before heads")


def test_a_saved_stop_is_in_the_book_with_its_round_and_stop(desk: Desk) -> None:
    page = cover(desk)
    write(desk, page, "31")
    line = desk.phone.book.written(desk.session.enrolment, None, 1)[0]
    body: Any = line.entry.body
    assert (body.height_in, body.heads, body.cover) == (Decimal(31), "none", "sorghum_sudan")
    assert (line.entry.stop, line.entry.field) == (1, SPRING_PIECE)
    assert line.entry.round is not None
    assert page.view().title == "Cover, stop 2 of 10"


def test_a_choice_is_not_carried_over_to_the_next_stop(desk: Desk) -> None:
    page = cover(desk)
    write(desk, page, "31", "few")
    assert page.view().choices[0].chosen == ()
    assert page.view().slots[0].figure == ""


@pytest.mark.parametrize(("figure", "heads"), [("", "none"), ("31", "")])
def test_a_stop_that_is_not_whole_is_not_saved(desk: Desk, figure: str, heads: str) -> None:
    page = cover(desk)
    desk.key_in(page, figure)
    if heads:
        page.pick("heads", heads)
    page.save()
    assert page.view().notice
    assert desk.bodies("cover") == []


def test_a_figure_that_cant_be_is_refused_with_its_span(desk: Desk) -> None:
    page = cover(desk)
    write(desk, page, "620")
    assert "620 in can't be right. From 0 to 180 in" in page.view().notice
    assert desk.bodies("cover") == []
    assert page.view().slots[0].figure == "620", "what was keyed in stays to be looked at"


def test_a_figure_far_from_the_last_asks_once(desk: Desk) -> None:
    page = cover(desk)
    write(desk, page, "30")
    write(desk, page, "71")
    assert "far from the last" in page.view().notice
    assert len(desk.bodies("cover")) == 1
    page.save()
    assert len(desk.bodies("cover")) == 2


def test_twice_the_last_is_not_yet_far(desk: Desk) -> None:
    page = cover(desk)
    write(desk, page, "30")
    write(desk, page, "60")
    assert len(desk.bodies("cover")) == 2


def test_a_full_disk_says_that_nothing_is_saved_and_keeps_what_was_keyed_in(
    desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    page = cover(desk)

    def full(*_: Any, **__: Any) -> None:
        raise DiskFull

    with monkeypatch.context() as patched:
        patched.setattr(desk.phone.book, "save", full)
        write(desk, page, "31")
    assert "NOT saved" in page.view().notice
    assert page.view().slots[0].figure == "31"
    page.save()
    assert len(desk.bodies("cover")) == 1


def test_what_was_just_saved_can_be_undone_for_ten_seconds(desk: Desk) -> None:
    page = cover(desk)
    write(desk, page, "31")
    page.undo()
    assert page.view().title == "Cover, stop 1 of 10"
    (strike,) = desk.bodies("strike")
    assert strike.why == "slip, undone at once"


def test_after_ten_seconds_there_is_nothing_to_tap(desk: Desk) -> None:
    page = cover(desk)
    write(desk, page, "31")
    desk.clock.pass_ms(10_001)
    said = page.view().said
    assert said is not None
    assert said.undo == ""


def test_a_round_goes_on_where_it_was_paused(desk: Desk) -> None:
    page = cover(desk)
    write(desk, page, "31")
    page.back()
    assert desk.shown == ["here"]
    again = desk.opened(RoundPresenter(desk.session))
    assert again.view().title == "Cover, stop 2 of 10"


def test_ten_stops_say_together_what_they_say(desk: Desk) -> None:
    page = cover(desk)
    for height in range(30, 40):
        write(desk, page, str(height))
        desk.clock.pass_ms(20_000)
    view = page.view()
    assert view.face == "done"
    assert "Mean 34.5 in" in view.rows[0].value
    assert view.rows[1].label == "Enough stops"


def test_stops_that_cant_say_offer_more(desk: Desk) -> None:
    page = cover(desk)
    for height in ("10", "19", "10", "19", "10", "19", "10", "19", "10", "19"):
        write(desk, page, height)
        desk.clock.pass_ms(20_000)
    assert page.view().extra == "5 more stops"
    page.extra()
    assert page.view().title == "Cover, stop 11 of 15"


def test_two_measures_are_written_together_at_one_stop(desk: Desk) -> None:
    page = begun(desk, "cover", "weeds", cover="rye")
    desk.key_in(page, "20")
    page.pick("heads", "none")
    assert page.view().save == "Next: Weeds"
    page.save()
    assert desk.bodies("cover") == []
    page.pick("classes", "5-25")
    page.pick("seed_set", "none")
    page.save()
    assert len(desk.bodies("cover")) == len(desk.bodies("weeds")) == 1


def test_a_hard_layer_keeps_its_depths(desk: Desk) -> None:
    page = begun(desk, "firmness", cone="half_inch", moisture="moist", where="body")
    desk.key_in(page, "320")
    page.pick_slot("top_in")
    desk.key_in(page, "8")
    page.save()
    (body,) = desk.bodies("firmness")
    assert (body.peak_psi, body.top_in, body.bottom_in) == (Decimal(320), Decimal(8), None)
    assert (body.cone, body.moisture, body.where) == ("half_inch", "moist", "body")


def test_leaves_deeper_than_the_sheet_are_told_as_wrong(desk: Desk) -> None:
    page = begun(desk, "leaf_depth", layer="fresh")
    desk.key_in(page, "6.4")
    page.save()
    said = page.view().said
    assert said is not None
    assert said.wrong
    assert said.text.startswith("6.4 in here, over the sheet's 6")


def test_the_arrow_turns_with_the_way_the_phone_moves(desk: Desk) -> None:
    page = cover(desk)
    desk.stand(80, 60, course_deg=0.0)
    north = page.view().way
    desk.stand(80, 60, course_deg=90.0)
    east = page.view().way
    assert north is not None
    assert east is not None
    assert north.turn_deg is not None
    assert east.turn_deg == pytest.approx((north.turn_deg - 90) % 360)


def test_standing_still_a_wind_is_told_and_no_arrow(desk: Desk) -> None:
    way = cover(desk).view().way
    assert way is not None
    assert way.turn_deg is None
    assert "steps" in way.steps


def test_a_stop_that_cant_be_reached_is_passed_by_and_nothing_is_written_of_it(desk: Desk) -> None:
    page = cover(desk)
    page.turn_plan()
    page.extra()
    assert page.view().title == "Cover, stop 2 of 10"
    assert desk.bodies("cover") == []


def test_a_stop_outside_the_field_is_asked_about_once(desk: Desk) -> None:
    page = cover(desk)
    desk.stand(80, -60)
    write(desk, page, "31")
    assert page.view().notice == "You stand 60 m outside Spring Piece. If the stop is meant so, save again."
    assert desk.bodies("cover") == []
    page.save()
    assert len(desk.bodies("cover")) == 1


def test_a_stop_that_may_be_inside_is_not_asked_about(desk: Desk) -> None:
    page = cover(desk)
    desk.stand(80, -8, "5")
    write(desk, page, "31")
    assert len(desk.bodies("cover")) == 1


def test_a_round_begun_on_one_phone_is_finished_on_another(tmp_path: Path) -> None:
    """Four stops by one person, handed in; the other's phone hears of them and goes on at the fifth."""
    one = Desk(tmp_path / "one")
    page = cover(one)
    for _ in range(4):
        write(one, page, "31")
    walked = page.walked
    assert walked is not None
    standing = field_now(one.phone, one.session.enrolment, SPRING_PIECE)
    one.farm.put("standings", standing.to_tree())
    one.server.slip(one.farm, CODE)
    other = Desk(tmp_path / "other", language="es", seed=2, server=one.server)
    other.stand(80, 60)
    taken: Any = other.opened(
        RoundPresenter(other.session), round={"field": SPRING_PIECE, "measures": ("cover",)}
    )
    taken.pick("cover", "sorghum_sudan")
    taken.save()
    assert "sigue con el recorrido" in taken.view().notice
    taken.pick("taken", "go_on")
    taken.save()
    assert taken.view().title == "Cobertura, parada 5 de 10"
    for _ in range(6):
        write(other, taken, "33")
    assert taken.face == "done"
    line = other.phone.book.written(other.session.enrolment, None, 1)[0]
    assert (line.entry.round, line.entry.stop) == (walked.id, 10)


def test_a_round_that_was_let_go_for_another_can_be_gone_on_with_tomorrow(desk: Desk) -> None:
    page = cover(desk)
    for _ in range(3):
        write(desk, page, "31")
    begun(desk, "weeds")
    desk.clock.pass_ms(20 * 3_600_000)
    again: Any = desk.opened(
        RoundPresenter(desk.session), round={"field": SPRING_PIECE, "measures": ("cover",)}
    )
    assert again.view().choices[0].question == "A round here lacks stops: 3 of 10 are in."
    again.pick("taken", "go_on")
    again.save()
    assert again.view().title == "Cover, stop 4 of 10"
    for _ in range(7):
        write(desk, again, "31")
    again.save()
    anew: Any = desk.opened(
        RoundPresenter(desk.session), round={"field": SPRING_PIECE, "measures": ("cover",)}
    )
    assert [one.key for one in anew.view().choices] == ["frost", "cover"], "what is done is done"
