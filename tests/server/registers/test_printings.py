"""A long register is set beside the server's other work: asked for, watched, kept for whoever asked, taken away."""

from __future__ import annotations

import io
import subprocess
from datetime import date, timedelta

import pytest
from django.test import Client
from django.urls import reverse
from pypdf import PdfReader

from server.book import reads as book
from server.config.place import Place
from server.registers import maker, press, printed, printings
from server.registers.models import Opening, Printing
from server.web.views import registers as pages
from shared.languages import say
from shared.words.bodies.reading import Strike
from tests.server.registers.test_files import text_of
from tests.server.registers.test_links import made
from tests.server.web.farmyard import Farmyard, signed_in

DAYS = {"first": "2026-01-01", "last": "2026-12-31"}
YEAR = "?first=2026-01-01&last=2026-12-31"


@pytest.fixture(autouse=True)
def place(settings, tmp_path):
    """A data folder of the test's own, and nobody who sets by themselves."""
    settings.PLACE = Place(tmp_path)


@pytest.fixture
def begun(monkeypatch) -> list[str]:
    """How often a maker was started."""
    told: list[str] = []
    monkeypatch.setattr(printings, "starter", lambda: told.append("started"))
    return told


@pytest.fixture
def long(yard: Farmyard, monkeypatch) -> Farmyard:
    """A farm whose register of loads is long by what is long here, with loads of two years in two fields."""
    monkeypatch.setattr(pages, "LINES_AT_ONCE", 5)
    monkeypatch.setattr(printed, "PART_LINES", 40)
    upper, acre = yard.ground.fields
    rows = yard.loads(45, upper)
    yard.loads(60, acre)
    drafts = [yard.draft(yard.load_body(upper), done_at=date(2025, 11, 3)) for _ in range(15)]
    yard.write_all(drafts)
    yard.write(Strike("load", "written twice"), names=rows[0].entry, by=yard.ground.owner)
    return yard


def asked(yard: Farmyard, client: Client, **more: str) -> str:
    answer = client.post(yard.page("ask_printing", "leaf_intake"), DAYS | more)
    assert answer.status_code == 302
    return answer["Location"]


def test_a_long_register_is_set_in_parts_and_says_every_line_of_the_book_once_with_its_page_of_all(
    long: Farmyard, owner: Client, begun
):
    page = owner.get(long.page("register", "leaf_intake") + YEAR).content.decode()
    assert say("en", "printings.ask") in page
    assert long.page("register_pdf", "leaf_intake") not in page
    assert owner.get(long.page("register_pdf", "leaf_intake") + YEAR).status_code == 409
    address = asked(long, owner, first="2025-01-01")
    assert begun
    waits = owner.get(address).content.decode()
    assert say("en", "printings.waiting") in waits
    assert '<noscript><meta http-equiv="refresh"' in waits
    assert owner.get(address + "pdf/").status_code == 409
    assert maker.make_all() == 1
    one = Printing.objects.get()
    assert (one.state, one.lines, one.lines_set) == ("ready", 120, 120)
    ready = owner.get(address).content.decode()
    assert say("en", "printings.ready", pages=one.pages, lines=120) in ready
    assert "noscript" not in ready
    answer = owner.get(address + "pdf/")
    pdf = b"".join(answer.streaming_content)
    assert len(pdf) == one.size
    text = text_of(pdf)
    for written in book.all_written(book.of_kinds(long.farm, ["load"])):
        assert text.count(written.entry.body.ticket) == 1
    assert one.pages == text.count("\f") > 3
    for number in range(1, one.pages + 1):
        assert f"page {number} of {one.pages}" in text
    assert "twice" in text
    done = subprocess.run(["pdffonts", "-"], input=pdf, capture_output=True, check=True, text=False)
    fonts = done.stdout.decode().splitlines()[2:]
    assert fonts
    assert all(line.split()[-5] == "yes" for line in fonts)
    whole = PdfReader(io.BytesIO(pdf))
    assert 'pdfaid:part="3"' in whole.xmp_metadata.stream.get_data().decode()
    assert not list(printings.folder().glob("*/"))[1:]


def test_the_same_is_set_once_until_the_book_says_more_and_another_person_has_none_of_it(
    long: Farmyard, owner: Client, begun
):
    first = asked(long, owner)
    assert asked(long, owner) == first
    maker.make_all()
    assert asked(long, owner) == first
    long.load(long.ground.fields[0])
    assert asked(long, owner) != first
    other = signed_in(long.hand("Dora Finch", "manager"))
    assert {other.get(first).status_code, other.get(first + "pdf/").status_code} == {404}
    assert asked(long, other) not in (first,)


