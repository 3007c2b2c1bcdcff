"""What this phone wrote: one append-only table, one commit a save, read newest first a page at a time."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Sequence
from typing import Any
from uuid import UUID

from mobile.ports import Draft, NewLine, OwnLine
from mobile.storage.disk import Disk
from mobile.storage.photos import name_photos
from shared.sync.chain import NO_HEAD, next_head
from shared.wire.lines import sha as sha_of

COLUMNS = "e.place, e.line, e.id, e.sha, e.raw, e.outcome, e.number, e.code, e.detail, n.handed"
SELECT = f"SELECT {COLUMNS} FROM entries e JOIN enrolments n ON n.id = e.enrolment WHERE e.enrolment = ?"
LINE_AT = (
    "coalesce((SELECT line FROM entries WHERE +enrolment = ? AND place >= ? ORDER BY place LIMIT 1), 1 << 62)"
)
"""Lines change with an enrolment, places never do: so a page follows on the last one whatever came between."""
UNPULLED = (
    SELECT + " AND e.line > n.pulled_line AND (e.line > n.handed OR e.outcome = 'kept') ORDER BY e.line"
)
MOST_AT_ONCE = 200
"""SQLite takes a bounded number of values in one statement."""


def own_line(row: tuple[Any, ...]) -> OwnLine:
    """A line above what the server has answered for waits, whatever was heard of it once."""
    place, line, id, sha, raw, outcome, number, code, detail, handed = row
    if line > handed or outcome is None:
        return OwnLine(place, line, UUID(id), sha, raw, "waiting")
    return OwnLine(place, line, UUID(id), sha, raw, outcome, number, code, detail)


class OwnLines:
    disk: Disk

    def save(self, enrolment: int, new: Sequence[NewLine], draft: Draft | None = None) -> tuple[OwnLine, ...]:
        shas = [sha_of(one.raw) for one in new]

        def work(connection: sqlite3.Connection) -> tuple[OwnLine, ...]:
            if draft is not None:
                keep_draft(connection, enrolment, draft)
            return _appended(connection, enrolment, new, shas)

        return self.disk.write(work)

    def written(self, enrolment: int, before: int | None = None, limit: int = 50) -> tuple[OwnLine, ...]:
        sql = SELECT + (" AND e.line < " + LINE_AT if before is not None else "")
        values = (enrolment, enrolment, before) if before is not None else (enrolment,)
        rows = self.disk.many(sql + " ORDER BY e.line DESC LIMIT ?", (*values, limit))
        return tuple(own_line(row) for row in rows)

    def own(self, enrolment: int, entry: UUID) -> OwnLine | None:
        row = self.disk.one(SELECT + " AND e.id = ?", (enrolment, str(entry)))
        return None if row is None else own_line(row)

    def speaking_of(self, enrolment: int, entries: Sequence[UUID]) -> tuple[OwnLine, ...]:
        found: dict[int, OwnLine] = {}
        for start in range(0, len(entries), MOST_AT_ONCE):
            some = entries[start : start + MOST_AT_ONCE]
            rows = self.disk.many(_family_of(len(some)), (*map(str, some), enrolment, enrolment))
            found |= {row[0]: own_line(row) for row in rows}
        return tuple(found[place] for place in sorted(found))

    def since(self, enrolment: int, line: int) -> tuple[OwnLine, ...]:
        rows = self.disk.many(SELECT + " AND e.line >= ? ORDER BY e.line", (enrolment, line))
        return tuple(own_line(row) for row in rows)

    _unpulled: tuple[int, int, tuple[OwnLine, ...]] = (-1, -1, ())

    def unpulled(self, enrolment: int) -> tuple[OwnLine, ...]:
        """Every field of a list asks for them: they are read again only after something was written."""
        known_of, known_at, known = self._unpulled
        changes = self.disk.changes
        if (known_of, known_at) != (enrolment, changes):
            rows = self.disk.many(UNPULLED, (enrolment,))
            known = tuple(own_line(row) for row in rows)
            self._unpulled = enrolment, changes, known
        return known

    def needing_hand(self, enrolment: int) -> tuple[OwnLine, ...]:
        rows = self.disk.many(
            SELECT + " AND e.outcome IN ('held', 'refused') AND e.line <= n.handed ORDER BY e.line DESC",
            (enrolment,),
        )
        return tuple(own_line(row) for row in rows)


def _family_of(count: int) -> str:
    """The query for so many entries and what speaks of them: ids, then the enrolment twice."""
    return f"""
        WITH RECURSIVE family (id) AS (
            VALUES {", ".join(["(?)"] * count)}
            UNION
            SELECT n.id FROM family JOIN entries n ON n.names = family.id
                WHERE n.enrolment = ? AND n.kind IN ('correction', 'strike'))
        {SELECT} AND e.id IN (SELECT id FROM family)
    """


def _appended(
    connection: sqlite3.Connection, enrolment: int, new: Sequence[NewLine], shas: Sequence[str]
) -> tuple[OwnLine, ...]:
    last = connection.execute(
        "SELECT line, head FROM entries WHERE enrolment = ? ORDER BY line DESC LIMIT 1", (enrolment,)
    ).fetchone()
    line, head = last or (0, NO_HEAD)
    stored = []
    for one, sha in zip(new, shas, strict=True):
        line, head = line + 1, next_head(head, sha)
        done = connection.execute(
            "INSERT INTO entries (enrolment, line, id, kind, field, round, made_s, raw, sha, head, names)"
            " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
            (
                enrolment,
                line,
                str(one.id),
                one.kind,
                None if one.field is None else str(one.field),
                None if one.round is None else str(one.round),
                one.made_s,
                one.raw,
                sha,
                head,
                None if one.names is None else str(one.names),
            ),
        )
        place = done.lastrowid or 0
        name_photos(connection, enrolment, place, one.photos)
        stored.append(OwnLine(place, line, one.id, sha, one.raw, "waiting"))
    return tuple(stored)


def keep_draft(connection: sqlite3.Connection, enrolment: int, draft: Draft) -> None:
    if draft.tree is None:
        connection.execute("DELETE FROM drafts WHERE enrolment = ? AND name = ?", (enrolment, draft.name))
    else:
        connection.execute(
            "INSERT OR REPLACE INTO drafts (enrolment, name, tree) VALUES (?, ?, ?)",
            (enrolment, draft.name, json.dumps(draft.tree, ensure_ascii=False)),
        )
