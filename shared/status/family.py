"""One entry with the corrections and strikes that speak of it, settled into what stands (contract, W2)."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from uuid import UUID

from shared.status.fact import Fact, Hands, Initials
from shared.words.bodies import DESK_ONLY
from shared.words.bodies.reading import Correction, Strike
from shared.words.entry import Written
from shared.words.finding import Fact as Told
from shared.words.finding import Finding

UNDONE = "correction"
"""A strike that says it speaks of a *correction* rules out that correction alone; the entry stays as
before it."""


@dataclass(frozen=True, slots=True)
class Book:
    """What a family is settled with: all that was fed, the marks of the evening reading, whose word
    counts."""

    known: Mapping[UUID, Written]
    marks: Mapping[UUID, Initials]
    hands: Hands

    def counts(self, member: Written) -> bool:
        """A hand's on an entry of its own, a manager's on any, another's once it is initialled."""
        named = self.known.get(member.entry.names) if member.entry.names else None
        own = named is not None and named.entry.by == member.entry.by
        return own or member.entry.by in self.hands.managers or self._initialled(member)

    def _initialled(self, member: Written) -> bool:
        mark = self.marks.get(member.entry.id)
        return member.mark == "initialled" or (mark is not None and mark.mark != "put_by")

    def stands(self, written: Written) -> bool:
        """A held line has no force until a reading takes it as it is."""
        mark = self.marks.get(written.entry.id)
        return written.outcome != "held" or (mark is not None and mark.mark == "taken_as_is")


def root_of(entry_id: UUID, known: Mapping[UUID, Written]) -> UUID | None:
    """The entry that a chain of corrections and strikes speaks of: the first that ``names`` leads to and
    that is neither (it may not be here yet). None where the chain names nothing or runs in a circle."""
    seen: set[UUID] = set()
    here = entry_id
    while here in known and isinstance(known[here].entry.body, (Correction, Strike)):
        named = known[here].entry.names
        if here in seen or named is None:
            return None
        seen.add(here)
        here = named
    return here


def noticed(code: str, cure: str, member: Written, **facts: Told) -> Finding:
    """A finding about a correction or strike. ``subject`` is its own id."""
    return Finding(code, str(member.entry.id), "reminder", cure=cure, facts=tuple(sorted(facts.items())))


def settled(root_id: UUID, members: Sequence[Written], book: Book) -> tuple[Fact | None, list[Finding]]:
    """The fact of one family, None where nothing of it has force, and what is to be noticed about it."""
    root = book.known.get(root_id)
    if root is not None and root.entry.kind in DESK_ONLY and not book.hands.at_desk(root):
        return None, [noticed("desk_only", "write_at_desk", root, kind=root.entry.kind)]
    if not members:
        return _fact(root_id, root, None, book), []
    findings: list[Finding] = []
    forceful = _forceful(root, members, book, findings)
    undone = {one.entry.names for one in forceful if _undoes(one)}
    corrections = [one for one in forceful if _corrects(one) and one.entry.id not in undone]
    strikes = [one for one in forceful if not _corrects(one) and not _undoes(one)]
    findings += _crossed(root_id, [*corrections, *strikes])
    winner = max(corrections, key=_weight, default=None)
    lifted = {one.entry.names for one in corrections}
    strike = max((one for one in strikes if one.entry.id not in lifted), key=_weight, default=None)
    fact = _fact(root_id, root, winner, book)
    return (_struck(fact, strike) if fact and strike else fact), findings


def _forceful(
    root: Written | None, members: Sequence[Written], book: Book, findings: list[Finding]
) -> list[Written]:
    """The members that have force, by weight; why the others have none is a finding."""
    out: list[Written] = []
    for one in sorted(members, key=_weight):
        if not book.stands(one):
            continue
        if not _of_its_kind(one, root, book):
            findings.append(noticed("names_another_kind", "name_the_right_entry", one, of=_of(one)))
        elif not book.counts(one):
            findings.append(noticed("awaits_initials", "read_and_initial", one))
        else:
            out.append(one)
    return out


