"""The two hash chains: a phone's lines (contract, W6) and a farm's book (W11)."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import lru_cache
from uuid import UUID

NO_HEAD = "0" * 64
"""``head(0)``: a phone that has written nothing."""


def next_head(head: str, sha: str) -> str:
    """``head(n)``: the SHA-256 of the 64 hex characters of head(n - 1) followed by the 64 of sha(n)."""
    return hashlib.sha256((head + sha).encode("ascii")).hexdigest()


def head_over(shas: Iterable[str], head: str = NO_HEAD) -> str:
    """The head after these lines, in order."""
    for one in shas:
        head = next_head(head, one)
    return head


@dataclass(frozen=True, slots=True)
class BookRow:
    """What the farm's chain covers of one book line. ``arrived_at`` is an aware time, to the microsecond."""

    number: int
    phone: UUID
    line: int
    outcome: str
    code: str | None
    arrived_at: datetime
    sha: str

    def text(self) -> str:
        """``row(n)``: number, phone, line, outcome, code or ``-``, time in UTC, sha, joined by 0x0A."""
        at = arrival_text(self.arrived_at)
        return row_text(self.number, str(self.phone), self.line, self.outcome, self.code, at, self.sha)


def row_text(number: int, phone: str, line: int, outcome: str, code: str | None, at: str, sha: str) -> str:
    return f"{number}\n{phone}\n{line}\n{outcome}\n{code or '-'}\n{at}\n{sha}"


@lru_cache(maxsize=64)
def arrival_text(at: datetime) -> str:
    """A time of arrival as the chain covers it: UTC, microseconds, Z."""
    return at.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%S.%fZ")


def first_chain(farm: UUID) -> str:
    """``chain(0)``: the SHA-256 of the farm's UUID text."""
    return hashlib.sha256(str(farm).encode("ascii")).hexdigest()


def next_chain(chain: str, row: BookRow) -> str:
    """``chain(n)``: the SHA-256 of chain(n - 1), 0x0A, row(n)."""
    return hashlib.sha256(f"{chain}\n{row.text()}".encode()).hexdigest()


def chained_on(
    chain: str,
    first: int,
    lines: Iterable[tuple[UUID, int, str, str | None, str, *tuple[object, ...]]],
    arrived_at: datetime,
) -> list[str]:
    """The chain after each of these rows, numbered from ``first`` on, that arrived at one time: ``next_chain`` row
    by row, in one pass. Each line begins with what its row is chained by: phone, line, outcome, code, sha."""
    at = arrival_text(arrived_at)
    chains = []
    before: UUID | None = None
    phone_text = ""
    for number, (phone, line, outcome, code, sha, *_) in enumerate(lines, first):
        if phone is not before:
            before, phone_text = phone, str(phone)
        row = row_text(number, phone_text, line, outcome, code, at, sha)
        chain = hashlib.sha256(f"{chain}\n{row}".encode()).hexdigest()
        chains.append(chain)
    return chains
