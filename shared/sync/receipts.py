"""What happens to each line of a push, in the contract's order of looking: size, sha, soundness, id (W8).

The server looks the facts up, this judges, the server writes what was judged: one table for every database.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Set
from dataclasses import dataclass, field
from typing import Literal, NamedTuple
from uuid import UUID

from shared.errors import Fork, Gap, TooLarge, Unsound
from shared.sync.chain import next_head
from shared.words.entry import Entry, Outcome

First = Literal["kept", "held", "refused"]


class Arrival(NamedTuple):
    """One line of a push: its bytes with their sha, or a line that *stays* on the phone (no bytes)."""

    line: int
    sha: str
    raw: bytes | None
    size: int


@dataclass(frozen=True, slots=True)
class Known:
    """What became of a sha or a line the first time: its outcome, its why, its number in the book."""

    sha: str
    outcome: First
    code: str | None
    number: int


class Ruling(NamedTuple):
    """What became of one line. ``was`` says what it was the first time, where the outcome is ``already``;
    ``fresh`` rulings take the next number of the book, and ``number`` is None until they have it."""

    line: int
    sha: str
    outcome: Outcome
    head: str
    was: First | None = None
    code: str | None = None
    detail: str | None = None
    number: int | None = None
    raw: bytes | None = None
    entry: Entry | None = None
    entry_id: UUID | None = None
    moved: bool = True
    """Whether it moved the head; a line sent again up to the head did not."""

    @property
    def fresh(self) -> bool:
        return self.moved and self.outcome != "already"


@dataclass(frozen=True, slots=True)
class Enrolment:
    """How far a phone's lines stand at the server: the last line and its head."""

    line: int
    head: str


@dataclass(frozen=True, slots=True)
class Facts:
    """What the server looked up for a push: the receipts of lines it already has, the shas and ids that are
    already in this farm, the fields and people that were ever its own (None: not to be checked)."""

    receipts: Mapping[int, Known] = field(default_factory=dict)
    by_sha: Mapping[str, Known] = field(default_factory=dict)
    by_id: Mapping[UUID, str] = field(default_factory=dict)
    fields: Set[UUID] | None = None
    people: Set[UUID] | None = None


def placed(enrolment: Enrolment, first: int, prev: str, head_before: Callable[[int], str | None]) -> None:
    """Whether a push that begins at line ``first`` fits on. ``head_before(n)`` is the head after line n.

    Raises ``Gap`` where the phone is ahead, ``Fork`` where its past is another than the server's."""
    if first > enrolment.line + 1:
        raise Gap(enrolment.line + 1)
    expected = enrolment.head if first == enrolment.line + 1 else head_before(first - 1)
    if prev != expected:
        raise Fork(first - 1)


def judge(
    enrolment: Enrolment,
    arrivals: list[Arrival],
    facts: Facts,
    decode: Callable[[bytes], Entry],
    most_bytes: int,
) -> list[Ruling]:
    """A ruling for each line, in order. Raises ``Fork`` where a line up to the head has another sha."""
    head, at = enrolment.head, enrolment.line
    rulings: list[Ruling] = []
    now_known: dict[str, Ruling] = {}
    now_ids: dict[UUID, str] = {}
    for one in arrivals:
        if one.line <= at:
            rulings.append(_again(one, facts, head))
            continue
        head = next_head(head, one.sha)
        at = one.line
        ruling = _fresh(one, facts, now_known, now_ids, head, decode, most_bytes)
        rulings.append(ruling)
        now_known.setdefault(one.sha, ruling)
        if ruling.outcome == "held" and ruling.entry_id is not None:
            now_ids.setdefault(ruling.entry_id, one.sha)
    return rulings


def _again(one: Arrival, facts: Facts, head: str) -> Ruling:
    known = facts.receipts.get(one.line)
    if known is None or known.sha != one.sha:
        raise Fork(one.line)
    return Ruling(
        one.line, one.sha, "already", head, known.outcome, known.code, number=known.number, moved=False
    )


def _fresh(
    one: Arrival,
    facts: Facts,
    now_known: Mapping[str, Ruling],
    now_ids: dict[UUID, str],
    head: str,
    decode: Callable[[bytes], Entry],
    most_bytes: int,
) -> Ruling:
    if one.raw is None or one.size > most_bytes:
        return Ruling(one.line, one.sha, "refused", head, code="too_large", detail=f"{one.size} bytes")
    known = facts.by_sha.get(one.sha)
    if known is not None:
        return Ruling(one.line, one.sha, "already", head, known.outcome, known.code, number=known.number)
    twin = now_known.get(one.sha)
    if twin is not None:
        was = twin.was or twin.outcome
        assert was != "already"
        return Ruling(one.line, one.sha, "already", head, was, twin.code, number=twin.number)
    try:
        entry = decode(one.raw)
        _of_this_farm(entry, facts)
    except TooLarge:
        return Ruling(one.line, one.sha, "refused", head, code="too_large", detail=f"{one.size} bytes")
    except Unsound as unsound:
        detail = f"{unsound.where}: {unsound.detail}".strip(": ")
        return Ruling(
            one.line,
            one.sha,
            "held",
            head,
            code=unsound.why,
            detail=detail,
            raw=one.raw,
            entry_id=unsound.entry_id,
        )
    other = (facts.by_id.get(entry.id) if facts.by_id else None) or now_ids.setdefault(entry.id, one.sha)
    if other != one.sha:
        return Ruling(one.line, one.sha, "held", head, code="id_conflict", raw=one.raw)
    return Ruling(one.line, one.sha, "kept", head, raw=one.raw, entry=entry, entry_id=entry.id)


def _of_this_farm(entry: Entry, facts: Facts) -> None:
    """A field or person that was never this farm's is held: it may be one that a restore took away (I13)."""
    stranger = None
    if facts.fields is not None and entry.field is not None and entry.field not in facts.fields:
        stranger = Unsound("unknown_field", "field", str(entry.field))
    elif facts.people is not None:
        for where, who in (("by", entry.by), ("done_by", entry.done_by)):
            if isinstance(who, UUID) and who not in facts.people:
                stranger = Unsound("unknown_person", where, str(who))
    if stranger is not None:
        stranger.entry_id = entry.id
        raise stranger
