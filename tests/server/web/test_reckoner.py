"""The reckoner on the page: the same table, in words, in both systems of units."""

from __future__ import annotations

from datetime import date

import pytest
from django.test import Client

from shared.languages import LANGUAGES, say
from shared.reckoning.in_words import Sheet, reckoned
from shared.reckoning.metric import METRIC
from shared.reckoning.table import RECKONER
from tests.server.web.farmyard import Farmyard

EN, EN_METRIC = Sheet("en", False), Sheet("en", True)


ONE_OR_THE_OTHER = {"worked_in_by": "next_season_date"}
"""The input that is left out where a computation takes one of two."""


def examples(name: str) -> dict[str, str]:
    left_out = ONE_OR_THE_OTHER.get(name)
    return {one.name: one.example for one in RECKONER[name].inputs if one.example and one.name != left_out}


def test_the_index_names_every_computation(yard: Farmyard, owner: Client):
    text = owner.get(yard.page("reckoner")).content.decode()
    for name in RECKONER:
        assert yard.page("computation", name) in text


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("name", list(RECKONER))
def test_every_computation_has_its_words_and_reckons_its_example(name, language):
    made = reckoned(RECKONER[name], examples(name), Sheet(language, False))
    assert made.wrong == ""
    assert made.answers
    assert all(one.label != one.name for one in made.asked)


@pytest.mark.parametrize("name", list(RECKONER))
def test_metric_figures_come_to_the_same(name):
    """The example typed in metric, answered in metric, is the example's answer turned."""
    one = RECKONER[name]
    typed = examples(name)
    for each in one.inputs:
        unit = METRIC.get(each.unit)
        if unit is not None and each.shape in ("number", "numbers") and each.name in typed:
            typed[each.name] = ",".join(
                repr(unit.turned(float(part))) for part in typed[each.name].split(",")
            )
    ours, theirs = one.answer(examples(name)), reckoned(one, typed, EN_METRIC)
    assert theirs.wrong == ""
    for (key, value), (_, told) in zip(
        [item for item in ours.items() if item[0] != "caution"], theirs.answers, strict=True
    ):
        unit = METRIC.get(one.units.get(key, ""))
        if unit is not None and isinstance(value, float):
            figure = float(told.split(" ")[0].replace(",", ""))
            assert figure == pytest.approx(unit.turned(value), rel=0.02, abs=0.006)
            assert told.endswith(EN_METRIC.unit_word(unit.unit))


def test_a_depth_is_reckoned_as_the_command_line_does(yard: Farmyard, owner: Client):
    page = owner.get(yard.page("computation", "leaf_depth") + "?yards_yd3=3100&area_ac=4.2")
    assert page.context["form"].answers == (("Depth", "5.49 in"),)
    text = page.content.decode()
    assert RECKONER["leaf_depth"].formula in text
    assert say("en", "pages.reckoner.source") in text


def test_a_hectare_ten_centimetres_deep_is_a_thousand_cubic_metres():
    made = reckoned(RECKONER["leaf_volume"], {"area_ac": "1", "depth_in": "10"}, EN_METRIC)
    assert made.answers == (("Volume", "1,000 m³"),)


def test_the_figures_of_a_field_fill_the_form(yard: Farmyard, owner: Client):
    field = yard.ground.fields[0]
    yard.sheets("new_jersey")
    yard.leg(field, "leaf", date(2026, 4, 1))
    yard.loads(2, field)
    page = owner.get(yard.page("computation", "leaf_room") + f"?field={field}")
    filled = {one.name: one.text for one in page.context["form"].asked if one.text}
    assert filled["placed_yd3"] == "40"
    assert filled["cap_in"] == "6"
    assert float(filled["area_ac"]) == pytest.approx(9.358, abs=0.001)
    assert page.context["form"].answers[0][0] == "Room"


@pytest.mark.parametrize(
    ("typed", "wrong"),
    [
        ({"yards_yd3": "letters", "area_ac": "4"}, "letters"),
        ({"yards_yd3": "3100", "area_ac": "-1"}, "-1"),
        ({"yards_yd3": "3100"}, "missing"),
        ({"yards_yd3": "3100", "area_ac": "4", "made_up": "1"}, "made_up"),
        ({"yards_yd3": "nan", "area_ac": "4"}, "nan"),
        ({"yards_yd3": "1e999", "area_ac": "4"}, "1e999"),
        ({"yards_yd3": "<script>", "area_ac": "4"}, "&lt;script&gt;"),
    ],
)
def test_what_can_not_be_reckoned_is_told_and_stays_in_the_form(yard: Farmyard, owner: Client, typed, wrong):
    page = owner.get(yard.page("computation", "leaf_depth"), typed)
    assert page.status_code == 200
    assert page.context["form"].answers == ()
    assert wrong in page.content.decode()
    assert "<script>" not in page.content.decode()


def test_a_computation_that_is_not_there_is_told(yard: Farmyard, owner: Client):
    assert owner.get(yard.page("computation", "made-up")).status_code == 404
    assert owner.get(yard.page("computation", "leaf_room") + "?field=nonsense").status_code == 200
