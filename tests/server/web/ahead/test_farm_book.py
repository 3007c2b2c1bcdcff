"""The farm's book: each field in one PDF, with contents that name the right page, made beside whoever asked."""

from __future__ import annotations

import io
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from uuid import UUID

import pytest
from django.conf import settings
from django.test import Client
from pypdf import PdfReader

from server.config.place import Place
from server.web import book_making, farm_book
from server.web.book_making import Making
from shared.ahead.field_history import history
from shared.ahead.year_report import FieldBook
from shared.words.leg import Leg
from tests.server.web.farmyard import Farmyard, signed_in


@pytest.fixture
def kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A data folder of the test's own, and nothing under way."""
    monkeypatch.setattr(settings, "PLACE", Place(tmp_path))
    monkeypatch.setattr(book_making, "_under_way", {})
    return tmp_path


def test_the_book_has_every_field_at_the_page_that_the_contents_name(
    yard: Farmyard, monkeypatch: pytest.MonkeyPatch
):
    yard.leg(yard.ground.fields[0], "hay", date(yard.at.year - 3, 5, 1), "timothy")
    yard.loads(2, yard.ground.fields[0])
    monkeypatch.setattr(farm_book, "A_PART", 1)
    heard: list[tuple[int, int]] = []
    farm = yard.ground.fresh()
    made = farm_book.farm_book(farm, "en", yard.at.date(), lambda done, of: heard.append((done, of)))
    assert heard == [(0, 2), (1, 2), (2, 2)]
    pages = [" ".join(page.extract_text().split()) for page in PdfReader(io.BytesIO(made)).pages]
    front = next(at for at, text in enumerate(pages) if text.endswith(" 1")) - 1
    for one in farm_book.field_pages(farm, yard.at.date()):
        name = one.field.name
        told = next(words for words in pages[0].split("Contents")[1].split(name)[1:])
        number = int(told.split()[1])
        assert pages[front + number].startswith(name)
        assert pages[front + number].endswith(f" {number}")
    assert "hay (timothy)" in " ".join(pages)
    assert "2 of 2 fields have no soil test." in pages[0]


def test_the_book_is_made_kept_and_taken_and_the_page_says_how_far_it_is(
    yard: Farmyard, owner: Client, kept: Path, monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.setattr(book_making, "farm_book", lambda *told: b"%PDF-1.7 the book")
    page = yard.page("report_book")
    assert "None has been made yet" in owner.get(page).content.decode()
    assert owner.get(yard.page("report_book_pdf")).status_code == 404
    assert owner.post(page).status_code == 302
    assert "The book is begun" in owner.get(page).content.decode()
    book_making._moved((yard.farm, "en"), 40, 500)
    assert "40 of 500 fields are set" in owner.get(page).content.decode()
    book_making.make(yard.farm, "en")
    assert "The last one was made" in owner.get(page).content.decode()
    answer = owner.get(yard.page("report_book_pdf"))
    assert b"".join(answer.streaming_content) == b"%PDF-1.7 the book"
    assert list(kept.rglob("*.part")) == []


def test_a_book_that_fails_says_so_and_leaves_the_last_one(
    yard: Farmyard, owner: Client, kept: Path, monkeypatch: pytest.MonkeyPatch
):
    file = book_making.file_of(yard.farm, "en")
    file.parent.mkdir(parents=True)
    file.write_bytes(b"%PDF the last one")

    def stumbles(*told: object) -> bytes:
        raise OSError("no room on the disk")

    monkeypatch.setattr(book_making, "farm_book", stumbles)
    book_making.make(yard.farm, "en")
    page = owner.get(yard.page("report_book")).content.decode()
    assert "could not be made" in page
    assert "Make it anew" in page
    assert file.read_bytes() == b"%PDF the last one"
    book_making.begin(yard.farm, "en")
    assert book_making.under_way(yard.farm, "en") == Making(yard.at)


def test_a_reader_takes_the_book_and_may_not_have_one_made(yard: Farmyard, kept: Path):
    reader = signed_in(yard.hand("Ilex Marl", "reader", "es"))
    assert "El libro de la finca" in reader.get(yard.page("report_book")).content.decode()
    assert reader.post(yard.page("report_book")).status_code == 403


def test_a_fields_history_has_a_row_for_each_year_with_the_legs_that_it_was_in():
    legs = (
        Leg("hay", date(2023, 5, 1), "timothy"),
        Leg("cash", date(2025, 5, 20), "cabbage"),
        Leg("leaf", date(2025, 10, 5)),
    )
    book = FieldBook(UUID(int=1), "Upper Rest", 4.0, legs)
    rows = history(book, date(2026, 3, 1))
    assert [(one.year, one.legs) for one in rows] == [
        (2026, (("leaf", ""),)),
        (2025, (("hay", "timothy"), ("cash", "cabbage"), ("leaf", ""))),
        (2024, (("hay", "timothy"),)),
        (2023, (("hay", "timothy"),)),
    ]
    assert history(replace(book, legs=()), date(2026, 3, 1)) == ()
    assert history(book, date(2023, 5, 1) - timedelta(days=200)) == ()
