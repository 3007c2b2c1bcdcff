"""The farms that this phone is in, and who it is in each."""

from __future__ import annotations

import json
import sqlite3
from datetime import datetime
from typing import Any
from uuid import UUID

from mobile.ports import Enrolment, Standing
from mobile.replies import Link
from mobile.storage.disk import Disk
from mobile.storage.photos import send_photos_again
from mobile.storage.remembered import Remembered
from shared.sync.chain import NO_HEAD, next_head
from shared.wire.pull import Joined, row_tree
from shared.wire.scalars import moment, written_moment
from shared.words.farm import Farm
from shared.words.moment import Moment

SELECT = """
SELECT id, farm, name, zone, units, phone, address, token, pin, next_token, nonce, standing, handed,
    pulled_line, safe, cursor, handed_at, skew_ms, rolled_at,
    (SELECT max(line) FROM entries WHERE enrolment = enrolments.id) AS line
FROM enrolments
"""


def _at(text: str | None) -> Moment | None:
    return None if text is None else moment(text, "")


def _enrolment(row: tuple[Any, ...]) -> Enrolment:
    (id, farm, name, zone, units, phone, address, token, pin, next_token, nonce, standing) = row[:12]
    (handed, pulled_line, safe, cursor, handed_at, skew_ms, rolled_at, line) = row[12:]
    return Enrolment(
        id=id,
        farm=Farm(UUID(farm), name, zone, units),
        phone=UUID(phone),
        link=Link(address, token, pin),
        next_token=next_token,
        standing=standing,
        line=line or 0,
        handed=handed,
        pulled_line=pulled_line,
        safe=safe,
        cursor=cursor,
        handed_at=_at(handed_at),
        skew_ms=skew_ms,
        nonce=nonce,
        rolled_at=_at(rolled_at),
    )


class Enrolments:
    disk: Disk
    remembered: Remembered

    _known: tuple[int, tuple[Enrolment, ...]] = (-1, ())

    def enrolments(self) -> tuple[Enrolment, ...]:
        """Every sentence on the screen asks for them: they are read again only after something was written."""
        changes, known = self._known
        if changes != self.disk.changes:
            changes = self.disk.changes
            known = tuple(_enrolment(row) for row in self.disk.many(SELECT + "ORDER BY id"))
            self._known = changes, known
        return known

    def enrolment(self, enrolment: int) -> Enrolment:
        row = self.disk.one(SELECT + "WHERE id = ?", (enrolment,))
        if row is None:
            raise KeyError(enrolment)
        return _enrolment(row)

    def enrol(self, joined: Joined, link: Link) -> Enrolment:
        id = self.disk.write(lambda connection: _enrol(connection, joined, link))
        self.remembered.forget()
        return self.enrolment(id)

    def restand(self, enrolment: int, standing: Standing) -> None:
        self._change(enrolment, "standing = ?", standing)

    def keep_nonce(self, enrolment: int, nonce: str) -> None:
        self._change(enrolment, "nonce = ?", nonce)

    def keep_next_token(self, enrolment: int, token: str) -> None:
        self._change(enrolment, "next_token = ?", token)

    def use_token(self, enrolment: int, token: str, at: datetime) -> None:
        self._change(enrolment, "token = ?, next_token = NULL, rolled_at = ?", token, written_moment(at))

    def heard(self, enrolment: int, at: datetime, skew_ms: int | None, as_of_line: int) -> None:
        self._change(
            enrolment,
            "handed_at = ?, skew_ms = coalesce(?, skew_ms), pulled_line = min(handed, max(pulled_line, ?))",
            written_moment(at),
            skew_ms,
            as_of_line,
        )

    def _change(self, enrolment: int, columns: str, *values: object) -> None:
        self.disk.write(
            lambda connection: connection.execute(
                f"UPDATE enrolments SET {columns} WHERE id = ?", (*values, enrolment)
            )
        )


def _enrol(connection: sqlite3.Connection, joined: Joined, link: Link) -> int:
    """A farm is known by its own id: joined again, it keeps its entries, numbered anew from 1 (W4b)."""
    farm = joined.farm
    (id,) = connection.execute(
        """
        INSERT INTO enrolments (farm, name, zone, units, phone, address, token, pin, rolled_at)
        VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)
        ON CONFLICT (farm) DO UPDATE SET
            name = excluded.name, zone = excluded.zone, units = excluded.units, phone = excluded.phone,
            address = excluded.address, token = excluded.token, pin = excluded.pin, next_token = NULL,
            nonce = NULL, standing = 'live', handed = 0, pulled_line = 0, safe = 0, cursor = '',
            rolled_at = excluded.rolled_at
        RETURNING id
        """,
        (
            str(farm.id),
            farm.name,
            farm.zone,
            farm.units,
            str(joined.phone),
            link.address,
            joined.token,
            link.pin,
            joined.server_time.text,
        ),
    ).fetchone()
    connection.execute("UPDATE pulled SET stale = 1 WHERE enrolment = ?", (id,))
    connection.executemany(
        "INSERT OR REPLACE INTO pulled (enrolment, kind, id, tree) VALUES (?, 'people', ?, ?)",
        [(id, str(one.id), json.dumps(row_tree(one))) for one in joined.people],
    )
    _number_anew(connection, id)
    send_photos_again(connection, id)
    return int(id)


def _number_anew(connection: sqlite3.Connection, enrolment: int) -> None:
    head = NO_HEAD
    kept = connection.execute(
        "SELECT place, sha FROM entries WHERE enrolment = ? ORDER BY line", (enrolment,)
    ).fetchall()
    changes = []
    for line, (place, sha) in enumerate(kept, start=1):
        head = next_head(head, sha)
        changes.append((line, head, place))
    # A new line is never above the old one, so going up no two rows meet.
    connection.executemany(
        "UPDATE entries SET line = ?, head = ?, outcome = NULL, number = NULL, code = NULL, detail = NULL"
        " WHERE place = ?",
        changes,
    )
