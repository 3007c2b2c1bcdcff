"""Reckoner on the phone: the same table as everywhere, in the units of whoever reckons."""

from __future__ import annotations

from mobile.actions.land import fields
from mobile.presenters.lines import ChoiceView, RowView, TypedView
from mobile.presenters.reckoner import ReckonerPresenter
from shared.reckoning.table import RECKONER
from tests.mobile.presenters.desk import Desk


def opened(desk: Desk, name: str, **typed: str) -> ReckonerPresenter:
    page: ReckonerPresenter = desk.opened(ReckonerPresenter(desk.session))
    page.tap(name)
    for key, text in typed.items():
        page.write(key, text)
    return page


def answers(page: ReckonerPresenter) -> list[str]:
    return [one.value for one in page.view().lines if isinstance(one, RowView)]


def labels(page: ReckonerPresenter) -> list[str]:
    return [one.label for one in page.view().lines if isinstance(one, TypedView)]


def test_a_depth_is_reckoned_in_inches(desk: Desk) -> None:
    page = opened(desk, "leaf_depth", yards_yd3="3100", area_ac="4.2")
    page.save()
    assert answers(page) == ["5.49 in"]


def test_one_tap_turns_to_metric_and_keeps_the_amounts(desk: Desk) -> None:
    page = opened(desk, "leaf_depth", yards_yd3="3100", area_ac="4.2")
    page.save()
    assert page.view().extra == "Metric"
    page.extra()
    assert answers(page) == ["13.94 cm"]
    assert page.typed == {"yards_yd3": "2370.12", "area_ac": "1.69968"}
    assert any(", ha (for example" in label for label in labels(page))
    page.extra()
    assert answers(page) == ["5.49 in"]


def test_the_choice_of_units_outlives_the_page(desk: Desk) -> None:
    desk.opened(ReckonerPresenter(desk.session)).extra()
    page = opened(desk, "leaf_volume", area_ac="1", depth_in="10")
    page.save()
    assert answers(page) == ["1,000 m³"]


def test_what_is_missing_or_out_of_range_is_told_in_the_units_that_are_shown(desk: Desk) -> None:
    page = opened(desk, "leaf_depth", yards_yd3="3100")
    page.save()
    assert "missing" in page.view().notice
    page.extra()
    page.write("area_ac", "-1")
    page.save()
    assert "-1" in page.view().notice
    assert answers(page) == []


def test_every_computation_can_be_filled_in_on_the_phone(desk: Desk) -> None:
    """Its examples typed and its choices picked, it answers."""
    one_or_the_other = {"worked_in_by": "next_season_date"}
    for name, one in RECKONER.items():
        page = opened(desk, name)
        shown = {line.key: line for line in page.view().lines}
        for each in one.inputs:
            line = shown[each.name]
            assert isinstance(line, (TypedView, ChoiceView))
            if each.example and each.name != one_or_the_other.get(name):
                (page.pick if isinstance(line, ChoiceView) else page.write)(each.name, each.example)
        page.save()
        assert page.view().notice == "", name
        assert answers(page), name


def test_the_field_that_somebody_stands_in_fills_the_form(desk: Desk) -> None:
    page: ReckonerPresenter = desk.opened(ReckonerPresenter(desk.session))
    field = fields(desk.session.phone, desk.session.enrolment)[0]
    desk.session.facts["field"] = field.id
    page.tap("leaf_room")
    acres = field.area_ac if field.spreadable_ac is None else field.spreadable_ac
    assert page.typed["area_ac"] == f"{acres:.6g}"
    page.extra()
    assert page.typed["area_ac"] == f"{acres * 0.40468564224:.6g}"


def test_out_of_any_field_the_form_is_empty(desk: Desk) -> None:
    assert opened(desk, "leaf_room").typed == {}
