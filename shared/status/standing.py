"""What each fact stands as after corrections and strikes (contract, W2).

The highest book number wins and clocks never decide. Past a strike nothing revives but a correction that
names the strike. On a phone its own unsent entries rank last, by line.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from uuid import UUID

from shared.status.fact import Fact, FactMark, Hands, Initials, Order
from shared.status.family import Book, noticed, plain, root_of, settled
from shared.words.bodies.reading import Correction, Reading, Strike
from shared.words.entry import Written
from shared.words.finding import Finding, in_order

__all__ = ["Fact", "FactMark", "Hands", "Initials", "Order", "Standing", "plain", "root_of", "standing"]

NOBODY = Hands()
Families = dict[UUID, list[Written]]


@dataclass(frozen=True, slots=True)
class Standing:
    """``facts``: every fact, struck ones too, in book order. ``findings``: for the evening reading."""

    facts: tuple[Fact, ...]
    findings: tuple[Finding, ...]

    @property
    def in_force(self) -> tuple[Fact, ...]:
        return tuple(one for one in self.facts if not one.struck)


def standing(
    written: Iterable[Written], hands: Hands = NOBODY, unreadable: Collection[UUID] = ()
) -> Standing:
    """What stands of these entries, in whatever order and however often they are fed.

    They must hold, of each entry, all that names it (corrections, strikes, what names those, the readings
    that mark them): a whole book, or a group closed in that way, answers the same for its entries. An entry
    that nothing names stands as it is: ``plain`` makes its fact without more ado. ``unreadable`` are the
    handles of held lines that can't be read as an entry; a correction that names one stands in its place. A
    held line whose id is taken is fed with its handle as its id.
    """
    known = _once(written)
    families, findings = _families(known, unreadable)
    readings = {root: those for root, those in families.items() if _is_reading(root, known)}
    facts, found = _settled(readings, Book(known, {}, hands))
    marks = _marks(facts)
    others = {root: those for root, those in families.items() if root not in readings}
    more, further = _settled(others, Book(known, marks, hands))
    ordered = sorted((*facts, *more), key=lambda one: (one.order, one.line, str(one.id)))
    return Standing(tuple(ordered), in_order((*findings, *found, *further)))


def _once(written: Iterable[Written]) -> dict[UUID, Written]:
    """Each entry once; of two copies the one with a book number, and the one that bears a mark."""
    known: dict[UUID, Written] = {}
    for one in written:
        if one.outcome == "refused":
            continue
        other = known.get(one.entry.id)
        if other is None or _copy_rank(one) < _copy_rank(other):
            known[one.entry.id] = one
    return known


def _copy_rank(one: Written) -> tuple[Order, bool, str, str, str]:
    return (one.rank, one.mark is None, one.mark or "", one.outcome, one.sha)


def _is_reading(root: UUID, known: Mapping[UUID, Written]) -> bool:
    return root in known and isinstance(known[root].entry.body, Reading)


def _families(known: Mapping[UUID, Written], unreadable: Collection[UUID]) -> tuple[Families, list[Finding]]:
    families: Families = {}
    findings: list[Finding] = []
    for one in known.values():
        if not isinstance(one.entry.body, (Correction, Strike)):
            families.setdefault(one.entry.id, [])
            continue
        root = root_of(one.entry.id, known)
        if root is None:
            code = "names_nothing" if one.entry.names is None else "names_in_a_circle"
            findings.append(noticed(code, "name_the_right_entry", one))
        elif root not in known and root not in unreadable:
            findings.append(noticed("names_not_here", "wait_for_it", one, names=str(root)))
        else:
            families.setdefault(root, []).append(one)
    return families, findings


def _settled(families: Families, book: Book) -> tuple[list[Fact], list[Finding]]:
    facts: list[Fact] = []
    findings: list[Finding] = []
    for root, members in families.items():
        fact, found = settled(root, members, book)
        facts += [fact] if fact else []
        findings += found
    return facts, findings


def _marks(readings: Iterable[Fact]) -> dict[UUID, Initials]:
    """The last mark on each entry, by book order."""
    marks: dict[UUID, Initials] = {}
    for one in sorted(readings, key=lambda one: (one.order, one.line, str(one.id))):
        if isinstance(one.body, Reading) and not one.struck:
            marks |= {entry: Initials(one.body.mark, one.by, one.made_at) for entry in one.body.entries}
    return marks
