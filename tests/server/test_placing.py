"""Rows have their place before anybody looks them up by what they say; a push does not wait for it."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any
from uuid import UUID

import pytest

from server.book import placing
from server.book import reads as book
from server.book.models import Row
from server.book.placing import PLACE, placed
from server.people.models import Farm
from tests.server.conftest import Clock
from tests.server.ground import Ground, HandPhone, outcomes

pytestmark = pytest.mark.django_db
SERVER = Path(__file__).resolve().parents[2] / "server"
DAY = date(2026, 6, 1)
READS: dict[str, Callable[[UUID, UUID, UUID], Any]] = {
    "of_entry": lambda farm, entry, field: [book.of_entry(farm, entry)],
    "of_entries": lambda farm, entry, field: book.of_entries(farm, [entry]),
    "of_field": lambda farm, entry, field: book.of_field(farm, field, ["cover"]),
    "of_day": lambda farm, entry, field: book.of_day(farm, DAY).filter(kind="cover"),
    "of_kinds": lambda farm, entry, field: book.of_kinds(farm, ["cover"], DAY),
    "looked_up": lambda farm, entry, field: book.looked_up(farm).filter(kind="cover"),
}
SAFE = {
    # Lines of the desk have their place from the beginning.
    "reading/sealing.py": 1,
    # By their numbers.
    "api/v1/pages.py": 1,
    # By their keys.
    "reading/erasing.py": 1,
    "intake/again.py": 2,
}


@pytest.mark.parametrize("read", READS.values(), ids=READS)
def test_whoever_looks_a_row_up_finds_it_in_its_place(ground: Ground, phone: HandPhone, read: Any) -> None:
    entry = UUID(phone.write(field=ground.fields[0])["id"])
    phone.push()
    assert list(Row.objects.filter(phone=phone.id).values_list(*PLACE)) == [(None,) * len(PLACE)]
    (row,) = read(ground.farm.id, entry, ground.fields[0])
    assert (row.entry, row.kind, row.field, row.by) == (entry, "cover", ground.fields[0], phone.by)
    assert (row.day, row.made_at) == (DAY, row.made_at.replace(2026, 6, 1, 11, 55))


def test_what_names_an_entry_and_what_is_held_are_found_though_they_came_just_now(
    ground: Ground, phone: HandPhone
) -> None:
    first = phone.write()
    phone.write(kind="strike", body={"of": "cover", "why": "slip"}, names=first["id"])
    phone.kept.append(b"no entry")
    assert outcomes(phone.push()) == ["kept", "kept", "held"]
    (strike,) = book.naming(ground.farm.id, [UUID(first["id"])])
    (held,) = book.held(ground.farm.id)
    assert (strike.kind, held.kind, held.day) == ("strike", None, DAY)


def test_rows_have_the_same_place_in_however_many_steps(
    ground: Ground, phone: HandPhone, monkeypatch: pytest.MonkeyPatch
) -> None:
    for height in range(7):
        phone.write(field=ground.fields[height % 2], done_at=f"2026-05-{10 + height}")
    phone.push()
    placed(ground.farm.id)
    at_once = list(Row.objects.order_by("number").values_list(*PLACE))
    Row.objects.update(**dict.fromkeys(PLACE))
    Farm.objects.update(placed=0)
    monkeypatch.setattr(placing, "AT_ONCE", 2)
    placed(ground.farm.id)
    assert list(Row.objects.order_by("number").values_list(*PLACE)) == at_once
    assert ground.fresh().placed == ground.fresh().number


def test_a_line_written_at_the_desk_has_its_place_at_once(
    ground: Ground, phone: HandPhone, now: Clock
) -> None:
    farm = ground.fresh()
    assert (farm.placed, farm.folded) == (farm.number, farm.number)
    assert not Row.objects.filter(kind=None).exists()


def test_nobody_looks_rows_up_past_the_books_own_reads() -> None:
    past: dict[str, int] = {}
    for file in sorted(SERVER.rglob("*.py")):
        name = file.relative_to(SERVER).as_posix()
        if not name.startswith("book/") and (found := re.findall(r"\bRow\.objects\b", file.read_text())):
            past[name] = len(found)
    assert past == SAFE, "look rows up by server.book.reads.looked_up: it gives them their place first"
