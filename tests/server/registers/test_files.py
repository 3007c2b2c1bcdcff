"""A register as a workbook and as a document, line by line against the book."""

from __future__ import annotations

import io
import subprocess

import pytest
from django.test import Client
from openpyxl import load_workbook

from server.book import reads as book
from server.registers import press
from shared.languages import say
from shared.words.bodies.reading import Strike
from tests.server.web.farmyard import Farmyard

YEAR = "?first=2026-01-01&last=2026-12-31"
HEAD_LINES = 8


def rows_of(yard: Farmyard, owner: Client):
    answer = owner.get(yard.page("register_xlsx", "leaf_intake") + YEAR)
    assert answer.status_code == 200
    return list(load_workbook(io.BytesIO(answer.content)).active.iter_rows())


def text_of(pdf: bytes) -> str:
    """The words of a document, as poppler reads them."""
    done = subprocess.run(["pdftotext", "-layout", "-", "-"], input=pdf, capture_output=True, check=True)
    return done.stdout.decode()


def test_the_workbook_has_a_line_for_every_load_with_figures_as_figures(yard: Farmyard, owner: Client):
    yard.loads(3, yard.ground.fields[0], "18.5")
    rows = rows_of(yard, owner)
    titles = [cell.value for cell in rows[HEAD_LINES]]
    lines = [dict(zip(titles, [cell.value for cell in row], strict=True)) for row in rows[HEAD_LINES + 1 :]]
    loads = list(book.all_written(book.of_kinds(yard.farm, ["load"])))
    assert [one["Book no."] for one in lines] == [one.number for one in loads]
    assert [one["To this place, yd³"] for one in lines] == [18.5] * 3
    assert lines[0]["Date"].date().isoformat() == "2026-06-01"


@pytest.mark.parametrize("evil", ["=1+1", "+1+1", "-1+1", "@SUM(A1)", '=HYPERLINK("x")', "\x07=1+1"])
def test_words_are_never_a_formula(yard: Farmyard, owner: Client, evil):
    yard.load(None, reason=evil)
    cells = [cell for row in rows_of(yard, owner) for cell in row if cell.value is not None]
    assert [cell.value for cell in cells if cell.data_type == "f"] == []
    assert evil.lstrip("\x07") in [cell.value for cell in cells]


def test_a_struck_line_is_struck_in_the_workbook(yard: Farmyard, owner: Client):
    row = yard.load(yard.ground.fields[0])
    yard.write(Strike("load", "written twice"), names=row.entry, by=yard.ground.owner)
    assert rows_of(yard, owner)[-1][0].font.strike


def test_the_document_has_every_line_of_the_book_its_sheets_and_its_proof(yard: Farmyard, owner: Client):
    yard.sheets("new_jersey")
    rows = yard.loads(12, yard.ground.fields[0])
    yard.write(Strike("load", "written twice"), names=rows[0].entry, by=yard.ground.owner)
    answer = owner.get(yard.page("register_pdf", "leaf_intake") + YEAR)
    assert answer["Content-Type"] == "application/pdf"
    text = text_of(answer.content)
    for written in book.all_written(book.of_kinds(yard.farm, ["load"])):
        assert text.count(written.entry.body.ticket) == 1
    farm = yard.ground.fresh()
    assert farm.chain in text.replace("\n", "").replace(" ", "")
    assert say("en", "sheet_titles.new_jersey") in text
    assert "page 1 of 1" in text
    assert "twice" in text


def test_a_document_runs_over_pages_with_its_titles_on_each(yard: Farmyard, owner: Client):
    yard.loads(90, yard.ground.fields[0])
    text = text_of(owner.get(yard.page("register_pdf", "leaf_intake") + YEAR).content)
    pages = text.count("\f")
    assert pages > 1
    assert text.count("Ticket") == pages
    assert f"page {pages} of {pages}" in text


def test_words_in_a_document_are_told_and_fetch_nothing(yard: Farmyard, owner: Client):
    evil = '<img src="http://127.0.0.1:1/x"><script>1</script>'
    yard.load(None, reason=evil)
    answer = owner.get(yard.page("register_pdf", "turned_back") + YEAR)
    assert answer.status_code == 200
    assert "<img" in text_of(answer.content).replace("\n", "").replace(" ", "")


def test_a_press_that_fails_is_told(yard: Farmyard, owner: Client, monkeypatch):
    monkeypatch.setattr(press.sys, "executable", "/bin/false")
    answer = owner.get(yard.page("register_pdf", "leaf_intake") + YEAR)
    assert answer.status_code == 503
    assert say("en", "refusals.press_failed.title") in answer.content.decode()


@pytest.mark.parametrize(
    "address", ["http://127.0.0.1:1/x", "file:///etc/passwd", "types:../../goodground.css", "types:x", ""]
)
def test_the_press_fetches_its_typefaces_and_nothing_else(address):
    with pytest.raises(ValueError, match="not fetched"):
        press._typeface(address)


def test_the_press_sets_in_the_projects_own_type():
    pdf = press.pressed("<p>Ñandú, 6 yd³</p>")
    done = subprocess.run(["pdffonts", "-"], input=pdf, capture_output=True, check=True)
    assert "Plex" in done.stdout.decode()
    assert "Ñandú, 6 yd³" in text_of(pdf)
