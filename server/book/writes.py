"""Appending to the book: the one function that gives a number and a link of the farm's chain (contract, W11)."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from itertools import count
from typing import NamedTuple
from uuid import UUID

from server.book.bulk import insert
from server.book.models import Receipt, Row
from server.people.models import Farm
from server.people.turns import counted
from shared.sync.chain import chained_on

ROW = (
    *("farm", "number", "phone", "line", "outcome", "code", "detail", "arrived_at", "sha", "raw"),
    *("entry", "head", "chain"),
)
RECEIPT = ("phone", "line", "sha", "outcome", "was", "code", "number", "head")


class New(NamedTuple):
    """A line that takes the next number. ``head`` is its phone's after it, None where it came apart from the phone's
    own sequence and is no receipt."""

    phone: UUID
    line: int
    outcome: str
    code: str | None
    sha: str
    detail: str | None
    raw: bytes | None
    entry: UUID | None
    head: str | None


class NewReceipt(NamedTuple):
    """What a line was answered that was in the book already. ``number`` is where its sha stands."""

    line: int
    sha: str
    outcome: str
    was: str | None
    code: str | None
    number: int
    head: str


def append(farm: Farm, lines: Sequence[New], arrived_at: datetime) -> int:
    """Give these lines the farm's next numbers, in order, and answer with the first of them.

    Inside the accepting transaction; ``farm`` is the farm's row as that transaction has locked it, and is left
    with the number and chain after these lines."""
    if not lines:
        return farm.number + 1
    first = counted(farm.id, numbers=len(lines))[0] - len(lines) + 1
    chains = chained_on(farm.chain, first, lines, arrived_at)
    key = farm.id
    rows = [
        [key, number, phone, line, outcome, code, detail, arrived_at, sha, raw, entry, head, chain]
        for number, (phone, line, outcome, code, sha, detail, raw, entry, head), chain in zip(
            count(first), lines, chains, strict=False
        )
    ]
    insert(Row, ROW, rows)
    farm.number, farm.chain = first + len(lines) - 1, chains[-1]
    Farm.objects.filter(id=farm.id).update(chain=farm.chain)
    return first


def keep_receipts(phone: UUID, receipts: Sequence[NewReceipt]) -> None:
    """Receipts are kept for ever: what a line was answered once it is answered always."""
    insert(Receipt, RECEIPT, [[phone, *receipt] for receipt in receipts])
