"""One entry with all that speaks of it, found however large and however old the book is."""

from __future__ import annotations

import json
import sqlite3
from pathlib import Path
from uuid import UUID

import pytest

from mobile.ports import NewLine
from mobile.storage import PhoneBook
from mobile.storage.ladder import STEPS, climb
from mobile.storage.own_lines import MOST_AT_ONCE, _family_of
from tests.mobile.storage.books import a_book

FIRST, SECOND, FIX, FIX_OF_FIX, RULED_OUT, ANSWER, STRANGER = (UUID(int=at) for at in range(1, 8))


def line(id: UUID, kind: str = "note", names: UUID | None = None) -> NewLine:
    raw = json.dumps({"id": str(id), "names": None if names is None else str(names)}).encode()
    return NewLine(id, kind, None, None, 0, raw, (), names)


@pytest.fixture
def told(tmp_path: Path) -> tuple[PhoneBook, int]:
    book, farm = a_book(tmp_path)
    book.save(
        farm,
        [
            line(FIRST),
            line(SECOND),
            line(FIX, "correction", FIRST),
            line(FIX_OF_FIX, "correction", FIX),
            line(RULED_OUT, "strike", FIX_OF_FIX),
            line(ANSWER, "answer", FIRST),
            line(STRANGER),
        ],
    )
    return book, farm


def test_it_comes_with_its_corrections_and_with_what_names_those(told: tuple[PhoneBook, int]) -> None:
    book, farm = told
    assert [one.id for one in book.speaking_of(farm, [FIRST])] == [FIRST, FIX, FIX_OF_FIX, RULED_OUT]
    assert [one.id for one in book.speaking_of(farm, [SECOND, STRANGER])] == [SECOND, STRANGER]
    assert [one.id for one in book.speaking_of(farm, [FIX])] == [FIX, FIX_OF_FIX, RULED_OUT]
    assert book.speaking_of(farm, []) == ()


def test_more_than_a_statement_takes_are_found_in_several(tmp_path: Path) -> None:
    book, farm = a_book(tmp_path)
    ids = [UUID(int=at) for at in range(1, MOST_AT_ONCE + 20)]
    book.save(farm, [line(id) for id in ids])
    assert [one.id for one in book.speaking_of(farm, ids)] == ids


def test_no_plan_of_it_reads_the_whole_book(told: tuple[PhoneBook, int]) -> None:
    book, farm = told
    plan = book.disk.many(f"EXPLAIN QUERY PLAN {_family_of(1)}", (str(FIRST), farm, farm))
    scans = [step[3] for step in plan if step[3].startswith("SCAN") and "family" not in step[3]]
    assert [one for one in scans if "CONSTANT" not in one and "VALUES" not in one] == []


def test_what_an_older_app_wrote_is_found_by_what_it_names_too(tmp_path: Path) -> None:
    """A storage of two steps comes up the third with its entries looked through; one that can't be read names none."""
    file = tmp_path / "phone.sqlite"
    old = sqlite3.connect(file, isolation_level=None)
    climb(old, STEPS[:2])
    fix = line(FIX, "correction", FIRST)
    unreadable = NewLine(SECOND, "strike", None, None, 0, b"\xff not a line")
    for at, one in enumerate((line(FIRST), fix, unreadable), start=1):
        old.execute(
            "INSERT INTO entries (enrolment, line, id, kind, made_s, raw, sha, head)"
            " VALUES (1, ?, ?, ?, 0, ?, '', '')",
            (at, str(one.id), one.kind, one.raw),
        )
    old.close()
    book = PhoneBook(file)
    assert book.disk.many("SELECT names FROM entries ORDER BY line") == [(None,), (str(FIRST),), (None,)]
    with pytest.raises(sqlite3.IntegrityError):
        book.disk.write(lambda one: one.execute("UPDATE entries SET names = NULL"))
    book.close()
