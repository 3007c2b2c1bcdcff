"""A page of a pull, and the answers to joining, as JSON objects (contract, W4, W12)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any
from uuid import UUID

from shared.errors import Unsound
from shared.wire import scalars
from shared.wire.codec import Reader, value_reader, written
from shared.words.due import Due
from shared.words.farm import Farm, SheetInForce
from shared.words.field import Buffer, Field, Part, Pile
from shared.words.moment import Moment
from shared.words.person import Person
from shared.words.town import Hauler, Town, Vehicle
from shared.words.verdict import Asked, Verdict

ROWS: dict[str, type[Any]] = {
    "fields": Field,
    "parts": Part,
    "piles": Pile,
    "buffers": Buffer,
    "towns": Town,
    "haulers": Hauler,
    "vehicles": Vehicle,
    "people": Person,
    "sheets": SheetInForce,
    "dues": Due,
    "queries": Asked,
    "verdicts": Verdict,
}
"""The kinds of row that a phone pulls as values; each row has an ``id``. ``standings`` (a field's status) and
``entries`` (book rows, for a phone that asks) travel as plain objects beside them."""

KINDS_PULLED = (*ROWS, "standings", "entries")
_READERS: dict[str, Reader] = {kind: value_reader(cls, kind) for kind, cls in ROWS.items()}


@dataclass(frozen=True, slots=True)
class Page:
    """Rows changed since a cursor, ids gone since, and where to go on. Its cursor is stored with it."""

    rows: Mapping[str, Sequence[Mapping[str, Any]]]
    gone: Mapping[str, Sequence[str]]
    next: str
    more: bool


def row_tree(value: Any) -> dict[str, Any]:
    """A row as it travels."""
    tree: dict[str, Any] = written(value)
    return tree


def read_row(kind: str, tree: Any) -> Any:
    """A pulled row as its value. A key that this app does not know yet is left out, not refused."""
    cls = ROWS[kind]
    known = {one: tree[one] for one in tree if one in cls.__slots__ or one.rstrip("_") in cls.__slots__}
    return _READERS[kind](known)


def page_tree(page: Page) -> dict[str, Any]:
    return {"rows": dict(page.rows), "gone": dict(page.gone), "next": page.next, "more": page.more}


def read_page(tree: Any) -> Page:
    """A page that a phone heard; raises ``Unsound`` where it is none (half a body, another server)."""
    if type(tree) is not dict or not {"rows", "gone", "next", "more"} <= tree.keys():
        raise Unsound("wrong_type", "page")
    for part in ("rows", "gone"):
        if type(tree[part]) is not dict or any(type(rows) is not list for rows in tree[part].values()):
            raise Unsound("wrong_type", part)
    return Page(
        tree["rows"], tree["gone"], scalars.text(tree["next"], "next"), scalars.flag(tree["more"], "more")
    )


@dataclass(frozen=True, slots=True)
class JoinRequest:
    """What a phone says to join: the slip's code, a nonce of its own, what it is."""

    code: str
    nonce: str
    label: str
    platform: str
    app: str


@dataclass(frozen=True, slots=True)
class Joined:
    """The answer 201 to joining. ``people`` is never empty."""

    phone: UUID
    token: str
    farm: Farm
    people: tuple[Person, ...]
    server_time: Moment


@dataclass(frozen=True, slots=True)
class Hello:
    """What a server says of itself: versions, limits, time."""

    wire: tuple[int, ...]
    server: str
    most_lines: int
    most_bytes: int
    server_time: Moment


_JOIN: Reader = value_reader(JoinRequest, "")
_JOINED: Reader = value_reader(Joined, "")
_HELLO: Reader = value_reader(Hello, "")


def read_join(tree: Any) -> JoinRequest:
    request: JoinRequest = _JOIN(tree)
    return request


def read_joined(tree: Any) -> Joined:
    joined: Joined = _JOINED(tree)
    return joined


def read_hello(tree: Any) -> Hello:
    hello: Hello = _HELLO(tree)
    return hello


def tree_of(value: Joined | JoinRequest | Hello) -> dict[str, Any]:
    tree: dict[str, Any] = written(value)
    return tree


@dataclass(frozen=True, slots=True)
class Problem:
    """An error as RFC 9457 writes it, with a stable ``code``; ``more`` are further members."""

    code: str
    title: str
    status: int
    detail: str = ""
    more: Mapping[str, Any] = field(default_factory=dict)


def problem_tree(problem: Problem) -> dict[str, Any]:
    """``type`` is relative: a problem is known by its code."""
    tree: dict[str, Any] = {
        "type": f"problems/{problem.code}",
        "title": problem.title,
        "status": problem.status,
    }
    if problem.detail:
        tree["detail"] = problem.detail
    return tree | {"code": problem.code} | dict(problem.more)