def _of(member: Written) -> str:
    body = member.entry.body
    return body.of if isinstance(body, (Correction, Strike)) else member.entry.kind


def _of_its_kind(member: Written, root: Written | None, book: Book) -> bool:
    if _undoes(member):
        named = book.known.get(member.entry.names) if member.entry.names else None
        return named is not None and _corrects(named)
    return root is None or _of(member) == root.entry.kind


def _corrects(member: Written) -> bool:
    return isinstance(member.entry.body, Correction)


def _undoes(member: Written) -> bool:
    return isinstance(member.entry.body, Strike) and member.entry.body.of == UNDONE


def _weight(member: Written) -> tuple[bool, int, str]:
    return (*member.rank, str(member.entry.id))


def _crossed(root_id: UUID, forceful: Sequence[Written]) -> list[Finding]:
    """Two that name the same entry are crossed, until a later one names one of them."""
    naming: dict[UUID | None, list[Written]] = defaultdict(list)
    for one in forceful:
        naming[one.entry.names].append(one)
    found: list[Finding] = []
    for those in naming.values():
        open_ends = sorted(str(one.entry.id) for one in those if one.entry.id not in naming)
        if len(open_ends) > 1:
            told = (("entries", tuple(open_ends)),)
            found.append(Finding("crossed", str(root_id), "reminder", cure="name_the_other", facts=told))
    return found


def _fact(root_id: UUID, root: Written | None, winner: Written | None, book: Book) -> Fact | None:
    mark = book.marks.get(root_id)
    if root is None:
        return _mended(root_id, winner) if winner else None
    if winner is None and not book.stands(root):
        return None
    fact = plain(root)
    if mark is not None:
        fact = replace(fact, mark=mark.mark, initialled_by=mark.by, initialled_at=mark.at)
    return _replaced(fact, winner) if winner else fact


def plain(written: Written) -> Fact:
    """An entry as a fact, as it was written."""
    entry = written.entry
    return Fact(
        id=entry.id,
        kind=entry.kind,
        body=entry.body,
        field=entry.field,
        part=entry.part,
        round=entry.round,
        stop=entry.stop,
        done_at=entry.done_at,
        made_at=entry.made_at,
        at=entry.at,
        by=entry.by,
        done_by=entry.done_by,
        land=entry.land,
        order=written.rank,
        phone=written.phone,
        line=written.line,
        names=entry.names,
        sheets=entry.sheets,
        from_paper=entry.from_paper,
        photos=entry.photos,
        arrived_at=written.arrived_at,
        mark="initialled" if written.mark == "initialled" else "unread",
    )


def _replaced(fact: Fact, winner: Written) -> Fact:
    """A correction's body, field, part, round, stop and done_at replace the original's, empty ones too."""
    entry = winner.entry
    assert isinstance(entry.body, Correction)
    return replace(
        fact,
        body=entry.body.body,
        field=entry.field,
        part=entry.part,
        round=entry.round,
        stop=entry.stop,
        done_at=entry.done_at,
        sheets=entry.sheets or fact.sheets,
        photos=tuple(dict.fromkeys((*fact.photos, *entry.photos))),
        corrected_by=entry.id,
        corrected_why=entry.body.why,
        before=fact.body,
    )


def _mended(root_id: UUID, winner: Written) -> Fact:
    """A held line that can't be read, as its correction tells it."""
    fact = plain(winner)
    body = winner.entry.body
    assert isinstance(body, Correction)
    return replace(
        fact,
        id=root_id,
        kind=body.of,
        body=body.body,
        names=None,
        corrected_by=winner.entry.id,
        corrected_why=body.why,
    )


def _struck(fact: Fact, strike: Written) -> Fact:
    body = strike.entry.body
    assert isinstance(body, Strike)
    return replace(fact, struck_by=strike.entry.id, struck_why=body.why)
