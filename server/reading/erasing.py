"""A person's name erased on request, while the book's chain still proves (contract, W20)."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from re import Pattern
from uuid import UUID

from django.db import connection, transaction

from server.book import reads as book
from server.book.models import Erased, Row
from server.intake import desk
from server.intake.desk import Draft
from server.intake.writes import Locked, locked
from server.land.models import Hauler, Town, Vehicle
from server.people import turns
from server.people import writes as people
from server.people.errors import NoSuchPerson, NotAName, OnlyOwner, SeveralPeople
from server.people.models import Account, Farm, Person, Phone, Reference, Slip
from server.people.reads import desk_of
from server.status.writes import rebuild
from shared.errors import Unsound
from shared.wire import lines
from shared.words.bodies.desk import Redact
from shared.words.naming import TAKEN_OUT, pattern_of, without

NAMELESS, INITIALS = "N. N.", "NN"
"""What a person is called afterwards, in both languages: *nomen nescio*."""
NOT_ERASED = frozenset(("seal", "restored", "redact"))
"""What the book says of itself."""
AT_ONCE = 500
Elsewhere = Callable[[UUID, Pattern[str]], None]
"""Takes names out of what belongs to a farm and stands above this."""
MOST_NAMED = 1_000
"""Entries named in one line of the book: far from the 64 KiB that an entry may have."""


@dataclass(frozen=True, slots=True)
class Done:
    """``entries``: how many lines of the book lost their words; ``unreadable``: how many of them were held because
    nobody could read them, so that nothing stands in their place."""

    person: UUID
    entries: int
    unreadable: int


def person_called(farm: UUID, name: str) -> Person:
    """Somebody of the farm by name or id, retired or not. Raises ``NoSuchPerson``, ``SeveralPeople``."""
    everybody = Person.objects.filter(farm_id=farm)
    found = [one for one in everybody if name.strip() in (one.name, str(one.id))]
    if len(found) > 1:
        raise SeveralPeople(name, ", ".join(str(one.id) for one in found))
    if not found:
        raise NoSuchPerson(name)
    return found[0]


def erase(
    farm: UUID,
    person: UUID,
    why: str,
    now: datetime,
    also: Sequence[str] = (),
    elsewhere: Sequence[Elsewhere] = (),
) -> Done:
    """Erase somebody's name: from the people, from what towns, haulers and trucks are called, and, with ``also`` (a
    short name, another spelling), from the words of every entry. Bytes that say it go for ever and the book marks the
    line; what else the entry said, stands. ``elsewhere`` does the same where this does not reach.

    Raises ``OnlyOwner``, ``NotAName``; nothing is changed then."""
    for name in also:
        if not any(char.isalpha() for char in name):
            raise NotAName(name)
    if connection.vendor == "sqlite":
        # Freed places are written over, or the name could still be read from the file.
        with connection.cursor() as cursor:
            cursor.execute("PRAGMA secure_delete = ON")
    with transaction.atomic():
        here = locked(desk_of(farm).id)
        one = Person.objects.select_for_update().get(id=person, farm_id=farm)
        by = _owner_beside(one)
        names = [name for name in (one.name, *also) if not name.startswith(NAMELESS)]
        erased = _from_the_book(here.farm, pattern_of(names)) if names else []
        _from_the_people(one, names, now)
        if names:
            _from_the_gate(farm, pattern_of(names))
            for take in elsewhere:
                take(farm, pattern_of(names))
        _say(here, by, one, why if not names else pattern_of(names).sub(TAKEN_OUT, why), erased, now)
        rebuild(here.farm, now)
    _written_through()
    return Done(person, len(erased), sum(1 for _, read in erased if not read))


def _owner_beside(one: Person) -> Person:
    """The owner who does it. A farm keeps at least one."""
    others = Person.objects.filter(farm_id=one.farm_id, role="owner", retired=False).exclude(id=one.id)
    found = others.order_by("turn").first()
    if found is None:
        raise OnlyOwner(one.name)
    return found


def _from_the_book(farm: Farm, names: Pattern[str]) -> list[tuple[Row, bool]]:
    """The lines whose bytes said the name, and whether they could be read."""
    out: list[tuple[Row, bool]] = []
    instead: list[Erased] = []
    for row in _saying(farm.id, names):
        try:
            entry = lines.decode(bytes(row.raw))
        except Unsound:
            out.append((row, False))
            continue
        left = without(entry, names)
        if left is not entry:
            out.append((row, True))
            instead.append(Erased(farm_id=farm.id, number=row.number, said=lines.encode(left)))
    ids = [row.id for row, _ in out]
    for start in range(0, len(ids), AT_ONCE):
        Row.objects.filter(id__in=ids[start : start + AT_ONCE]).update(raw=None, detail=None)
    Erased.objects.bulk_create(instead, AT_ONCE)
    _again_without(farm.id, names)
    return out


def _saying(farm: UUID, names: Pattern[str]) -> Iterator[Row]:
    found = book.looked_up(farm).filter(raw__isnull=False).order_by("number")
    for row in found.iterator(AT_ONCE):
        if row.kind not in NOT_ERASED and names.search(_read(bytes(row.raw))):
            yield row


def _read(raw: bytes) -> str:
    """Bytes as a text to look a name up in, JSON's escapes undone where they are JSON."""
    text = raw.decode("utf-8", "replace")
    if "\\" not in text:
        return text
    try:
        return json.dumps(json.loads(text), ensure_ascii=False).replace("\\n", " ")
    except (ValueError, RecursionError):
        return text


