"""The register of leaf intake and spreading, on screen and as CSV, line by line against the book."""

from __future__ import annotations

import csv
import dataclasses
import io
from datetime import date
from decimal import Decimal

import pytest
from django.test import Client

from server.book import reads as book
from server.registers.sheet_csv import told_cell
from shared.languages import say
from shared.words.bodies.gate import Load
from shared.words.bodies.reading import Correction, Strike
from shared.words.bodies.work import Work
from tests.server.web.farmyard import Farmyard, signed_in

YEAR = "?first=2026-01-01&last=2026-12-31"


def lines_of(yard: Farmyard, owner: Client, name: str = "leaf_intake") -> list[dict[str, str]]:
    answer = owner.get(yard.page("register_csv", name) + YEAR)
    assert answer["Content-Type"] == "text/csv; charset=utf-8"
    text = b"".join(answer.streaming_content).decode("utf-8-sig")
    return list(csv.DictReader(io.StringIO(text)))


def test_every_load_of_the_book_is_a_line(yard: Farmyard, owner: Client):
    upper, long_acre = yard.ground.fields
    yard.load(upper, "20")
    yard.load(long_acre, "18")
    yard.load(None)
    lines = lines_of(yard, owner)
    loads = list(book.all_written(book.of_kinds(yard.farm, ["load"])))
    assert [one["Book no."] for one in lines] == [str(one.number) for one in loads]
    assert [one["Ticket"] for one in lines] == [one.entry.body.ticket for one in loads]
    assert [one["To this place, yd³"] for one in lines] == ["20", "18", "0"]
    assert [one["To"] for one in lines] == ["Upper Rest", "Long Acre", ""]
    assert [one["Outcome"] for one in lines] == ["taken", "taken", "turned back"]
    assert {one["Town"] for one in lines} == {"Fallowdale"}
    assert {one["By"] for one in lines} == {yard.ground.crew.initials}


def test_the_screen_and_the_file_say_the_same(yard: Farmyard, owner: Client):
    yard.loads(3, yard.ground.fields[0])
    page = owner.get(yard.page("register", "leaf_intake") + YEAR)
    on_screen = [[cell for cell, _, _ in row["cells"]] for row in page.context["rows"]]
    assert on_screen == [list(one.values()) for one in lines_of(yard, owner)]


def test_a_struck_load_stays_and_is_ruled_through_with_its_reason(yard: Farmyard, owner: Client):
    row = yard.load(yard.ground.fields[0])
    yard.write(Strike("load", "written twice"), names=row.entry, by=yard.ground.owner)
    (line,) = lines_of(yard, owner)
    assert (line["Marks"], line["Why changed"]) == ("struck", "written twice")
    text = owner.get(yard.page("register", "leaf_intake") + YEAR).content.decode()
    assert '<td class="struck ">26-0001</td>' in text
    assert '<td class="wordy">written twice</td>' in text


def test_a_corrected_load_shows_what_it_said_before(yard: Farmyard, owner: Client):
    row = yard.load(yard.ground.fields[0], "20")
    body = book.entry_of(row).body
    assert isinstance(body, Load)
    half = dataclasses.replace(
        body, beds=((Decimal("20"), Decimal("50")),), to=((yard.ground.fields[0], Decimal("10")),)
    )
    yard.write(Correction("load", half, "half full"), names=row.entry, by=yard.ground.owner)
    page = owner.get(yard.page("register", "leaf_intake") + YEAR)
    (line,) = page.context["rows"]
    assert "20" in [cell for cell, _ in line["was"]]
    assert "10" in [cell for cell, _, _ in line["cells"]]
    assert '<tr class="replaced">' in page.content.decode()


def test_a_load_is_found_by_the_day_it_was_done(yard: Farmyard, owner: Client):
    yard.load(yard.ground.fields[0], done_at=date(2025, 12, 31))
    yard.load(yard.ground.fields[0], done_at=date(2026, 1, 1))
    assert [one["Date"] for one in lines_of(yard, owner)] == ["1 January 2026"]


def test_an_initialled_load_says_by_whom(yard: Farmyard, owner: Client):
    row = yard.load(yard.ground.fields[0])
    owner.post(yard.page("initial_opened"), {"seen": f"{row.entry}:0"})
    (line,) = lines_of(yard, owner)
    assert line["Initialled by"] == yard.ground.owner.initials


def test_what_was_worked_in_stands_in_its_register(yard: Farmyard, owner: Client):
    field = yard.ground.fields[0]
    yard.load(field)
    yard.write(Work("spread", yards_yd3=Decimal("20")), field=field)
    yard.write(Work("work_in"), field=field)
    (line,) = lines_of(yard, owner, "worked_in")
    assert (line["Field or part"], line["Worked in"], line["How"]) == (
        "Upper Rest",
        "1 June 2026",
        "worked in",
    )
    assert line["By"] == yard.ground.crew.initials


@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t", "\r"])
def test_a_cell_that_a_spreadsheet_would_run_is_told_as_text(yard: Farmyard, owner: Client, start):
    evil = f'{start}HYPERLINK("x","y")'
    yard.load(None, reason=evil)
    (line,) = lines_of(yard, owner)
    assert line["Reason"].lstrip() == "'" + evil or line["Reason"].startswith("'")


def test_a_plain_figure_below_nought_stays_a_figure():
    assert told_cell("-12.5") == "-12.5"
    assert told_cell("-1,200") == "-1,200"
    assert told_cell("-x") == "'-x"


def test_the_register_speaks_the_readers_language(yard: Farmyard):

    yard.load(yard.ground.fields[0])
    reader = signed_in(yard.hand("Inés Prado", "reader", "es"))
    text = reader.get(yard.page("register", "leaf_intake") + YEAR).content.decode()
    assert say("es", "registers.leaf_intake.title") in text
    assert "1 de junio de 2026" in text


@pytest.mark.parametrize("asked", ["?first=soon", "?year=x", "?first=2026-02-02&last=2026-01-01", "?year=0"])
def test_days_that_are_none_are_told(yard: Farmyard, owner: Client, asked):
    for name in ("register", "register_csv"):
        assert owner.get(yard.page(name, "leaf_intake") + asked).status_code == 404
    assert owner.get(yard.page("register", "made-up")).status_code == 404


@pytest.mark.parametrize("loads", [2, 30])
def test_more_lines_ask_the_database_no_more_often(
    loads, yard: Farmyard, owner: Client, django_assert_max_num_queries
):
    rows = yard.loads(loads, yard.ground.fields[0])
    slip = Strike("load", "a slip")
    yard.write_all([yard.draft(slip, names=row.entry, by=yard.ground.owner) for row in rows])
    owner.get(yard.page("register", "leaf_intake") + YEAR)
    with django_assert_max_num_queries(45):
        owner.get(yard.page("register", "leaf_intake") + YEAR)
