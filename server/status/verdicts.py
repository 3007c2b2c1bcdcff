"""How entries stand at the desk, for those that are held or that somebody spoke of."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from uuid import UUID

from server.book import reads as book
from server.book.bulk import insert
from server.book.models import Row
from server.book.news import News
from server.people import turns
from server.people.models import Farm
from server.people.reads import hands
from server.status.family import BINDING, family_of
from server.status.models import Asked, Marking, Verdict
from shared.status.fact import Fact
from shared.status.standing import Standing, standing
from shared.status.touched import speaks_of
from shared.words.bodies.reading import Reading
from shared.words.entry import Written

SPEAKING = ("correction", "strike", "reading", "query", "answer")
UNJUDGED = ("reading", "query", "answer")
MARKS = {"initialled": "initialled", "taken_as_is": "initialled", "put_by": "put_by"}


def fold(farm: Farm, news: Sequence[News]) -> set[UUID]:
    """Judge again what new rows speak of, what of them is held, and what was spoken of before it came; answer
    with the entries whose force may be another now."""
    about = {one.id for one in news if (one.outcome == "held" or one.again) and one.id is not None}
    binding: set[UUID] = set()
    for one in news:
        if one.kind in SPEAKING and (written := one.written()) is not None:
            spoken = _spoken_of(farm.id, written)
            about |= spoken
            binding |= _bound(farm.id, one.kind, spoken)
    new_ids = [one.id for one in news if one.id is not None and one.kind not in SPEAKING]
    late = {row.names for row in book.naming(farm.id, new_ids) if row.names is not None}
    late |= set(_marked_already(farm.id, new_ids))
    if about or late:
        settle(farm, about | late)
    return binding | late


def _bound(farm: UUID, kind: str | None, spoken: set[UUID]) -> set[UUID]:
    """A correction or strike may change what stands; a reading only where it marks what waits for that."""
    if kind in BINDING:
        return spoken
    if kind != "reading":
        return set()
    rows = book.of_entries(farm, spoken)
    waiting = {row.entry for row in rows if row.outcome == "held" or row.kind in BINDING}
    return {one for one in waiting if one is not None}


def _spoken_of(farm: UUID, written: Written) -> set[UUID]:
    """What an entry speaks of; of a query that is answered or struck, what it asked about; of a reading that
    is struck, what it had marked."""
    entry = written.entry
    about = set(speaks_of(entry))
    if isinstance(entry.body, Reading):
        _note(farm, entry.id, entry.body.entries)
    about |= set(Asked.objects.filter(farm_id=farm, id__in=about).values_list("about", flat=True))
    about |= set(Marking.objects.filter(farm_id=farm, reading__in=about).values_list("entry", flat=True))
    return about


def _note(farm: UUID, reading: UUID, entries: Iterable[UUID]) -> None:
    several = [Marking(farm_id=farm, entry=one, reading=reading) for one in dict.fromkeys(entries)]
    Marking.objects.bulk_create(several)


def _marked_already(farm: UUID, entries: Sequence[UUID]) -> Iterable[UUID]:
    if not Marking.objects.filter(farm_id=farm).exists():
        return ()
    return Marking.objects.filter(farm_id=farm, entry__in=entries).values_list("entry", flat=True)


def settle(farm: Farm, about: Iterable[UUID], known: Iterable[Row] = ()) -> int:
    """The verdicts on these entries and on all that belongs to them, and on how many; ``known`` are rows at hand."""
    rows = family_of(farm.id, about, known)
    written = {row.entry: value for row in rows if (value := book.written(row)) is not None}
    unreadable = {row.entry for row in rows if row.entry is not None and row.entry not in written}
    stands = standing(written.values(), hands(farm.id), unreadable)
    judged = [row for row in rows if row.kind not in UNJUDGED]
    changed = _changed(farm.id, judged, stands)
    back = [str(one.entry) for one in changed if one.pk is None]
    turns.put(farm.id, changed)
    turns.back(farm.id, "verdicts", back)
    return len(judged)


def _changed(farm: UUID, rows: Sequence[Row], stands: Standing) -> list[Verdict]:
    """The verdicts that are not what they were; an entry of which there is nothing to say has none."""
    ids = [row.entry for row in rows if row.entry is not None]
    before = {one.entry: one for one in Verdict.objects.filter(farm_id=farm, entry__in=ids)}
    queried = set(
        Asked.objects.filter(farm_id=farm, about__in=ids, answered=False).values_list("about", flat=True)
    )
    facts = {one.id: one for one in stands.facts}
    marks = _marks(stands)
    changed = []
    for row in rows:
        assert row.entry is not None
        told = _told(row, facts.get(row.entry), marks.get(row.entry), row.entry in queried, stands)
        was = before.get(row.entry)
        if was is None and told == NOTHING_TO_SAY and row.again_of is None:
            continue
        # A phone knows its line by the number that it was answered.
        number = row.again_of or row.number
        verdict = was or Verdict(farm_id=farm, entry=row.entry, phone_id=row.phone_id, number=number)
        if was is None or any(getattr(was, name) != value for name, value in told.items()):
            for name, value in told.items():
                setattr(verdict, name, value)
            changed.append(verdict)
    return changed


NOTHING_TO_SAY = {
    "mark": "unread",
    "outcome": "kept",
    "code": None,
    "struck": False,
    "corrected_by": None,
    "findings": [],
}


def _marks(stands: Standing) -> dict[UUID, str]:
    """The last mark on each entry, in the order of the book."""
    marks: dict[UUID, str] = {}
    for one in stands.in_force:
        if isinstance(one.body, Reading):
            marks |= dict.fromkeys(one.body.entries, MARKS[one.body.mark])
    return marks


def _told(
    row: Row, fact: Fact | None, mark: str | None, queried: bool, stands: Standing
) -> dict[str, object]:
    about_it = [one.code for one in stands.findings if one.subject == str(row.entry)]
    if queried and mark != "put_by":
        mark = "query"
    elif mark is None and row.outcome == "held" and fact is None:
        mark = "held"
    return {
        "mark": mark or "unread",
        "outcome": row.outcome,
        "code": row.code,
        "struck": fact is not None and fact.struck,
        "corrected_by": fact.corrected_by if fact is not None else None,
        "findings": about_it,
    }


def note_again(farm: UUID, readings: Sequence[Written]) -> None:
    """What these readings mark, in place of what was kept of them."""
    ids = [one.entry.id for one in readings]
    Marking.objects.filter(farm_id=farm, reading__in=ids).delete()
    marks = [
        [farm, entry, one.entry.id]
        for one in readings
        if isinstance(one.entry.body, Reading)
        for entry in dict.fromkeys(one.entry.body.entries)
    ]
    insert(Marking, ("farm", "entry", "reading"), marks)


def settle_again(farm: Farm, rows: Sequence[Row]) -> int:
    """The verdicts on those of these rows of which there is anything to say, and no others."""
    entries = {row.entry for row in rows if row.entry is not None}
    about = {row.entry for row in rows if row.outcome == "held" or row.kind in BINDING or row.again_of}
    about |= {row.names for row in book.naming(farm.id, entries)}
    about |= set(Marking.objects.filter(farm_id=farm.id, entry__in=entries).values_list("entry", flat=True))
    about |= {row.entry for row in rows if row.entry is not None and row.names in about}
    wanted = {one for one in about & entries if one is not None}
    gone = Verdict.objects.filter(farm_id=farm.id, entry__in=entries - wanted)
    turns.remove(farm.id, "verdicts", [(one, str(one.entry)) for one in gone])
    return settle(farm, wanted, rows) if wanted else 0