def _again_without(farm: UUID, names: Pattern[str]) -> None:
    """What an earlier erasing left: asked again with another spelling, it goes from there too."""
    for one in Erased.objects.filter(farm_id=farm).iterator(AT_ONCE):
        entry = lines.decode(bytes(one.said))
        left = without(entry, names)
        if left is not entry:
            one.said = lines.encode(left)
            one.save(update_fields=("said",))


def _from_the_people(one: Person, names: Sequence[str], now: datetime) -> None:
    account, one.account = one.account, None
    if not one.name.startswith(NAMELESS):
        people.change_person(one, name=_free(one.farm_id), initials=INITIALS, digits=None, retired=True)
    if account is not None and not account.people.exclude(id=one.id).exists():
        Account.objects.filter(id=account.id).delete()
    if names:
        for phone in Phone.objects.filter(farm_id=one.farm_id):
            label = pattern_of(names).sub(TAKEN_OUT, phone.label)
            if label != phone.label:
                Phone.objects.filter(id=phone.id).update(label=label)
    for slip in Slip.objects.filter(farm_id=one.farm_id).exclude(answer=None):
        _from_a_slip(slip, one)


def _from_the_gate(farm: UUID, names: Pattern[str]) -> None:
    """What comes through the gate may be called after somebody; phones learn it with their next pull."""
    called: tuple[tuple[type[Reference], str], ...] = ((Town, "name"), (Hauler, "name"), (Vehicle, "label"))
    for model, column in called:
        changed = []
        for one in model._base_manager.filter(farm_id=farm):
            told = names.sub(TAKEN_OUT, getattr(one, column))
            if told != getattr(one, column):
                setattr(one, column, told)
                changed.append(one)
        turns.put(farm, changed)


def _free(farm: UUID) -> str:
    """*N. N.*, and a number where somebody else goes by it."""
    taken = set(Person.objects.filter(farm_id=farm, name__startswith=NAMELESS).values_list("name", flat=True))
    names = [NAMELESS, *(f"{NAMELESS} {number}" for number in range(2, len(taken) + 3))]
    return next(name for name in names if name not in taken)


def _from_a_slip(slip: Slip, one: Person) -> None:
    """A slip that was used keeps what its use was answered with, everybody's names among it."""
    assert slip.answer is not None
    told = json.loads(slip.answer)
    for person in told["people"]:
        if person["id"] == str(one.id):
            person |= {"name": one.name, "initials": one.initials, "digits": None}
    Slip.objects.filter(id=slip.id).update(answer=json.dumps(told))


def _say(
    here: Locked, by: Person, one: Person, why: str, erased: Sequence[tuple[Row, bool]], now: datetime
) -> None:
    """The book says that it was done, to whom by number, and to which entries."""
    named = [row.entry for row, _ in erased if row.entry is not None]
    several = [named[start : start + MOST_NAMED] for start in range(0, len(named), MOST_NAMED)] or [[]]
    drafts = [Draft(Redact(one.id, why, tuple(some) or None)) for some in several]
    desk.write(here.farm.id, by.id, drafts, now)
    here.farm.refresh_from_db()


def _written_through() -> None:
    """What SQLite keeps beside its file until it has time goes into it now, where nobody else reads."""
    if connection.vendor == "sqlite" and not connection.in_atomic_block:
        with connection.cursor() as cursor:
            cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")
            cursor.execute("PRAGMA secure_delete = OFF")
