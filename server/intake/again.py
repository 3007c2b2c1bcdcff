"""Held entries read again: for a newer edition or kind that this version has learnt, or a field or person that is
back (contract, W9)."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from uuid import UUID

from django.db import transaction

from server.book import reads as book
from server.book.models import Row
from server.intake.decoding import Read, read
from server.intake.keeping import settle
from server.intake.writes import Locked, locked
from server.land.reads import known_fields
from server.people.reads import desk_of, known_people
from server.status.following import catch_up
from shared.errors import Unsound
from shared.sync.chain import next_head
from shared.sync.receipts import Facts, Ruling
from shared.wire.lines import READ_AGAIN

AT_ONCE = 500


def read_again(farm: UUID, now: datetime) -> tuple[int, int]:
    """Keep what can be kept now, each under a line of the desk with its exact bytes, and answer with how many were
    kept and how many of those held for such a reason are held still. What was answered once stays as it is."""
    held = list(book.held(farm).filter(code__in=READ_AGAIN, raw__isnull=False).exclude(entry=None))
    kept = 0
    for start in range(0, len(held), AT_ONCE):
        with transaction.atomic():
            kept += _kept(locked(desk_of(farm).id), held[start : start + AT_ONCE], now)
    return kept, len(held) - kept


def _kept(here: Locked, held: Sequence[Row], now: datetime) -> int:
    sound = [(row, found) for row in held if (found := _sound(here.farm.id, row)) is not None]
    if not sound:
        return 0
    line, head = here.phone.line, here.phone.head
    rulings = []
    for row, found in sound:
        line, head = line + 1, next_head(head, row.sha)
        rulings.append(Ruling(line, row.sha, "kept", head, raw=found.raw, entry=found, entry_id=found.id))  # type: ignore[arg-type]
    first = here.farm.number + 1
    Row.objects.filter(id__in=[row.id for row, _ in sound]).update(entry=None)
    settle(here.farm, here.phone, Facts(), rulings, now)
    for number, (row, _) in enumerate(sound, first):
        Row.objects.filter(farm_id=here.farm.id, number=number).update(again_of=row.number)
    here.phone.save(update_fields=("line", "head"))
    catch_up(here.farm, now)
    return len(sound)


def _sound(farm: UUID, row: Row) -> Read | None:
    """What the row says, where nothing stands against keeping it any more."""
    try:
        found = read(bytes(row.raw))
    except Unsound:
        return None
    if found.field is not None and not known_fields(farm, [found.field]):
        return None
    people = {found.by} | ({found.done_by} if isinstance(found.done_by, UUID) else set())
    if len(known_people(farm, people)) < len(people):
        return None
    taken = book.of_entry(farm, found.id)
    return found if taken is None or taken.id == row.id else None