def test_a_reader_has_long_documents_too_and_five_at_a_time_are_enough(long: Farmyard, begun):
    reader = signed_in(long.hand("Inés Prado", "reader", "es"))
    for month in range(1, 6):
        asked(long, reader, last=f"2026-{month:02d}-28")
    answer = reader.post(long.page("ask_printing", "leaf_intake"), DAYS)
    assert answer.status_code == 429
    assert say("es", "refusals.enough_printings.title") in answer.content.decode()
    assert reader.post(long.page("ask_printing", "leaf_intake")).status_code == 400
    assert reader.post(long.page("ask_printing", "made-up"), DAYS).status_code == 404


def test_an_inspector_has_them_by_the_link_and_each_look_is_written_down(
    long: Farmyard, owner: Client, begun
):
    token, inspector = made(long, owner), Client()
    answer = inspector.post(reverse("shown_ask_printing", args=[token, "leaf_intake"]), DAYS)
    maker.make_all()
    assert say("en", "printings.fetch") in inspector.get(answer["Location"]).content.decode()
    pdf = b"".join(inspector.get(answer["Location"] + "pdf/").streaming_content)
    assert pdf.startswith(b"%PDF")
    assert answer["Location"] in inspector.get(reverse("shown_registers", args=[token])).content.decode()
    number = Printing.objects.get().id
    told = list(Opening.objects.order_by("id").values_list("what", flat=True))
    assert told == ["leaf_intake", f"printing {number}", f"printing {number}", ""]
    second = made(long, owner, label="another")
    assert inspector.get(reverse("shown_printing", args=[second, number])).status_code == 404
    assert owner.get(long.page("printing", number)).status_code == 404
    assert inspector.get(reverse("shown_ask_printing", args=[token, "leaf_intake"])).status_code == 405


def test_what_was_kept_for_its_time_is_taken_away_with_its_file(long: Farmyard, owner: Client, begun, now):
    address = asked(long, owner)
    maker.make_all()
    file = printings.file_of(Printing.objects.get())
    assert file.is_file()
    now.forward(days=7, minutes=1)
    long.at = now()
    asked(long, owner, last="2026-06-30")
    assert not file.exists()
    assert owner.get(address).status_code == 404


def test_a_maker_that_falls_silent_is_begun_again_and_given_up_after_some_tries(
    long: Farmyard, owner: Client, begun, now
):
    address = asked(long, owner)
    for _ in range(printings.MOST_TRIES):
        assert printings.claimed(now()) is not None
        assert printings.claimed(now()) is None
        now.at += printings.SILENT + timedelta(seconds=1)
        owner.get(address)
    page = owner.get(address).content.decode()
    assert say("en", "printings.failed") in page
    assert say("en", "printings.again") in page
    assert printings.claimed(now()) is None
    assert asked(long, owner) != address


def test_a_press_that_fails_is_told_and_so_is_a_file_that_is_gone(
    long: Farmyard, owner: Client, begun, monkeypatch
):
    lost = asked(long, owner)
    maker.make_all()
    printings.file_of(Printing.objects.get()).unlink()
    assert say("en", "printings.failed") in owner.get(lost).content.decode()
    address = asked(long, owner, last="2026-06-30")
    monkeypatch.setattr(press.sys, "executable", "/bin/false")
    maker.make_all()
    assert say("en", "printings.failed") in owner.get(address).content.decode()


def test_a_register_of_one_field_says_its_lines_alone_on_screen_and_in_every_file(
    long: Farmyard, owner: Client, begun
):
    upper = str(long.ground.fields[0])
    page = owner.get(long.page("register", "leaf_intake") + f"?year=2026&field={upper}")
    assert page.context["count"] == 45
    assert "Upper Rest · " in page.content.decode()
    lines = b"".join(
        owner.get(long.page("register_csv", "leaf_intake") + f"{YEAR}&field={upper}").streaming_content
    )
    assert (lines.count(b"Upper Rest"), lines.count(b"Long Acre")) == (45, 0)
    asked(long, owner, field=upper)
    maker.make_all()
    text = text_of(printings.file_of(Printing.objects.get()).read_bytes())
    assert "Fallow Rise · Upper Rest · " in text
    assert "Long Acre" not in text
    for bad in ("x", "0190"):
        assert owner.get(long.page("register", "leaf_intake") + f"?field={bad}").status_code == 404
