"""Run by ``test_postgres`` in a process whose database is PostgreSQL: writers that commit late, readers that follow.

Two pushes are held open by hand after all their rows are written and before they commit; eight more wait behind
them. What a reader by cursor sees at each moment is said exactly, not left to chance.
"""

from __future__ import annotations

import json
import threading
from collections.abc import Iterator
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import contextmanager
from datetime import datetime
from typing import Any

import pytest
from django.db import connection, connections, transaction

from server.book.models import Row
from server.intake.writes import accept
from tests.server.conftest import Clock
from tests.server.ground import Ground, HandPhone, found, outcomes

WRITERS = 8
PUSHES = 12
LINES = 3
pytestmark = pytest.mark.django_db(transaction=True)


class GivenUp(Exception):
    """A push that was held open and never committed."""


class Held:
    """A push with all of its rows written, that commits, or gives up, when the test says so."""

    def __init__(self, pool: ThreadPoolExecutor, phone: HandPhone, at: datetime) -> None:
        self.phone, self.at = phone, at
        self.written, self.may_end = threading.Event(), threading.Event()
        self.gives_up = False
        self.pid: int | None = None
        self.began = threading.Event()
        self.done: Future[None] = pool.submit(self._run)

    def _run(self) -> None:
        try:
            with transaction.atomic():
                with connection.cursor() as cursor:
                    cursor.execute("SELECT pg_backend_pid()")
                    self.pid = cursor.fetchone()[0]
                self.began.set()
                accept(self.phone.id, self.phone.body(1), self.at)
                self.written.set()
                assert self.may_end.wait(60)
                if self.gives_up:
                    raise GivenUp
        except GivenUp:
            pass
        finally:
            connections.close_all()

    def end(self) -> None:
        self.may_end.set()
        self.done.result(60)

    def waits_behind_another(self) -> None:
        """Comes back once the database says that this connection waits for somebody's lock."""
        assert self.began.wait(60)
        with connection.cursor() as cursor:
            for _ in range(1_000_000):
                cursor.execute("SELECT cardinality(pg_blocking_pids(%s))", [self.pid])
                if cursor.fetchone()[0]:
                    return
        raise AssertionError("it never had to wait")


class Reader:
    """Follows the book by the cursors that it is given, a page at a time."""

    def __init__(self, phone: HandPhone) -> None:
        self.phone = phone
        self.cursor = ""
        self.rows: list[tuple[int, str]] = []

    def read(self) -> list[int]:
        """The numbers that are new to it."""
        before = len(self.rows)
        while True:
            answer = self.phone.pull(self.cursor, kinds="entries", limit=7)
            if answer.status_code == 304:
                return [number for number, _ in self.rows[before:]]
            assert answer.status_code == 200, answer.content
            page = answer.json()
            self.rows += [(one["number"], one["sha"]) for one in page["rows"].get("entries", ())]
            self.cursor = page["next"]
            if not page["more"]:
                return [number for number, _ in self.rows[before:]]


def joined(ground: Ground, count: int, at: datetime) -> list[HandPhone]:
    phones = [HandPhone.join(ground, at, f"nonce-of-phone-{place}") for place in range(count)]
    for one in phones:
        for _ in range(LINES):
            one.write()
    return phones


@contextmanager
def threads(count: int) -> Iterator[ThreadPoolExecutor]:
    with ThreadPoolExecutor(count) as pool:
        yield pool


def book(ground: Ground) -> list[tuple[int, str]]:
    return list(Row.objects.filter(farm=ground.farm).order_by("number").values_list("number", "sha"))


def in_order_of_commits(ground: Ground) -> list[int]:
    """The numbers in the order in which the database committed them, told by the database itself."""
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT number FROM book_row WHERE farm_id = %s ORDER BY pg_xact_commit_timestamp(xmin), number",
            [ground.farm.id],
        )
        return [number for (number,) in cursor.fetchall()]


def pushed(one: HandPhone) -> Any:
    try:
        return one.push()
    finally:
        connections.close_all()


def test_pushes_held_open_by_hand_hide_nothing_from_a_reader(ground: Ground, now: Clock) -> None:
    first, second, gives_up, *others = joined(ground, 3 + WRITERS, now())
    reader = Reader(first)
    reader.read()
    n = ground.fresh().number
    elsewhere = HandPhone.join(found("Thistle Bank", now()), now(), "nonce-of-elsewhere")
    elsewhere.write()
    with threads(3 + WRITERS) as pool:
        one = Held(pool, first, now())
        assert one.written.wait(60)
        two = Held(pool, second, now())
        two.waits_behind_another()
        assert above(first, n) == []
        assert outcomes(elsewhere.push()) == ["kept"]
        one.end()
        assert two.written.wait(60)
        assert above(first, n) == [n + 1, n + 2, n + 3]
        three = Held(pool, gives_up, now())
        three.gives_up = True
        three.waits_behind_another()
        rest = [pool.submit(pushed, each) for each in others]
        assert above(first, n) == [n + 1, n + 2, n + 3]
        two.end()
        three.end()
        assert all(outcomes(each.result(60)) == ["kept"] * LINES for each in rest)
    reader.read()
    assert reader.rows == book(ground)
    assert [number for number, _ in reader.rows] == list(range(1, n + LINES * (2 + WRITERS) + 1))
    assert in_order_of_commits(ground) == [number for number, _ in reader.rows]


def above(phone: HandPhone, number: int) -> list[int]:
    """The numbers that anybody sees above this one at this moment, while others write."""
    answer = phone.client.get("/api/v1/book/", {"from": number + 1}, headers=phone.auth)
    assert answer.status_code == 200
    told = [json.loads(line) for line in b"".join(answer.streaming_content).splitlines()]
    return [one["number"] for one in told if "number" in one]


def test_eight_writers_and_the_readers_that_follow_them(ground: Ground, now: Clock) -> None:
    phones = joined(ground, WRITERS, now())
    readers = [Reader(one) for one in phones[:4]]
    before = ground.fresh().number
    over = threading.Event()

    def writes(one: HandPhone) -> None:
        try:
            for place in range(PUSHES):
                if place:
                    for _ in range(LINES):
                        one.write()
                assert outcomes(one.push(1 + place * LINES)) == ["kept"] * LINES
        finally:
            connections.close_all()

    def follows(reader: Reader) -> int:
        polls = 0
        try:
            while not over.is_set():
                reader.read()
                polls += 1
        finally:
            connections.close_all()
        return polls

    with threads(WRITERS + len(readers)) as pool:
        following = [pool.submit(follows, one) for one in readers]
        for one in [pool.submit(writes, each) for each in phones]:
            one.result(240)
        over.set()
        assert all(one.result(60) > 1 for one in following)
    for one in readers:
        one.read()
        assert one.rows == book(ground)
    numbers = [number for number, _ in book(ground)]
    assert numbers == list(range(1, before + WRITERS * PUSHES * LINES + 1))
    assert in_order_of_commits(ground) == numbers
