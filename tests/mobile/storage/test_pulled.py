"""The pulled copy: a page and its cursor together, and no bare land while a new copy comes in."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from threading import Thread
from uuid import UUID

from mobile.ports import Draft
from shared.wire.pull import Page
from shared.wire.push import LineResult
from tests.mobile.storage.books import a_book, new_line

NOW = datetime(2026, 5, 12, tzinfo=UTC)


def town(n: int, name: str = "Fallowdale") -> dict[str, object]:
    return {"id": str(UUID(int=n)), "name": name, "retired": False}


def test_w12_a_page_and_its_cursor_are_stored_together(tmp_path: Path) -> None:
    book, farm = a_book(tmp_path)
    book.store_page(farm, Page({"towns": [town(1), town(2)]}, {}, "c1", True), 0)
    assert book.enrolment(farm).cursor == "c1"
    assert {one.id for one in book.values(farm, "towns")} == {UUID(int=1), UUID(int=2)}


def test_a_row_that_comes_again_replaces_the_old_one_and_gone_ones_go(tmp_path: Path) -> None:
    book, farm = a_book(tmp_path)
    book.store_page(farm, Page({"towns": [town(1), town(2)]}, {}, "c1", False), 0)
    book.store_page(
        farm, Page({"towns": [town(1, "Quarrel")]}, {"towns": [str(UUID(int=2))]}, "c2", False), 0
    )
    assert [one.name for one in book.values(farm, "towns")] == ["Quarrel"]
    assert book.row(farm, "towns", str(UUID(int=2))) is None


def test_i6_a_row_that_went_and_came_back_within_a_page_is_there(tmp_path: Path) -> None:
    book, farm = a_book(tmp_path)
    book.store_page(farm, Page({"towns": [town(1)]}, {}, "c1", False), 0)
    book.store_page(
        farm, Page({"towns": [town(1, "Quarrel")]}, {"towns": [str(UUID(int=1))]}, "c2", False), 0
    )
    assert [one.name for one in book.values(farm, "towns")] == ["Quarrel"]


def test_w13_the_old_copy_is_read_until_the_new_one_is_whole(tmp_path: Path) -> None:
    book, farm = a_book(tmp_path)
    book.store_page(farm, Page({"towns": [town(1), town(2)]}, {}, "c1", False), 0)
    book.save(farm, [new_line(1)], Draft("round", {"stop": 1}))
    book.pull_anew(farm)
    assert book.enrolment(farm).cursor == ""
    assert len(book.values(farm, "towns")) == 2
    book.store_page(farm, Page({"towns": [town(1, "Quarrel")]}, {}, "d1", True), 0)
    assert len(book.values(farm, "towns")) == 2
    book.store_page(farm, Page({"towns": [town(3, "Oxbend")]}, {}, "d2", False), 0)
    assert sorted(one.name for one in book.values(farm, "towns")) == ["Oxbend", "Quarrel"]
    assert len(book.written(farm)) == 1
    assert book.draft(farm, "round") == {"stop": 1}


def test_a_key_that_this_app_does_not_know_yet_is_kept_and_passed_over(tmp_path: Path) -> None:
    book, farm = a_book(tmp_path)
    book.store_page(farm, Page({"towns": [town(1) | {"mayor": "nobody"}]}, {}, "c1", False), 0)
    assert book.values(farm, "towns")[0].name == "Fallowdale"
    assert book.row(farm, "towns", str(UUID(int=1)))["mayor"] == "nobody"


def test_own_entries_lie_over_the_copy_until_a_pull_after_they_were_answered_for(tmp_path: Path) -> None:
    book, farm = a_book(tmp_path)
    book.save(farm, [new_line(n) for n in (1, 2, 3)])
    assert [one.line for one in book.unpulled(farm)] == [1, 2, 3]
    book.settle(farm, [LineResult(1, "kept", 1), LineResult(2, "held", 2, None, "decimal")], 0, NOW, 0)
    assert [one.line for one in book.unpulled(farm)] == [1, 3]
    book.store_page(farm, Page({}, {}, "c1", False), 2)
    assert [one.line for one in book.unpulled(farm)] == [3]
    book.put_back(farm, 2)
    assert [one.line for one in book.unpulled(farm)] == [2, 3]


def test_another_thread_sees_what_was_saved_and_its_pages_are_seen_here(tmp_path: Path) -> None:
    book, farm = a_book(tmp_path)
    book.save(farm, [new_line(1)])
    seen: list[int] = []

    def elsewhere() -> None:
        seen.append(len(book.written(farm)))
        book.store_page(farm, Page({"towns": [town(1)]}, {}, "c1", False), 0)

    before = book.values(farm, "towns")
    thread = Thread(target=elsewhere)
    thread.start()
    thread.join()
    assert (before, seen) == ((), [1])
    assert len(book.values(farm, "towns")) == 1
