"""What waits, what was settled, what is put back, what may be dropped."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from mobile.replies import Link
from mobile.storage import PhoneBook
from mobile.trouble import LineGone
from shared.sync.chain import NO_HEAD, head_over
from shared.wire.lines import sha
from shared.wire.push import LineResult
from tests.mobile.storage.books import a_book, joined, new_line

NOW = datetime(2026, 5, 12, tzinfo=UTC)
LONG_AFTER = datetime(2028, 5, 12, tzinfo=UTC)


def settle(book: PhoneBook, farm: int, first: int, last: int, safe: int = 0, at: datetime = NOW) -> None:
    results = [LineResult(line, "kept", line + 100) for line in range(first, last + 1)]
    book.settle(farm, results, safe, at, 0)


def test_a_batch_begins_after_the_last_line_answered_for_and_follows_on_its_head(tmp_path: Path) -> None:
    book, farm = a_book(tmp_path)
    book.save(farm, [new_line(n) for n in range(1, 11)])
    settle(book, farm, 1, 4)
    batch = book.batch(farm, 3, 10_000)
    assert batch.first == 5
    assert batch.raws == tuple(new_line(n).raw for n in (5, 6, 7))
    assert batch.prev == head_over(sha(new_line(n).raw) for n in range(1, 5))


def test_a_batch_holds_no_more_bytes_than_may_travel_but_always_one_line(tmp_path: Path) -> None:
    book, farm = a_book(tmp_path)
    book.save(farm, [new_line(n, size=1000) for n in range(1, 6)])
    each = len(new_line(1, size=1000).raw) + 1
    assert len(book.batch(farm, 500, each * 3).raws) == 3
    assert len(book.batch(farm, 500, each * 3 - 1).raws) == 2
    assert len(book.batch(farm, 500, 10).raws) == 1


def test_nothing_waits_once_all_is_answered_for(tmp_path: Path) -> None:
    book, farm = a_book(tmp_path)
    assert book.batch(farm, 500, 10_000) is None
    book.save(farm, [new_line(1)])
    settle(book, farm, 1, 1)
    assert book.batch(farm, 500, 10_000) is None
    assert book.enrolment(farm).waiting == 0


def test_what_became_of_a_line_is_kept_with_it(tmp_path: Path) -> None:
    book, farm = a_book(tmp_path)
    book.save(farm, [new_line(n) for n in range(1, 5)])
    results = [
        LineResult(1, "kept", 71),
        LineResult(2, "held", 72, None, "decimal", "body.height_in"),
        LineResult(3, "refused", 73, None, "too_large"),
        LineResult(4, "already", 12, "held", "unknown_field"),
    ]
    book.settle(farm, results, 0, NOW, 40)
    states = [(one.state, one.number, one.code) for one in book.written(farm)[::-1]]
    assert states == [
        ("kept", 71, None),
        ("held", 72, "decimal"),
        ("refused", 73, "too_large"),
        ("held", 12, "unknown_field"),
    ]
    assert [one.line for one in book.needing_hand(farm)] == [4, 3, 2]
    assert book.enrolment(farm).skew_ms == 40


def test_put_back_lines_wait_again_with_the_same_bytes(tmp_path: Path) -> None:
    book, farm = a_book(tmp_path)
    book.save(farm, [new_line(n) for n in range(1, 7)])
    settle(book, farm, 1, 6, safe=2)
    assert book.put_back(farm, 4)
    assert [one.state for one in book.written(farm)[::-1]] == ["kept"] * 3 + ["waiting"] * 3
    batch = book.batch(farm, 500, 10_000)
    assert (batch.first, batch.raws) == (4, tuple(new_line(n).raw for n in (4, 5, 6)))


def test_putting_back_to_the_first_line_puts_back_all(tmp_path: Path) -> None:
    book, farm = a_book(tmp_path)
    book.save(farm, [new_line(1), new_line(2)])
    settle(book, farm, 1, 2)
    assert book.put_back(farm, 1)
    assert book.batch(farm, 500, 10_000).prev == NO_HEAD


def test_nothing_is_put_back_past_what_was_ever_written(tmp_path: Path) -> None:
    book, farm = a_book(tmp_path)
    book.save(farm, [new_line(1)])
    assert not book.put_back(farm, 9)


def test_w10_only_old_lines_in_a_checked_backup_are_dropped_and_the_last_line_stays(tmp_path: Path) -> None:
    book, farm = a_book(tmp_path)
    book.save(farm, [new_line(n) for n in range(1, 9)])
    settle(book, farm, 1, 6, safe=4)
    assert len(book.written(farm)) == 8
    settle(book, farm, 5, 6, safe=4, at=LONG_AFTER)
    assert [one.line for one in book.written(farm)] == [8, 7, 6, 5]
    settle(book, farm, 7, 8, safe=8, at=LONG_AFTER)
    assert [one.line for one in book.written(farm)] == [8]
    (after,) = book.save(farm, [new_line(20)])
    assert after.line == 9
    assert book.head(farm, 9) == head_over(sha(new_line(n).raw) for n in (*range(1, 9), 20))


def test_W10_a_refused_line_is_never_dropped_nor_is_any_after_it(tmp_path: Path) -> None:
    book, farm = a_book(tmp_path)
    book.save(farm, [new_line(n) for n in range(1, 5)])
    results = [
        LineResult(1, "kept", 1),
        LineResult(2, "refused", 2, None, "too_large"),
        LineResult(3, "kept", 3),
    ]
    book.settle(farm, results, 3, LONG_AFTER, 0)
    assert [one.line for one in book.written(farm)] == [4, 3, 2]


def test_a_line_dropped_long_ago_can_not_be_put_back(tmp_path: Path) -> None:
    book, farm = a_book(tmp_path)
    book.save(farm, [new_line(n) for n in range(1, 9)])
    settle(book, farm, 1, 8, safe=4, at=LONG_AFTER)
    assert not book.put_back(farm, 3)
    assert book.put_back(farm, 6)


def test_w4b_enrolling_again_numbers_all_that_is_kept_from_one_and_loses_none(tmp_path: Path) -> None:
    book, farm = a_book(tmp_path)
    book.save(farm, [new_line(n) for n in range(1, 9)])
    settle(book, farm, 1, 8, safe=4, at=LONG_AFTER)
    kept = [one.id for one in book.written(farm)]
    again = joined(1, phone=2)
    who = book.enrol(again, Link("http://127.0.0.1:9", again.token))
    assert (who.id, who.phone, who.line, who.handed, who.safe) == (farm, again.phone, 4, 0, 0)
    assert [one.id for one in book.written(farm)] == kept
    assert [one.line for one in book.written(farm)] == [4, 3, 2, 1]
    assert {one.state for one in book.written(farm)} == {"waiting"}
    batch = book.batch(farm, 500, 10_000)
    assert (batch.phone, batch.first, batch.prev) == (again.phone, 1, NO_HEAD)
    assert book.head(farm, 4) == head_over(sha(raw) for raw in batch.raws)


def test_a_hole_before_what_waits_is_noticed_and_not_jumped_over(tmp_path: Path) -> None:
    book, farm = a_book(tmp_path)
    book.save(farm, [new_line(n) for n in range(1, 9)])
    settle(book, farm, 1, 8, safe=4, at=LONG_AFTER)
    book.disk.write(lambda one: one.execute("UPDATE enrolments SET handed = 3"))
    with pytest.raises(LineGone):
        book.batch(farm, 500, 10_000)
