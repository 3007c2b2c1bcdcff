"""Appending to the book: the one function that gives a number and a link of the farm's chain (contract, W11)."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from typing import NamedTuple
from uuid import UUID

from server.book.bulk import insert
from server.book.models import Receipt, Row
from server.people.models import Farm
from server.people.turns import counted
from shared.sync.chain import chained_on

ROW = (
    *("farm", "number", "phone", "line", "outcome", "code", "detail", "arrived_at", "sha", "raw", "chain"),
    *("entry", "kind", "field", "by", "made_at", "done_at", "round", "names", "day"),
)
RECEIPT = ("phone", "line", "sha", "outcome", "was", "code", "number", "head")


class Derived(NamedTuple):
    """What the columns of a row say of its bytes, for looking it up."""

    kind: str | None = None
    field: UUID | None = None
    by: UUID | None = None
    made_at: datetime | None = None
    done_at: datetime | None = None
    round: UUID | None = None
    names: UUID | None = None
    day: date | None = None


class New(NamedTuple):
    """A line that takes the next number."""

    phone: UUID
    line: int
    outcome: str
    code: str | None
    detail: str | None
    sha: str
    raw: bytes | None
    entry: UUID | None
    derived: Derived


class NewReceipt(NamedTuple):
    """What a line was answered. ``number`` is where its sha stands in the book."""

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
    told = [(new.phone, new.line, new.outcome, new.code, new.sha) for new in lines]
    chains = chained_on(farm.chain, first, told, arrived_at)
    rows = []
    for number, (new, chain) in enumerate(zip(lines, chains, strict=True), first):
        phone, line, outcome, code, detail, sha, raw, entry, derived = new
        rows.append(
            [
                farm.id,
                number,
                phone,
                line,
                outcome,
                code,
                detail,
                arrived_at,
                sha,
                raw,
                chain,
                entry,
                *derived,
            ]
        )
    insert(Row, ROW, rows)
    farm.number, farm.chain = first + len(lines) - 1, chains[-1]
    Farm.objects.filter(id=farm.id).update(chain=farm.chain)
    return first


def keep_receipts(phone: UUID, receipts: Sequence[NewReceipt]) -> None:
    """Receipts are kept for ever: what a line was answered once it is answered always."""
    insert(
        Receipt,
        RECEIPT,
        [[phone, *receipt] for receipt in receipts],
    )
