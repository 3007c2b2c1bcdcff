"""Where a phone's pulled copy stands, as text that it gives back (contract, W13)."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from functools import lru_cache

from shared.errors import Diverged

PLACES = (
    *("fields", "parts", "piles", "buffers", "towns", "haulers", "vehicles", "people", "sheets", "dues"),
    *("queries", "verdicts", "standings", "entries"),
)
"""The kinds by their bit in a cursor. A new kind goes to the end: cursors out there hold these places."""
CHAIN_LENGTH = 16
MOST = 2**53 - 1
_TEXT = re.compile(
    r"1_([0-9a-f]{8})_(0|[1-9][0-9]{0,15})_([0-9a-f]{16})_(0|[1-9][0-9]{0,15})_(0|[1-9][0-9]{0,15})"
    r"((?:_[0-9a-f]{1,4}-(?:0|[1-9][0-9]{0,15}))*)"
)


@dataclass(frozen=True, slots=True)
class Group:
    """Kinds of rows that have been pulled up to the same turn."""

    kinds: frozenset[str]
    turn: int


@dataclass(frozen=True, slots=True)
class Cursor:
    """``number`` and ``chain`` tie it to the farm's book, ``entries`` is how far the book itself was pulled, and
    ``whole_from`` the turn after which every tombstone is still known. Kinds in ``groups`` are those that the
    app knows; newly learnt ones are a group of their own until they have caught up."""

    era: str
    number: int
    chain: str
    entries: int
    whole_from: int
    groups: tuple[Group, ...]

    def text(self) -> str:
        groups = "".join(f"_{_mask(group.kinds):x}-{group.turn}" for group in self.groups)
        return f"1_{self.era}_{self.number}_{self.chain}_{self.entries}_{self.whole_from}{groups}"

    @property
    def kinds(self) -> frozenset[str]:
        return frozenset().union(*(group.kinds for group in self.groups))

    @property
    def turn(self) -> int:
        """The turn up to which everything known was pulled."""
        return min((group.turn for group in self.groups), default=0)

    def knowing(self, kinds: frozenset[str]) -> Cursor:
        """The cursor of an app that knows these kinds: what it has newly learnt begins at nothing."""
        kept = tuple(Group(group.kinds & kinds, group.turn) for group in self.groups)
        learnt = kinds - self.kinds
        groups = ((Group(learnt, 0),) if learnt else ()) + kept
        entries = 0 if "entries" in learnt else self.entries
        return replace(self, entries=entries, groups=joined(groups))


def joined(groups: tuple[Group, ...]) -> tuple[Group, ...]:
    """Groups at the same turn as one, the one that is furthest behind first."""
    at: dict[int, frozenset[str]] = {}
    for group in groups:
        if group.kinds:
            at[group.turn] = at.get(group.turn, frozenset()) | group.kinds
    return tuple(Group(kinds, turn) for turn, kinds in sorted(at.items()))


@lru_cache(maxsize=256)
def read_cursor(text: str) -> Cursor:
    """The cursor that a phone gives back. Raises ``Diverged`` where it can't be read."""
    found = _TEXT.fullmatch(text)
    if found is None:
        raise Diverged
    era, number, chain, entries, whole_from, rest = found.groups()
    groups = tuple(
        Group(_kinds(int(mask, 16)), int(turn))
        for mask, turn in (one.split("-") for one in rest.split("_") if one)
    )
    numbers = (int(number), int(entries), int(whole_from), *(group.turn for group in groups))
    if max(numbers) > MOST:
        raise Diverged
    return Cursor(era, int(number), chain, int(entries), int(whole_from), joined(groups))


def _mask(kinds: frozenset[str]) -> int:
    return sum(1 << place for place, kind in enumerate(PLACES) if kind in kinds)


def _kinds(mask: int) -> frozenset[str]:
    return frozenset(kind for place, kind in enumerate(PLACES) if mask >> place & 1)
