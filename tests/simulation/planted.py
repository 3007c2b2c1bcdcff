"""Twelve mistakes that such code is made with, each planted into the real code by a switch of the test. The contract
sees most of them twice: where it does, the second look is taken away with the first, and the plant says so."""

from __future__ import annotations

import hashlib
import json
import sqlite3
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from mobile.actions import hand_in, pull
from mobile.storage import PhoneBook
from mobile.storage import outbox as phone_outbox
from mobile.storage.pulled import _write_rows
from server.api.v1 import bodies, pages
from server.book import writes as book_writes
from server.book.models import Row
from server.intake import keeping, writes
from server.status import following
from shared.errors import BadFrame, Gap, Unsound
from shared.sync import receipts
from shared.sync.receipts import Facts
from shared.wire import push

Plant = Callable[[pytest.MonkeyPatch], None]


def _gone(book: Any, enrolment: int, where: str, *values: object) -> None:
    """Take entries off a phone, past the trigger that guards them."""

    def work(connection: sqlite3.Connection) -> None:
        connection.execute("DROP TRIGGER IF EXISTS entries_never_lost")
        connection.execute(f"DELETE FROM entries WHERE enrolment = ? AND {where}", (enrolment, *values))

    book.disk.write(work)


def no_idempotency(patch: pytest.MonkeyPatch) -> None:
    """The server does not look whether it has an entry already."""
    looked_up = writes.looked_up

    def blind(*arguments: Any) -> Facts:
        return replace(looked_up(*arguments), by_sha={}, by_id={})

    patch.setattr(writes, "looked_up", blind)
    patch.setattr(keeping, "named", lambda farm, facts, fresh: {one.line: None for one in fresh})


def outbox_cleared_before_the_answer(patch: pytest.MonkeyPatch) -> None:
    """What is sent counts as handed in, and goes, before anything was heard."""
    ask = hand_in.ask

    def clearing(phone: Any, enrolment: int, call: Any) -> Any:
        handed = phone.book.enrolment(enrolment).handed
        answer = ask(phone, enrolment, call)
        _gone(phone.book, enrolment, "line > ?", handed)
        return answer

    patch.setattr(hand_in, "ask", clearing)


def poison_stops_the_batch(patch: pytest.MonkeyPatch) -> None:
    """One entry that can't be read is an error of the whole request."""

    def strict(*arguments: Any) -> Any:
        try:
            return receipts.judge(*arguments[:3], _raising(arguments[3]), *arguments[4:])
        except _Poison as poison:
            raise BadFrame(str(poison)) from None

    patch.setattr(writes, "judge", strict)


class _Poison(Exception):
    pass


def _raising(decode: Callable[[bytes], Any]) -> Callable[[bytes], Any]:
    def first(raw: bytes) -> Any:
        try:
            return decode(raw)
        except Unsound as unsound:
            raise _Poison(unsound.why) from None

    return first


def late_number(patch: pytest.MonkeyPatch) -> None:
    """A number is given out before its row can be read: every other push is only there after the next but one."""
    insert = book_writes.insert
    waiting: list[tuple[Any, ...]] = []
    pushes = [0]

    def late(model: Any, columns: Any, rows: Any) -> None:
        if model is not Row or len(rows) == 0:
            insert(model, columns, rows)
            return
        pushes[0] += 1
        if pushes[0] == 1:
            waiting.append((model, columns, rows))
            return
        insert(model, columns, rows)
        if pushes[0] == 3:
            insert(*waiting.pop())

    def patient(farm: Any, now: Any) -> None:
        if Row.objects.filter(farm_id=farm.id, number__gt=farm.folded).exists():
            catch_up(farm, now)
        else:
            type(farm).objects.filter(id=farm.id).update(folded=farm.number)

    catch_up = following.catch_up
    patch.setattr(book_writes, "insert", late)
    patch.setattr(following, "catch_up", patient)


def dropped_on_401(patch: pytest.MonkeyPatch) -> None:
    """A phone that may not speak any more throws away what it had to say."""
    after = hand_in.after
    push_one = hand_in._push

    def dropping(phone: Any, enrolment: int, batch: Any, now: Any) -> Any:
        done = push_one(phone, enrolment, batch, now)
        if done.move in ("seal", "ask_slip"):
            _gone(phone.book, enrolment, "line >= ?", batch.first)
        return done

    patch.setattr(hand_in, "_push", dropping)
    patch.setattr(hand_in, "after", after)


