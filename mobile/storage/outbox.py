"""What waits to be handed in, and what became of what was."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from datetime import datetime, timedelta
from uuid import UUID

from mobile.ports import Batch
from mobile.storage.disk import Disk
from mobile.storage.photos import forget_photos_of_dropped, send_photos_again
from mobile.trouble import LineGone
from shared.sync.chain import NO_HEAD
from shared.wire.push import LineResult
from shared.wire.scalars import written_moment

KEPT_DAYS = 400
DROPPED_AT_ONCE = 500


class Outbox:
    disk: Disk

    def batch(self, enrolment: int, most_lines: int, most_bytes: int) -> Batch | None:
        found = self.disk.one("SELECT phone, handed FROM enrolments WHERE id = ?", (enrolment,))
        assert found is not None
        phone, handed = found
        rows = self.disk.many(
            "SELECT line, raw FROM entries WHERE enrolment = ? AND line > ? ORDER BY line LIMIT ?",
            (enrolment, handed, most_lines),
        )
        if not rows:
            return None
        prev = self.head(enrolment, handed)
        if prev is None or rows[0][0] != handed + 1:
            raise LineGone(handed + 1)
        raws: list[bytes] = []
        room = most_bytes
        for place, (line, raw) in enumerate(rows):
            if line != handed + 1 + place:
                raise LineGone(handed + 1 + place)
            room -= len(raw) + 1
            if raws and room < 0:
                break
            raws.append(raw)
        return Batch(UUID(phone), handed + 1, prev, tuple(raws))

    def head(self, enrolment: int, line: int) -> str | None:
        if line == 0:
            return NO_HEAD
        row = self.disk.one("SELECT head FROM entries WHERE enrolment = ? AND line = ?", (enrolment, line))
        return None if row is None else str(row[0])

    def settle(
        self, enrolment: int, results: Sequence[LineResult], safe: int, at: datetime, skew_ms: int
    ) -> None:
        """One commit: what became of each line, how far the server answered, and what may now be dropped."""

        def work(connection: sqlite3.Connection) -> None:
            connection.executemany(
                "UPDATE entries SET outcome = ?, number = ?, code = ?, detail = ?"
                " WHERE enrolment = ? AND line = ?",
                [
                    (one.was or one.outcome, one.number, one.code, one.detail, enrolment, one.line)
                    for one in results
                ],
            )
            connection.execute(
                "UPDATE enrolments SET handed = max(handed, ?), safe = ?, handed_at = ?, skew_ms = ?"
                " WHERE id = ?",
                (
                    max((one.line for one in results), default=0),
                    safe,
                    written_moment(at),
                    skew_ms,
                    enrolment,
                ),
            )
            _drop_old(connection, enrolment, int((at - timedelta(days=KEPT_DAYS)).timestamp()))

        self.disk.write(work)

    def put_back(self, enrolment: int, expect: int) -> bool:
        def work(connection: sqlite3.Connection) -> bool:
            (handed,) = connection.execute(
                "SELECT handed FROM enrolments WHERE id = ?", (enrolment,)
            ).fetchone()
            if expect > handed:
                return bool(expect == handed + 1)
            if not _has_all(connection, enrolment, max(1, expect - 1), handed):
                return False
            connection.execute(
                "UPDATE entries SET outcome = NULL, number = NULL, code = NULL, detail = NULL"
                " WHERE enrolment = ? AND line >= ?",
                (enrolment, expect),
            )
            send_photos_again(connection, enrolment)
            connection.execute(
                "UPDATE enrolments SET handed = ?1, pulled_line = min(pulled_line, ?1), safe = min(safe, ?1)"
                " WHERE id = ?2",
                (expect - 1, enrolment),
            )
            return True

        return self.disk.write(work)


def _has_all(connection: sqlite3.Connection, enrolment: int, first: int, last: int) -> bool:
    (count,) = connection.execute(
        "SELECT count(*) FROM entries WHERE enrolment = ? AND line BETWEEN ? AND ?", (enrolment, first, last)
    ).fetchone()
    return bool(count == last - first + 1)


def _drop_old(connection: sqlite3.Connection, enrolment: int, before_s: int) -> None:
    """Drop what stands in a checked backup and is old (W10), from the first line on: what a clock that was set wrong
    calls old among newer lines stays, or its neighbours could not be sent again. The last line stays: the next
    follows on it."""
    oldest = connection.execute(
        "SELECT made_s FROM entries WHERE enrolment = ? AND outcome IN ('kept', 'held')"
        " ORDER BY line LIMIT 1",
        (enrolment,),
    ).fetchone()
    if oldest is None or oldest[0] >= before_s:
        return
    connection.execute(
        """
        DELETE FROM entries WHERE place IN (
            SELECT place FROM entries WHERE enrolment = ?1 AND line < (
                SELECT min(e.line) FROM entries e JOIN enrolments n ON n.id = e.enrolment
                WHERE e.enrolment = ?1 AND (
                    e.line > min(n.safe, n.handed) OR e.made_s >= ?2
                    OR e.outcome IS NULL OR e.outcome NOT IN ('kept', 'held')
                    OR e.line = (SELECT max(line) FROM entries WHERE enrolment = ?1)))
            ORDER BY line LIMIT ?3)
        """,
        (enrolment, before_s, DROPPED_AT_ONCE),
    )
    forget_photos_of_dropped(connection, enrolment)
