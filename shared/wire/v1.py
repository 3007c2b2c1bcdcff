"""Version 1 of the contract: an entry's envelope and bodies as JSON objects, and back."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date
from typing import Any
from uuid import UUID

from shared.errors import Unsound
from shared.wire import scalars
from shared.wire.codec import Reader, reader, value_reader, written
from shared.wire.upgrade import NEWEST, upgraded
from shared.words.bodies import KINDS, Body
from shared.words.entry import Entry, Photo
from shared.words.moment import Moment
from shared.words.place import Position

VERSION = 1
OLDEST_APP = "0.1.0"
"""The oldest app that reads every row and rule sheet of this version (W17). An older one hands in alone."""
MOST_ENTRY_BYTES = 65_536
DEEPEST = 8

BODY_READERS: dict[str, Reader] = {
    kind: value_reader(cls, "body") for kind, cls in KINDS.items() if kind != "correction"
}
ENVELOPE = [
    "id",
    "kind",
    "edition",
    "made_at",
    "boot",
    "mono_ms",
    "done_at",
    "by",
    "done_by",
    "field",
    "part",
    "land",
    "at",
    "round",
    "stop",
    "body",
    "names",
    "sheets",
    "from_paper",
    "photos",
]
_KEYS = frozenset(ENVELOPE)
_VERSION = re.compile(r"(\d{1,6})\.(\d{1,6})\.(\d{1,6})", re.ASCII)
_POSITION = value_reader(Position, "at")
_PHOTOS = reader(tuple[Photo, ...], "photos")
_SHEETS = reader(tuple[str, ...], "sheets")


def is_older(app: str, than: str) -> bool:
    """Whether the app of this version is older than another. What is no version is not: nobody is shut out for it."""
    mine, other = _VERSION.fullmatch(app), _VERSION.fullmatch(than)
    if mine is None or other is None:
        return False
    return [*map(int, mine.groups())] < [*map(int, other.groups())]


def entry_from(tree: Any) -> Entry:
    """The entry that a parsed JSON object says, or ``Unsound`` with the code and the key (W1)."""
    if type(tree) is not dict:
        raise Unsound("not_object")
    if tree.keys() != _KEYS:
        for key in tree:
            if key not in _KEYS:
                raise Unsound("unknown_key", key)
        raise Unsound("missing_key", next(key for key in ENVELOPE if key not in tree))
    kind = scalars.text(tree["kind"], "kind")
    edition = scalars.count(tree["edition"], "edition")
    body = body_from(kind, edition, tree["body"])
    return Entry(
        id=scalars.identity(tree["id"], "id"),
        kind=kind,
        edition=edition,
        made_at=scalars.moment(tree["made_at"], "made_at"),
        boot=_maybe_id(tree["boot"], "boot"),
        mono_ms=_maybe_count(tree["mono_ms"], "mono_ms"),
        done_at=_done_at(tree["done_at"]),
        by=scalars.identity(tree["by"], "by"),
        done_by=_done_by(tree["done_by"]),
        field=_maybe_id(tree["field"], "field"),
        part=_maybe_id(tree["part"], "part"),
        land=_maybe_count(tree["land"], "land"),
        at=None if tree["at"] is None else _POSITION(tree["at"]),
        round=_maybe_id(tree["round"], "round"),
        stop=_maybe_count(tree["stop"], "stop"),
        body=body,
        names=_maybe_id(tree["names"], "names"),
        sheets=_SHEETS(tree["sheets"]),
        from_paper=scalars.flag(tree["from_paper"], "from_paper"),
        photos=_PHOTOS(tree["photos"]),
    )


def body_from(kind: str, edition: int, tree: Any) -> Body:
    """A body of this kind and edition, brought up to the newest edition step by step."""
    if kind not in KINDS:
        raise Unsound("unknown_kind", "kind", kind)
    if not 1 <= edition <= NEWEST.get(kind, 1):
        raise Unsound("newer_edition", "edition", str(edition))
    tree = upgraded(kind, edition, tree)
    if kind == "correction":
        return _correction_from(tree)
    body: Body = BODY_READERS[kind](tree)
    return body


def _correction_from(tree: Any) -> Body:
    """The replacement is read as a body of the kind that the correction says it speaks of."""
    of = tree.get("of") if type(tree) is dict else None
    if type(of) is str and of not in KINDS:
        raise Unsound("unknown_kind", "body.of", of)
    inner = BODY_READERS.get(of) if type(of) is str else None
    if of in ("correction", "strike"):
        raise Unsound("contradiction", "body.of", "a correction replaces a fact, not a correction")
    special: Mapping[str, Reader] = {"body": inner} if inner else {"body": lambda value: value}
    body: Body = value_reader(KINDS["correction"], "body", special)(tree)
    return body


def _maybe_id(value: Any, where: str) -> UUID | None:
    return None if value is None else scalars.identity(value, where)


def _maybe_count(value: Any, where: str) -> int | None:
    return None if value is None else scalars.count(value, where)


def _done_at(value: Any) -> Moment | date | None:
    if value is None:
        return None
    if type(value) is str and scalars.DAY.fullmatch(value):
        return scalars.day(value, "done_at")
    return scalars.moment(value, "done_at")


def _done_by(value: Any) -> UUID | str | None:
    if type(value) is str and scalars.UUID_TEXT.fullmatch(value):
        return UUID(value)
    return None if value is None else scalars.text(value, "done_by")


def entry_tree(entry: Entry) -> dict[str, Any]:
    """An entry as the JSON object that travels, its keys in the contract's order."""
    return {key: written(getattr(entry, key)) for key in ENVELOPE}
