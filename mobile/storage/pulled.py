"""The phone's copy of the land, the people, the dues and what the desk says of its entries."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Mapping
from typing import Any

from mobile.storage.disk import Disk
from mobile.storage.remembered import Remembered
from shared.wire.pull import Page, read_row

Rows = tuple[Mapping[str, Any], ...]


class Pulled:
    disk: Disk
    remembered: Remembered

    def store_page(self, enrolment: int, page: Page, as_of_line: int) -> None:
        def work(connection: sqlite3.Connection) -> None:
            _write_rows(connection, enrolment, page)
            connection.execute("UPDATE enrolments SET cursor = ? WHERE id = ?", (page.next, enrolment))
            if not page.more:
                connection.execute("DELETE FROM pulled WHERE enrolment = ? AND stale = 1", (enrolment,))
                connection.execute(
                    "UPDATE enrolments SET pulled_line = min(handed, max(pulled_line, ?)) WHERE id = ?",
                    (as_of_line, enrolment),
                )

        self.disk.write(work)
        self.remembered.forget()

    def pull_anew(self, enrolment: int) -> None:
        def work(connection: sqlite3.Connection) -> None:
            connection.execute("UPDATE pulled SET stale = 1 WHERE enrolment = ?", (enrolment,))
            connection.execute("UPDATE enrolments SET cursor = '' WHERE id = ?", (enrolment,))

        self.disk.write(work)

    def rows(self, enrolment: int, kind: str) -> Rows:
        def read() -> Rows:
            found = self.disk.many(
                "SELECT tree FROM pulled WHERE enrolment = ? AND kind = ? ORDER BY id", (enrolment, kind)
            )
            return tuple(json.loads(tree) for (tree,) in found)

        rows: Rows = self.remembered.get(("rows", enrolment, kind), read)
        return rows

    def values(self, enrolment: int, kind: str) -> tuple[Any, ...]:
        def read() -> tuple[Any, ...]:
            return tuple(read_row(kind, row) for row in self.rows(enrolment, kind))

        values: tuple[Any, ...] = self.remembered.get(("values", enrolment, kind), read)
        return values

    def row(self, enrolment: int, kind: str, id: str) -> Mapping[str, Any] | None:
        found = self.disk.one(
            "SELECT tree FROM pulled WHERE enrolment = ? AND kind = ? AND id = ?", (enrolment, kind, id)
        )
        return None if found is None else json.loads(found[0])


def _write_rows(connection: sqlite3.Connection, enrolment: int, page: Page) -> None:
    """What is gone goes first: a row that the page has too has come back since."""
    for kind, ids in page.gone.items():
        connection.executemany(
            "DELETE FROM pulled WHERE enrolment = ? AND kind = ? AND id = ?",
            [(enrolment, kind, str(id)) for id in ids],
        )
    for kind, rows in page.rows.items():
        connection.executemany(
            "INSERT OR REPLACE INTO pulled (enrolment, kind, id, tree) VALUES (?, ?, ?, ?)",
            [(enrolment, kind, str(row["id"]), json.dumps(row, ensure_ascii=False)) for row in rows],
        )
