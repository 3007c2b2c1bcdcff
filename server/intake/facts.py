"""What the server looks up before a push is judged: receipts, shas and ids already here, the farm's own."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from uuid import UUID

from server.book import reads as book
from server.intake.decoding import Read, read
from server.land.reads import known_fields
from server.people.reads import known_people
from shared.errors import TooLarge, Unsound
from shared.sync.receipts import Arrival, Enrolment, Facts, Known
from shared.wire.lines import handle

Found = Read | Unsound | TooLarge


@dataclass(frozen=True, slots=True)
class Lines:
    """The lines of a push, each read once, before any lock is taken."""

    arrivals: Sequence[Arrival]
    found: dict[bytes, Found]

    def decode(self, raw: bytes) -> Read:
        """What a line says, as the judge asks for it."""
        found = self.found.get(raw) or self.found.setdefault(raw, _read(raw))
        if isinstance(found, Read):
            return found
        raise found

    def after(self, line: int) -> Lines:
        """The lines above this one, all of them read."""
        later = [one for one in self.arrivals if one.line > line]
        for one in later:
            if one.raw is not None and one.raw not in self.found:
                self.found[one.raw] = _read(one.raw)
        return Lines(later, self.found)

    def read(self) -> list[tuple[Arrival, Read]]:
        """Those that are sound."""
        found = self.found
        told = [(one, found.get(one.raw)) for one in self.arrivals if one.raw is not None]
        return [(one, said) for one, said in told if isinstance(said, Read)]


def _read(raw: bytes) -> Found:
    try:
        return read(raw)
    except (Unsound, TooLarge) as wrong:
        return wrong


def lines_read(arrivals: Sequence[Arrival], most_bytes: int, after: int = 0) -> Lines:
    """These lines with what they say, but for those up to the line ``after``."""
    fresh = [
        one.raw for one in arrivals if one.line > after and one.raw is not None and one.size <= most_bytes
    ]
    return Lines(arrivals, {raw: _read(raw) for raw in fresh})


def looked_up(farm: UUID, phone: UUID, enrolment: Enrolment, lines: Lines) -> Facts:
    """Everything that ``shared.sync.receipts.judge`` asks. The farm's row is locked before: what is not here
    now can't come from another phone until this push is through."""
    again = [one.line for one in lines.arrivals if one.line <= enrolment.line]
    fresh = lines.after(enrolment.line)
    receipts = {}
    if again:
        receipts = {
            line: Known(sha, was, code, number)  # type: ignore[arg-type]
            for line, sha, was, code, number in book.receipts(phone, again[0], again[-1])
        }
    sound = fresh.read()
    by_sha, by_id = _here(farm, fresh, sound)
    fields, people = _spoken_of([found for _, found in sound])
    here, ours = known_fields(farm, fields), known_people(farm, people)
    # Where all are this farm's own there is nothing to check line by line.
    return Facts(
        receipts=receipts,
        by_sha=by_sha,
        by_id=by_id,
        fields=here if len(here) < len(fields) else None,
        people=ours if len(ours) < len(people) else None,
    )


def _spoken_of(reads: Sequence[Read]) -> tuple[set[UUID], set[UUID]]:
    """The fields and the people that these name. Most lines name the one before's, so the same object."""
    fields: dict[int, UUID] = {}
    people: dict[int, UUID] = {}
    for one in reads:
        people[id(one.by)] = one.by
        if one.field is not None:
            fields[id(one.field)] = one.field
        if isinstance(one.done_by, UUID):
            people[id(one.done_by)] = one.done_by
    return set(fields.values()), set(people.values())


def _here(
    farm: UUID, lines: Lines, sound: Sequence[tuple[Arrival, Read]]
) -> tuple[dict[str, Known], dict[UUID, str]]:
    """What is in the book of these lines, by sha and by id.

    A row is named by its entry's id, or by its handle where the id can't be read or was taken. So a sound line
    is looked for by its id, and by its handle only where that id is another's; an unsound one by both."""
    by_sha: dict[str, Known] = {}
    by_id: dict[UUID, str] = {}
    names = [found.id for _, found in sound]
    for one in lines.arrivals:
        found = lines.found.get(one.raw) if one.raw is not None else None
        if isinstance(found, Unsound):
            names.append(handle(one.sha))
            if found.entry_id is not None:
                names.append(found.entry_id)
    _noted(book.named(farm, names), by_sha, by_id)
    if not by_id:
        return {}, {}
    shas = {one.sha for one in lines.arrivals}
    taken = [handle(one.sha) for one, found in sound if by_id.get(found.id, one.sha) != one.sha]
    if taken:
        _noted(book.named(farm, taken), by_sha, by_id)
    return {sha: known for sha, known in by_sha.items() if sha in shas}, by_id


def _noted(rows: Iterable[book.Named], by_sha: dict[str, Known], by_id: dict[UUID, str]) -> None:
    for entry, sha, outcome, code, number in rows:
        by_sha[sha] = Known(sha, outcome, code, number)
        by_id[entry] = sha
