"""What laboratories answered: typed, or a laboratory's own file; nothing of a file that can't be used is written."""

from __future__ import annotations

from decimal import Decimal

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from server.registers import laboratory
from server.registers.models import LaboratorySheet
from shared.languages import say
from tests.server.web.farmyard import Farmyard

TYPED = {
    "of": "soil", "lab": "Thornfield Laboratory", "method": "Mehlich 3", "on": "2026-05-20", "top_in": "0",
    "bottom_in": "6", "bag": "7", "name": ["pH", "P", ""], "number": ["6.4", "112", ""], "unit": ["pH", "ppm", ""],
}  # fmt: skip
FILE = "Field,Date,pH,P (ppm),Comment\nUpper Rest,2026-05-20,6.4,112,ok\nLong Acre,5/21/2026,6.1,1 08,\n"
GOOD = FILE.replace("1 08", "108")
TELLING = {
    "role": ["field", "on", "figure", "figure", "left_out"],
    "name": ["", "", "pH", "P", ""],
    "unit": ["", "", "pH", "ppm", ""],
}


def sent(yard: Farmyard, owner: Client, text: str, **more):
    form = {"of": "soil", "lab": "Thornfield Laboratory", "text": text} | more
    return owner.post(yard.page("results_csv"), form, follow=True)


def test_a_typed_answer_stands_with_its_laboratory_method_unit_and_depth(yard: Farmyard, owner: Client):
    field = yard.ground.fields[0]
    assert owner.post(yard.page("samples"), TYPED | {"field": field}).status_code == 302
    (one,) = laboratory.known(yard.ground.fresh(), field)
    assert (one.lab, one.method, one.top_in, one.bottom_in) == (
        *("Thornfield Laboratory", "Mehlich 3"),
        *(0, 6),
    )
    assert one.values == (("pH", Decimal("6.4"), "pH"), ("P", Decimal(112), "ppm"))
    assert yard.page("samples") in owner.get(yard.page("the_farm")).content.decode()
    number = yard.ground.fresh().number
    owner.post(yard.page("samples"), TYPED | {"field": field})
    assert yard.ground.fresh().number == number


@pytest.mark.parametrize(
    "change",
    [
        {"number": ["64", "112", ""]},
        {"number": ["6.4", "<5", ""]},
        {"unit": ["pH", "", ""]},
        {"name": ["", "", ""], "number": ["", "", ""]},
        {"bottom_in": ""},
        {"method": ""},
        {"on": "2026-07-01"},
        {"field": ""},
    ],
)
def test_what_can_not_be_is_told_and_nothing_is_written(yard: Farmyard, owner: Client, change):
    number = yard.ground.fresh().number
    answer = owner.post(yard.page("samples"), TYPED | {"field": yard.ground.fields[0]} | change)
    assert answer.status_code == 400
    assert "Thornfield Laboratory" in answer.content.decode()
    assert yard.ground.fresh().number == number


def test_a_laboratorys_file_is_asked_about_once_and_then_read_by_itself(yard: Farmyard, owner: Client):
    file = SimpleUploadedFile("t.csv", GOOD.encode("utf-8-sig"))
    first = owner.post(yard.page("results_csv"), {"of": "soil", "lab": "Thornfield Laboratory", "file": file})
    assert [one for _, one, _ in first.context["columns"]][3] == laboratory.Column("figure", "P", "ppm")
    page = sent(yard, owner, first.context["text"], method="Mehlich 3", **TELLING)
    assert say("en", "laboratory.read", count=2, there=0) in page.content.decode()
    later = GOOD.replace("2026-05-20", "2026-05-28")
    page = sent(yard, owner, later)
    assert say("en", "laboratory.read", count=1, there=1) in page.content.decode()
    assert {one.method for one in laboratory.known(yard.ground.fresh())} == {"Mehlich 3"}


def test_other_titles_are_never_read_by_an_old_mapping(yard: Farmyard, owner: Client):
    sent(yard, owner, GOOD, method="Mehlich 3", **TELLING)
    number = yard.ground.fresh().number
    page = sent(yard, owner, GOOD.replace("P (ppm)", "P (lb/ac)").replace("2026-05-20", "2026-05-30"))
    assert page.context["columns"][3][1].unit == "lb/ac"
    assert yard.ground.fresh().number == number


def test_all_that_is_wrong_in_a_file_is_told_by_line_and_column_and_nothing_is_written(
    yard: Farmyard, owner: Client
):
    number = yard.ground.fresh().number
    text = FILE + "Nowhere,soon,64,x,\n"
    page = sent(yard, owner, text, method="Mehlich 3", **TELLING)
    told = {(one.line, one.column, one.key) for one in page.context["faults"]}
    assert told == {
        (3, "P (ppm)", "no_figure"),
        *(
            (4, "Field", "no_such_field"),
            (4, "Date", "no_day"),
            (4, "pH", "no_figure"),
            (4, "P (ppm)", "no_figure"),
        ),
    }
    assert page.context["text"] == text
    assert yard.ground.fresh().number == number


@pytest.mark.parametrize(
    "text",
    ["", "Field,Date,pH", "one\ntwo\n", "a,a\n1,2\n", 'a,b\n"1,2\n', "x" * (600 * 1024), "a,b\n1,\x00\n"],
)
def test_what_is_no_csv_is_told(yard: Farmyard, owner: Client, text):
    page = sent(yard, owner, text)
    assert (page.status_code, "csv" in str(page.context["given"].wrong["file"])) == (400, True)


@pytest.mark.parametrize(
    "change",
    [
        {"role": ["field", "field", "figure", "figure", "left_out"]},
        {"role": ["field", "on", "left_out", "left_out", "left_out"]},
        {"unit": ["", "", "pH", "bushels", ""]},
    ],
)
def test_a_mapping_that_says_too_little_is_told_and_not_remembered(yard: Farmyard, owner: Client, change):
    page = sent(yard, owner, GOOD, method="Mehlich 3", **TELLING | change)
    assert page.status_code == 400
    assert not LaboratorySheet.objects.exists()


def test_two_laboratories_are_two_series_of_the_fields_plot(yard: Farmyard, owner: Client):
    field = yard.ground.fields[0]
    owner.post(yard.page("samples"), TYPED | {"field": field})
    owner.post(yard.page("samples"), TYPED | {"field": field, "lab": "Otter Lab", "on": "2026-05-25"})
    titles = {one.title: one.plot for one in owner.get(yard.page("field", field)).context["plots"]}
    made = titles[say("en", "laboratory.plot", name="P", unit="ppm", of="soil")]
    assert made.series == ("Thornfield Laboratory, Mehlich 3, 0–6 in", "Otter Lab, Mehlich 3, 0–6 in")
    assert [one.series for one in made.points] == [0, 1]
