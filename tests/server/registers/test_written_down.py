"""The registers that print entries as they were written down; all of them in one file with the book."""

from __future__ import annotations

import csv
import io
import subprocess
import sys
import zipfile
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from django.test import Client
from pypdf import PdfReader

from server.book import reads as book
from server.reading import sealing
from server.web.views import registers as pages
from shared.languages import say
from shared.status.registers import REGISTERS
from shared.words.bodies.reading import Correction, Strike
from shared.words.bodies.told import Occurrence
from shared.words.bodies.work import Work
from tests.server.web.farmyard import Farmyard

ROOT = Path(__file__).resolve().parents[3]
YEAR = "?first=2026-01-01&last=2026-12-31"


def lines_of(yard: Farmyard, owner: Client, name: str) -> list[dict[str, str]]:
    answer = owner.get(yard.page("register_csv", name) + YEAR)
    text = b"".join(answer.streaming_content).decode("utf-8-sig")
    return list(csv.DictReader(io.StringIO(text)))


@pytest.fixture
def worked(yard: Farmyard) -> Farmyard:
    """A farm on which something of each register was written."""
    upper = yard.ground.fields[0]
    yard.leg(upper, "leaf", date(2026, 4, 1))
    yard.loads(3, upper)
    yard.write(Work("spread", area_ac=Decimal(2), machine="side spreader", passes=2), field=upper)
    yard.depth_round(upper, ["4", "5.5"])
    yard.write(Work("work_in", depth_in=Decimal(6)), field=upper)
    yard.write(
        Work("lime", material="ag lime", material_lb_per_ac=Decimal(2000), cce_pct=Decimal(95)), field=upper
    )
    yard.write(
        Work("spray", material="Weedless 9", epa_number="000-00", product_amount=Decimal("1.5"), product_unit="qt",
             applicator="Cato Vale", reentry_h=12),
        field=upper,
    )  # fmt: skip
    yard.write(Work("seed", crop="rye", seed_lot="R-7", seed_status="untreated"), field=upper)
    yard.write(Occurrence("complaint", "raked the road", name="a neighbour"))
    return yard


def test_each_entry_of_its_kinds_is_a_line_and_says_what_the_entry_says(worked: Farmyard, owner: Client):
    (lime,) = lines_of(worked, owner, "amendments")
    assert (lime["Job"], lime["Material"], lime["Rate, lb/ac"]) == ("lime", "ag lime", "2,000")
    (spray,) = lines_of(worked, owner, "sprays")
    assert (spray["EPA number"], spray["Amount"], spray["Unit"], spray["Applied by"]) == (
        *("000-00", "1.5", "qt"),
        "Cato Vale",
    )
    (told,) = lines_of(worked, owner, "occurrences")
    assert (told["What"], told["What was done"], told["Field or part"]) == ("complaint", "raked the road", "")
    (leg,) = lines_of(worked, owner, "rotation")
    assert (leg["Leg"], leg["From"], leg["Field or part"]) == ("leaf", "1 April 2026", "Upper Rest")
    laid = lines_of(worked, owner, "leaves_laid")
    assert [(one["Job"], one["Depth, in"]) for one in laid] == [
        *(("spread leaves", ""), ("Leaf depth", "4"), ("Leaf depth", "5.5"), ("work in", "6")),
    ]
    work = [one.number for one in book.of_kinds(worked.farm, ["work"])]
    assert [one["Book no."] for one in lines_of(worked, owner, "field_history")] == [str(one) for one in work]


def test_a_correction_stands_under_what_it_replaced_and_a_struck_line_stays(worked: Farmyard, owner: Client):
    (row,) = [one for one in book.of_kinds(worked.farm, ["work"]) if book.entry_of(one).body.job == "lime"]
    fixed = Work("lime", material="dolomite", material_lb_per_ac=Decimal(1800))
    worked.write(
        Correction("work", fixed, "wrong heap"),
        field=worked.ground.fields[0], names=row.entry, by=worked.ground.owner,
    )  # fmt: skip
    page = owner.get(worked.page("register", "amendments") + YEAR)
    (shown,) = page.context["rows"]
    assert "ag lime" in [cell for cell, _ in shown["was"]]
    assert "dolomite" in [cell for cell, _, _ in shown["cells"]]
    (told,) = book.of_kinds(worked.farm, ["occurrence"])
    worked.write(Strike("occurrence", "told twice"), names=told.entry, by=worked.ground.owner)
    (line,) = lines_of(worked, owner, "occurrences")
    assert (line["Marks"], line["Why changed"]) == ("struck", "told twice")


def test_a_long_register_is_shown_in_parts(worked: Farmyard, owner: Client, monkeypatch):
    monkeypatch.setattr(pages, "LINES_SHOWN", 2)
    address = worked.page("register", "field_history")
    first = owner.get(address + YEAR)
    assert (first.context["count"], first.context["end"], first.context["after"]) == (5, 2, 3)
    last = owner.get(address + YEAR + "&from=5")
    assert (len(last.context["rows"]), last.context["before"], last.context["after"]) == (1, 3, None)
    assert say("en", "logs.part_of", first=5, last=5, count=5) in last.content.decode()
    for nowhere in ("6", "0", "-1", "x"):
        assert owner.get(address + YEAR + f"&from={nowhere}").status_code == 404


def test_all_of_it_in_one_file_is_proved_by_the_program_and_agrees_with_the_book_line_by_line(
    worked: Farmyard, owner: Client, now, tmp_path
):
    row = sealing.seal_day(worked.farm, worked.ground.owner.id, now().date(), "", now())
    root = book.entry_of(row).body.root
    answer = owner.post(worked.page("register_bundle"), {"first": "2026-01-01", "last": "2026-12-31"})
    folder = zipfile.ZipFile(io.BytesIO(b"".join(answer.streaming_content)))
    assert {f"registers/{name}.{kind}" for name in REGISTERS for kind in ("csv", "pdf")} < set(
        folder.namelist()
    )
    folder.extractall(tmp_path)
    told = subprocess.run(
        [sys.executable, "-m", "shared.proof", str(tmp_path / "book.ndjson"), "--root", root],
        cwd=ROOT, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert told.returncode == 0, told.stdout + told.stderr
    assert "python -m shared.proof book.ndjson" in (tmp_path / "README.txt").read_text()
    assert root in (tmp_path / "README.txt").read_text()
    for name, kind in (("leaf_intake", "load"), ("occurrences", "occurrence"), ("amendments", "work")):
        pdf = PdfReader(tmp_path / f"registers/{name}.pdf")
        assert 'pdfaid:part="3"' in pdf.xmp_metadata.stream.get_data().decode()
        text = "\n".join(page.extract_text() for page in pdf.pages)
        squeezed = "".join(text.split())
        assert root in squeezed
        assert f"page {len(pdf.pages)} of {len(pdf.pages)}" in text
        for line in csv.DictReader(io.StringIO((tmp_path / f"registers/{name}.csv").read_text("utf-8-sig"))):
            assert int(line["Book no."]) in {one.number for one in book.of_kinds(worked.farm, [kind])}
            assert "".join(line["Date"].split()) in squeezed
            assert all("".join(cell.split()) in squeezed for cell in line.values())


def test_a_bundle_of_no_days_is_told(yard: Farmyard, owner: Client):
    form = {"first": "2026-12-31", "last": "2026-01-01"}
    assert owner.post(yard.page("register_bundle"), form).status_code == 404
