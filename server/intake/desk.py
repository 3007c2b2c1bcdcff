"""Writing at the desk: one enrolment a farm with no token; line, head and number in one transaction (W11c)."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db import transaction

from server.book.models import Row
from server.book.reads import of_entries
from server.intake.facts import lines_read, looked_up
from server.intake.keeping import settle
from server.intake.writes import Locked, locked
from server.people.ids import new_id
from server.people.models import Farm
from server.people.reads import desk_of
from server.status.following import catch_up
from shared.errors import Unsound
from shared.sync.receipts import Arrival, Facts, Ruling, judge
from shared.wire import lines, v1
from shared.wire.scalars import moment
from shared.wire.upgrade import NEWEST
from shared.words.bodies import KINDS, Body
from shared.words.bodies.desk import Land
from shared.words.entry import Entry, Photo
from shared.words.moment import Moment

KIND_OF = {cls: kind for kind, cls in KINDS.items()}


@dataclass(frozen=True, slots=True)
class Draft:
    """What somebody writes at the desk. ``made_at`` None: now. ``id`` None: a new one."""

    body: Body
    field: UUID | None = None
    part: UUID | None = None
    land: int | None = None
    names: UUID | None = None
    done_at: Moment | date | None = None
    done_by: UUID | str | None = None
    round: UUID | None = None
    stop: int | None = None
    sheets: tuple[str, ...] = ()
    from_paper: bool = False
    photos: tuple[Photo, ...] = ()
    made_at: Moment | None = None
    by: UUID | None = None
    id: UUID | None = None


def write(farm: UUID, person: UUID, drafts: Sequence[Draft], now: datetime) -> list[Row]:
    """Write these at the desk in this order, all or none, and answer with their rows of the book.

    Raises ``Unsound`` where one names a field or person that was never this farm's, or an id that is taken:
    somebody sits there who can put it right, so nothing is held."""
    with transaction.atomic():
        here = locked(desk_of(farm).id)
        entries = [entry_of(draft, here.farm, person, now) for draft in drafts]
        raws = [lines.encode(entry) for entry in entries]
        facts, rulings = _judged(here, raws, drawn_by(entries))
        settle(here.farm, here.phone, facts, rulings, now)
        here.phone.seen_at = now
        here.phone.save(update_fields=("line", "head", "seen_at"))
        catch_up(here.farm, now)
    return of_entries(farm, [entry.id for entry in entries])


def write_one(farm: UUID, person: UUID, draft: Draft, now: datetime) -> Row:
    return write(farm, person, [draft], now)[0]


def drawn_by(entries: Iterable[Entry]) -> frozenset[UUID]:
    """The fields that these entries draw themselves: known from here on."""
    bodies = (one.body for one in entries)
    return frozenset(body.subject for body in bodies if isinstance(body, Land) and body.what == "field")


def _judged(here: Locked, raws: Sequence[bytes], drawn: frozenset[UUID]) -> tuple[Facts, list[Ruling]]:
    first = here.phone.line + 1
    arrivals = [Arrival(line, lines.sha(raw), raw, len(raw)) for line, raw in enumerate(raws, first)]
    read = lines_read(arrivals, v1.MOST_ENTRY_BYTES)
    facts = looked_up(here.farm.id, here.phone.id, here.enrolment, read)
    if facts.fields is not None:
        facts = replace(facts, fields=facts.fields | drawn)
    rulings = judge(here.enrolment, arrivals, facts, read.decode, v1.MOST_ENTRY_BYTES)  # type: ignore[arg-type]
    for one in rulings:
        if one.outcome not in ("kept", "already"):
            raise Unsound(one.code or one.outcome, "", one.detail or "")
    return facts, rulings


def entry_of(draft: Draft, farm: Farm, person: UUID, now: datetime) -> Entry:
    """The entry that a draft becomes: no steady clock, no position; its time as the farm's own clock shows it."""
    kind = KIND_OF[type(draft.body)]
    here = now.astimezone(ZoneInfo(farm.zone)).isoformat(timespec="milliseconds")
    return Entry(
        id=draft.id or new_id(now),
        kind=kind,
        edition=NEWEST.get(kind, 1),
        made_at=draft.made_at or moment(here, "made_at"),
        boot=None,
        mono_ms=None,
        done_at=draft.done_at,
        by=draft.by or person,
        done_by=draft.done_by,
        field=draft.field,
        part=draft.part,
        land=draft.land,
        at=None,
        round=draft.round,
        stop=draft.stop,
        body=draft.body,
        names=draft.names,
        sheets=draft.sheets,
        from_paper=draft.from_paper,
        photos=draft.photos,
    )
