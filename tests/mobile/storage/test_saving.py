"""Saving: one durable commit, exact bytes, an unbroken chain, and nothing ever written again."""

from __future__ import annotations

import sqlite3
from pathlib import Path
from uuid import UUID

import pytest

from mobile.ports import Draft, NewLine
from mobile.storage import PhoneBook
from mobile.storage.disk import WAL_BYTES
from mobile.storage.own_lines import LINE_AT, SELECT
from mobile.trouble import BookDamaged, BookLocked, BookNewer
from shared.sync.chain import NO_HEAD, head_over
from shared.wire.lines import sha
from tests.mobile.storage.books import a_book, new_line


def test_saved_bytes_come_back_exactly(tmp_path: Path) -> None:
    book, farm = a_book(tmp_path)
    one = NewLine(UUID(int=5), "note", None, None, 0, b'{"text":"\xc3\xb1  \\u0041"}')
    book.save(farm, [one])
    assert book.own(farm, one.id).raw == one.raw
    assert book.own(farm, one.id).sha == sha(one.raw)


def test_i4_each_save_moves_the_chain_and_every_head_recomputes(tmp_path: Path) -> None:
    book, farm = a_book(tmp_path)
    for n in range(1, 30):
        book.save(farm, [new_line(n)])
    book.save(farm, [new_line(30), new_line(31)])
    lines = book.written(farm, limit=100)[::-1]
    assert [one.line for one in lines] == list(range(1, 32))
    for one in lines:
        assert book.head(farm, one.line) == head_over(each.sha for each in lines[: one.line])
    assert book.head(farm, 0) == NO_HEAD


def test_several_entries_and_their_draft_are_stored_in_one_commit_or_not_at_all(tmp_path: Path) -> None:
    book, farm = a_book(tmp_path)
    twin = new_line(1)
    with pytest.raises(sqlite3.IntegrityError):
        book.save(farm, [new_line(2), twin, twin], Draft("round", {"stop": 3}))
    assert book.written(farm) == ()
    assert book.draft(farm, "round") is None
    book.save(farm, [new_line(2), twin], Draft("round", {"stop": 3}))
    assert len(book.written(farm)) == 2
    assert book.draft(farm, "round") == {"stop": 3}


def test_an_entry_can_be_neither_rewritten_nor_deleted_by_any_code(tmp_path: Path) -> None:
    book, farm = a_book(tmp_path)
    book.save(farm, [new_line(1)])
    for sql in ("UPDATE entries SET raw = 'x'", "UPDATE entries SET sha = 'x'", "DELETE FROM entries"):
        with pytest.raises(sqlite3.IntegrityError):
            book.disk.write(lambda connection, sql=sql: connection.execute(sql))
    assert len(book.written(farm)) == 1


def test_newest_come_first_a_page_at_a_time(tmp_path: Path) -> None:
    book, farm = a_book(tmp_path)
    for n in range(1, 121):
        book.save(farm, [new_line(n)])
    first = book.written(farm, limit=50)
    second = book.written(farm, before=first[-1].place, limit=50)
    third = book.written(farm, before=second[-1].place, limit=50)
    assert [one.line for one in (*first, *second, *third)] == list(range(120, 0, -1))


def test_reading_a_page_looks_at_that_page_alone_however_large_the_book(tmp_path: Path) -> None:
    book, farm = a_book(tmp_path)
    book.save(farm, [new_line(n) for n in range(1, 3)])
    page = SELECT + " AND e.line < " + LINE_AT + " ORDER BY e.line DESC LIMIT 50"
    plan = book.disk.many("EXPLAIN QUERY PLAN " + page, (farm, farm, 100))
    told = " ".join(str(row[-1]) for row in plan)
    assert "entries_by_line (enrolment=? AND line<?)" in told
    assert "TEMP B-TREE" not in told


def test_two_farms_on_one_phone_keep_lines_chains_and_drafts_apart(tmp_path: Path) -> None:
    book, first = a_book(tmp_path)
    _, second = a_book(tmp_path, book=book, farm=2)
    book.save(first, [new_line(1)], Draft("round", {"of": 1}))
    book.save(second, [new_line(1)], Draft("round", {"of": 2}))
    book.save(second, [new_line(2)])
    assert book.enrolment(first).line == 1
    assert book.enrolment(second).line == 2
    assert book.draft(first, "round") == {"of": 1}
    assert [one.id for one in book.written(first)] == [new_line(1).id]


def test_the_same_book_opens_again(tmp_path: Path) -> None:
    book, farm = a_book(tmp_path)
    book.save(farm, [new_line(1)])
    book.keep_setting("person", "Orla")
    book.close()
    again = PhoneBook(tmp_path / "phone.sqlite")
    assert [one.id for one in again.written(farm)] == [new_line(1).id]
    assert again.setting("person") == "Orla"


def test_a_damaged_file_is_named_as_such_and_left_as_it_is(tmp_path: Path) -> None:
    file = tmp_path / "phone.sqlite"
    file.write_bytes(b"this is no book" * 1000)
    with pytest.raises(BookDamaged):
        PhoneBook(file)
    assert file.read_bytes() == b"this is no book" * 1000


def test_a_book_that_a_newer_app_wrote_is_not_touched(tmp_path: Path) -> None:
    book, _ = a_book(tmp_path)
    book.disk.write(lambda connection: connection.execute("PRAGMA user_version = 99"))
    book.close()
    with pytest.raises(BookNewer) as raised:
        PhoneBook(tmp_path / "phone.sqlite")
    assert raised.value.has == 99


def test_a_locked_book_says_so_and_stores_nothing(tmp_path: Path) -> None:
    a_book(tmp_path)[0].close()
    book = PhoneBook(tmp_path / "phone.sqlite", lock_wait_s=0.05)
    other = sqlite3.connect(tmp_path / "phone.sqlite", isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    with pytest.raises(BookLocked):
        book.save(1, [new_line(1)])
    other.execute("ROLLBACK")
    other.close()
    assert book.written(1) == ()
    book.save(1, [new_line(1)])
    assert len(book.written(1)) == 1


def test_the_log_stays_bounded_over_many_small_commits(tmp_path: Path) -> None:
    book, farm = a_book(tmp_path)
    largest = 0
    for n in range(1, 400):
        book.save(farm, [new_line(n)])
        largest = max(largest, (tmp_path / "phone.sqlite-wal").stat().st_size)
    assert largest <= WAL_BYTES


def test_every_commit_is_forced_to_the_disk(tmp_path: Path) -> None:
    book, _ = a_book(tmp_path)
    assert book.disk.one("PRAGMA synchronous") == (2,)
    assert book.disk.one("PRAGMA journal_mode") == ("wal",)
    assert book.disk.one("PRAGMA wal_autocheckpoint") == (100,)
