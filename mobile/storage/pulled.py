"""The phone's copy of the land, the people, the dues and what the desk says of its entries."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Mapping
from typing import Any

from mobile.storage.disk import Disk
from shared.wire.pull import Page

Rows = tuple[Mapping[str, Any], ...]


class Pulled:
    disk: Disk
    _read_rows: dict[tuple[int, str], tuple[int, Rows]]

    def store_page(self, enrolment: int, page: Page, as_of_line: int) -> None:
        def work(connection: sqlite3.Connection) -> None:
            _write_rows(connection, enrolment, page)
            connection.execute(
                "UPDATE enrolments SET cursor = ?, copy = copy + 1 WHERE id = ?", (page.next, enrolment)
            )
            if not page.more:
                connection.execute("DELETE FROM pulled WHERE enrolment = ? AND stale = 1", (enrolment,))
                connection.execute(
                    "UPDATE enrolments SET pulled_line = min(handed, max(pulled_line, ?)) WHERE id = ?",
                    (as_of_line, enrolment),
                )

        self.disk.write(work)

    def pull_anew(self, enrolment: int) -> None:
        def work(connection: sqlite3.Connection) -> None:
            connection.execute("UPDATE pulled SET stale = 1 WHERE enrolment = ?", (enrolment,))
            connection.execute("UPDATE enrolments SET cursor = '' WHERE id = ?", (enrolment,))

        self.disk.write(work)

    def rows(self, enrolment: int, kind: str) -> Rows:
        """All rows of a kind, by id. Read again only after a page was stored."""
        now = self.disk.one("SELECT copy FROM enrolments WHERE id = ?", (enrolment,))
        copy = now[0] if now else -1
        known = self._read_rows.get((enrolment, kind))
        if known is not None and known[0] == copy:
            return known[1]
        found = tuple(
            json.loads(tree)
            for (tree,) in self.disk.many(
                "SELECT tree FROM pulled WHERE enrolment = ? AND kind = ? ORDER BY id", (enrolment, kind)
            )
        )
        self._read_rows[enrolment, kind] = (copy, found)
        return found

    def row(self, enrolment: int, kind: str, id: str) -> Mapping[str, Any] | None:
        found = self.disk.one(
            "SELECT tree FROM pulled WHERE enrolment = ? AND kind = ? AND id = ?", (enrolment, kind, id)
        )
        return None if found is None else json.loads(found[0])


def _write_rows(connection: sqlite3.Connection, enrolment: int, page: Page) -> None:
    for kind, rows in page.rows.items():
        connection.executemany(
            "INSERT OR REPLACE INTO pulled (enrolment, kind, id, tree) VALUES (?, ?, ?, ?)",
            [(enrolment, kind, str(row["id"]), json.dumps(row, ensure_ascii=False)) for row in rows],
        )
    for kind, ids in page.gone.items():
        connection.executemany(
            "DELETE FROM pulled WHERE enrolment = ? AND kind = ? AND id = ?",
            [(enrolment, kind, str(id)) for id in ids],
        )