def cursor_before_its_page(patch: pytest.MonkeyPatch) -> None:
    """The cursor is stored first, and its page in a commit after that."""
    store = PhoneBook.store_page

    def hasty(self: PhoneBook, enrolment: int, page: Any, as_of_line: int) -> None:
        store(self, enrolment, replace(page, rows={}, gone={}), as_of_line)
        self.disk.write(lambda connection: _write_rows(connection, enrolment, page))

    patch.setattr(PhoneBook, "store_page", hasty)


def _heads_not_compared(patch: pytest.MonkeyPatch) -> None:
    """The second look of a phone: its own head against the server's."""
    behind = pull._behind
    patch.setattr(hand_in, "_checked", lambda batch, count, answer: "settled")
    patch.setattr(pull, "_behind", lambda phone, who, reply: behind(phone, who, replace(reply, line=None)))


def uniqueness_swallowed(patch: pytest.MonkeyPatch) -> None:
    """A line that the server has is a duplicate, whatever stands in it. Without the heads, which would tell."""

    def swallowing(one: Any, facts: Facts, head: str) -> Any:
        known = facts.receipts[one.line]
        return receipts.Ruling(
            one.line, one.sha, "already", head, known.outcome, known.code, number=known.number, moved=False
        )

    def placed(enrolment: Any, first: int, prev: str, head_before: Any) -> None:
        if first > enrolment.line + 1:
            raise Gap(enrolment.line + 1)

    patch.setattr(receipts, "_again", swallowing)
    patch.setattr(writes, "placed", placed)
    _heads_not_compared(patch)


def truncated_body_accepted(patch: pytest.MonkeyPatch) -> None:
    """What came of a body is taken for all of it."""
    read = push.read_push

    def lenient(body: bytes) -> Any:
        first, *rest = body.split(b"\n")
        rest = [one for one in rest if one]
        tree = json.loads(first) | {"count": len(rest)}
        return read(b"\n".join([json.dumps(tree).encode(), *rest]) + b"\n")

    def unpacked(body: bytes, most: int) -> bytes:
        import zlib

        return zlib.decompressobj(bodies.GZIP).decompress(body, most)

    patch.setattr(bodies, "digest_agrees", lambda header, body: True)
    patch.setattr(bodies, "_unpacked", unpacked)
    patch.setattr(writes, "read_push", lenient)


def sha_over_the_line(patch: pytest.MonkeyPatch) -> None:
    """The sha covers whose line an entry was. Without the heads, which would never agree."""
    read = push.read_push

    def numbered(body: bytes) -> Any:
        frame, arrivals = read(body)
        return frame, [
            replace(
                one, sha=hashlib.sha256(f"{frame.phone} {one.line} ".encode() + (one.raw or b"")).hexdigest()
            )
            for one in arrivals
        ]

    patch.setattr(writes, "read_push", numbered)
    patch.setattr(writes, "placed", lambda *arguments: None)
    _heads_not_compared(patch)


def bare_number_for_a_cursor(patch: pytest.MonkeyPatch) -> None:
    """The server does not ask of which book a cursor is."""
    patch.setattr(pages, "_checked", lambda farm, cursor: None)


def pruned_on_acknowledgement(patch: pytest.MonkeyPatch) -> None:
    """What the server has is dropped at once, and not when it stands in a backup."""
    settle = phone_outbox.Outbox.settle

    def pruning(self: Any, enrolment: int, results: Any, *more: Any) -> None:
        settle(self, enrolment, results, *more)
        last = max((one.line for one in results), default=0)
        _gone(self, enrolment, "line < ?", last)

    patch.setattr(PhoneBook, "settle", pruning)


def gap_ignored(patch: pytest.MonkeyPatch) -> None:
    """A phone that is told of a gap goes on where it was."""
    behind = pull._behind
    patch.setattr(PhoneBook, "put_back", lambda self, enrolment, expect: True)

    def deaf(phone: Any, who: Any, reply: Any) -> Any:
        found = behind(phone, who, reply)
        return None if found is not None and found.move == "put_back" else found

    patch.setattr(pull, "_behind", deaf)


PLANTED: dict[str, Plant] = {
    one.__name__: one
    for one in (
        no_idempotency,
        outbox_cleared_before_the_answer,
        poison_stops_the_batch,
        late_number,
        dropped_on_401,
        cursor_before_its_page,
        uniqueness_swallowed,
        truncated_body_accepted,
        sha_over_the_line,
        bare_number_for_a_cursor,
        pruned_on_acknowledgement,
        gap_ignored,
    )
}
