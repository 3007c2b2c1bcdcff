"""The numbered steps by which the phone's storage came to its shape. A step once shipped never changes."""

from __future__ import annotations

import json
import sqlite3

from mobile.trouble import BookNewer

FIRST = """
CREATE TABLE enrolments (
    id INTEGER PRIMARY KEY,
    farm TEXT NOT NULL UNIQUE,
    name TEXT NOT NULL,
    zone TEXT NOT NULL,
    units TEXT NOT NULL,
    phone TEXT NOT NULL,
    address TEXT NOT NULL,
    token TEXT NOT NULL,
    pin TEXT,
    next_token TEXT,
    nonce TEXT,
    standing TEXT NOT NULL DEFAULT 'live',
    handed INTEGER NOT NULL DEFAULT 0,
    pulled_line INTEGER NOT NULL DEFAULT 0,
    safe INTEGER NOT NULL DEFAULT 0,
    cursor TEXT NOT NULL DEFAULT '',
    handed_at TEXT,
    skew_ms INTEGER NOT NULL DEFAULT 0,
    rolled_at TEXT
);
CREATE TABLE entries (
    place INTEGER PRIMARY KEY AUTOINCREMENT,
    enrolment INTEGER NOT NULL REFERENCES enrolments (id),
    line INTEGER NOT NULL,
    id TEXT NOT NULL,
    kind TEXT NOT NULL,
    field TEXT,
    round TEXT,
    made_s INTEGER NOT NULL,
    raw BLOB NOT NULL,
    sha TEXT NOT NULL,
    head TEXT NOT NULL,
    outcome TEXT,
    number INTEGER,
    code TEXT,
    detail TEXT
);
CREATE UNIQUE INDEX entries_by_line ON entries (enrolment, line);
CREATE UNIQUE INDEX entries_by_id ON entries (enrolment, id);
CREATE INDEX entries_needing_hand ON entries (enrolment, line) WHERE outcome IN ('held', 'refused');
CREATE TRIGGER entries_never_rewritten BEFORE UPDATE OF id, kind, field, round, made_s, raw, sha ON entries
    BEGIN SELECT RAISE(ABORT, 'an entry is never written again'); END;
CREATE TRIGGER entries_never_lost BEFORE DELETE ON entries
    WHEN OLD.outcome IS NULL OR OLD.outcome = 'refused'
        OR OLD.line > (SELECT min(handed, safe) FROM enrolments WHERE id = OLD.enrolment)
    BEGIN SELECT RAISE(ABORT, 'this entry stands nowhere else'); END;
CREATE TABLE pulled (
    enrolment INTEGER NOT NULL,
    kind TEXT NOT NULL,
    id TEXT NOT NULL,
    tree TEXT NOT NULL,
    stale INTEGER NOT NULL DEFAULT 0,
    PRIMARY KEY (enrolment, kind, id)
);
CREATE TABLE drafts (
    enrolment INTEGER NOT NULL,
    name TEXT NOT NULL,
    tree TEXT NOT NULL,
    PRIMARY KEY (enrolment, name)
);
CREATE TABLE settings (name TEXT PRIMARY KEY, value TEXT NOT NULL);
"""

PHOTOS = """
CREATE TABLE photos (
    enrolment INTEGER NOT NULL REFERENCES enrolments (id),
    sha256 TEXT NOT NULL,
    bytes INTEGER NOT NULL,
    type TEXT NOT NULL,
    place INTEGER NOT NULL,
    state TEXT NOT NULL DEFAULT 'waiting',
    PRIMARY KEY (enrolment, sha256)
);
CREATE INDEX photos_by_place ON photos (enrolment, place);
"""

NAMES = """
ALTER TABLE entries ADD COLUMN names TEXT;
UPDATE entries SET names = named_in(raw) WHERE kind IN ('correction', 'strike', 'answer', 'query');
CREATE INDEX entries_by_named ON entries (names) WHERE names IS NOT NULL;
DROP TRIGGER entries_never_rewritten;
CREATE TRIGGER entries_never_rewritten
    BEFORE UPDATE OF id, kind, field, round, made_s, raw, sha, names ON entries
    BEGIN SELECT RAISE(ABORT, 'an entry is never written again'); END;
"""
"""What an entry names is looked up by: one entry with all that speaks of it, however old it is."""

STEPS: tuple[str, ...] = (FIRST, PHOTOS, NAMES)


def climb(connection: sqlite3.Connection, steps: tuple[str, ...] = STEPS) -> None:
    """Bring the storage up to the newest step, each step one transaction. Raises ``BookNewer``."""
    (has,) = connection.execute("PRAGMA user_version").fetchone()
    if has > len(steps):
        raise BookNewer(has, len(steps))
    connection.create_function("named_in", 1, _named_in, deterministic=True)
    for number in range(has, len(steps)):
        connection.executescript(
            f"BEGIN IMMEDIATE;\n{steps[number]}\nPRAGMA user_version = {number + 1};\nCOMMIT;"
        )


def _named_in(raw: bytes) -> str | None:
    """The entry that a line names; None for a line that can't be read."""
    try:
        found = json.loads(raw).get("names")
    except (ValueError, AttributeError):
        return None
    return found if isinstance(found, str) else None
