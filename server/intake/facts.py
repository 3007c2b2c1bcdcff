"""What the server looks up before a push is judged: receipts, shas and ids already here, the farm's own."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
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
    found: Mapping[bytes, Found]

    def decode(self, raw: bytes) -> Read:
        """What a line says, as the judge asks for it."""
        found = self.found[raw]
        if isinstance(found, Read):
            return found
        raise found

    def read(self) -> Iterable[tuple[Arrival, Read]]:
        for one in self.arrivals:
            if one.raw is not None and isinstance(found := self.found.get(one.raw), Read):
                yield one, found


def lines_read(arrivals: Sequence[Arrival], most_bytes: int) -> Lines:
    found: dict[bytes, Found] = {}
    for one in arrivals:
        if one.raw is not None and one.size <= most_bytes:
            try:
                found[one.raw] = read(one.raw)
            except (Unsound, TooLarge) as wrong:
                found[one.raw] = wrong
    return Lines(arrivals, found)


def looked_up(farm: UUID, phone: UUID, enrolment: Enrolment, lines: Lines) -> Facts:
    """Everything that ``shared.sync.receipts.judge`` asks. The farm's row is locked before: what is not here
    now can't come from another phone until this push is through."""
    again = [one.line for one in lines.arrivals if one.line <= enrolment.line]
    fresh = Lines([one for one in lines.arrivals if one.line > enrolment.line], lines.found)
    receipts = {}
    if again:
        receipts = {
            one.line: Known(one.sha, one.was or one.outcome, one.code, one.number)  # type: ignore[arg-type]
            for one in book.receipts(phone, again[0], again[-1])
        }
    by_sha, by_id = _here(farm, fresh)
    reads = [found for _, found in fresh.read()]
    people = {one.by for one in reads} | {one.done_by for one in reads if isinstance(one.done_by, UUID)}
    fields = {one.field for one in reads if one.field is not None}
    return Facts(
        receipts=receipts,
        by_sha=by_sha,
        by_id=by_id,
        fields=known_fields(farm, fields) if fields else frozenset(),
        people=known_people(farm, people) if people else frozenset(),
    )


def _here(farm: UUID, lines: Lines) -> tuple[dict[str, Known], dict[UUID, str]]:
    """What is in the book of these lines, by sha and by id.

    A row is named by its entry's id, or by its handle where the id can't be read or was taken. So a sound line
    is looked for by its id, and by its handle only where that id is another's; an unsound one by both."""
    by_sha: dict[str, Known] = {}
    by_id: dict[UUID, str] = {}
    shas = {one.sha: one for one in lines.arrivals}
    names = {found.id for _, found in lines.read()}
    for one in lines.arrivals:
        found = lines.found.get(one.raw) if one.raw is not None else None
        if isinstance(found, Unsound):
            names.add(handle(one.sha))
            if found.entry_id is not None:
                names.add(found.entry_id)
    _noted(book.named(farm, names), by_sha, by_id)
    taken = [handle(one.sha) for one, found in lines.read() if by_id.get(found.id, one.sha) != one.sha]
    if taken:
        _noted(book.named(farm, taken), by_sha, by_id)
    return {sha: known for sha, known in by_sha.items() if sha in shas}, by_id


def _noted(rows: Iterable[book.Named], by_sha: dict[str, Known], by_id: dict[UUID, str]) -> None:
    for entry, sha, outcome, code, number in rows:
        by_sha[sha] = Known(sha, outcome, code, number)
        by_id[entry] = sha
