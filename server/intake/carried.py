"""A carry file taken in: as a push where it fits on, by id and sha where it doesn't, held where its phone was stopped
or forgotten (contract, W19). Any number of times, the same book."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import BinaryIO
from uuid import UUID

from django.db import transaction

from server.book.placing import CARRIED
from server.book.reads import head_before
from server.intake.facts import Lines, lines_read, looked_up
from server.intake.keeping import settle
from server.intake.writes import Locked, locked
from server.people.models import Phone
from server.photos import writes as photos
from server.photos.errors import PhotoRefused
from shared.errors import BadCarry, GoodgroundError
from shared.sync.chain import NO_HEAD
from shared.sync.outbox import MOST_LINES
from shared.sync.receipts import Arrival, Enrolment, Facts, Ruling, judge, placed
from shared.wire import lines, v1
from shared.wire.carry import CarryFile, photos_in, read_carry, read_photo


class CarryNeedsLeave(GoodgroundError):
    """The file of a phone that was stopped, or that this server doesn't know: an owner has to say that it is to be
    taken; all of it is held then."""

    code = "carry_needs_leave"


@dataclass(frozen=True, slots=True)
class Taken:
    """What became of a carry file: lines by outcome, photos that came, photos that could not be taken."""

    phone: UUID
    outcomes: Mapping[str, int]
    photos: int
    photos_refused: int


def take(farm: UUID, file: BinaryIO, now: datetime, leave: bool = False) -> Taken:
    """Take a carry file. Raises ``BadCarry``, ``Fork``, ``CarryNeedsLeave``; nothing is applied then."""
    carry = read_carry(file)
    if carry.carried.farm != farm:
        raise BadCarry("it was made for another farm")
    phone = Phone.objects.filter(id=carry.carried.phone, farm_id=farm, desk=False).first()
    _genuine(carry, phone)
    with transaction.atomic():
        if phone is None or phone.stopped_at is not None:
            if not leave:
                raise CarryNeedsLeave
            phone = phone or _forgotten(farm, carry, now)
            outcomes = _apart(locked(phone.id), carry, now, held=True)
        else:
            outcomes = _fitted(locked(phone.id), carry, now)
    came, refused = _photos(phone, file, now)
    return Taken(carry.carried.phone, outcomes, came, refused)


def _genuine(carry: CarryFile, phone: Phone | None) -> None:
    """Whether the phone with this token made the file. Of a forgotten phone nobody can tell."""
    if phone is None:
        if Phone.objects.filter(id=carry.carried.phone).exists():
            raise BadCarry("its phone is another farm's")
        return
    shas = [sha for sha in (phone.token_sha, phone.next_sha) if sha is not None]
    if shas and not any(carry.is_sealed_by(sha) for sha in shas):
        raise BadCarry("its seal is not this phone's: it was altered, or made with another token")


def _forgotten(farm: UUID, carry: CarryFile, now: datetime) -> Phone:
    """An enrolment that this server lost, under its number: without a token, and stopped."""
    return Phone.objects.create(
        id=carry.carried.phone,
        farm_id=farm,
        label="carried",
        platform="",
        app="",
        made_at=now,
        stopped_at=now,
        head=NO_HEAD,
    )


def _fitted(here: Locked, carry: CarryFile, now: datetime) -> Counter[str]:
    first, enrolment = carry.carried.first, here.enrolment
    if first > enrolment.line + 1:
        return _apart(here, carry, now, held=False)
    placed(
        enrolment, first, carry.carried.prev, lambda n: NO_HEAD if n == 0 else head_before(here.phone.id, n)
    )
    told: Counter[str] = Counter()
    for batch in _batches(carry):
        facts = looked_up(here.farm.id, here.phone.id, here.enrolment, batch)
        rulings = _judged(here.enrolment, batch, facts)
        told.update(one.outcome for one in settle(here.farm, here.phone, facts, rulings, now))
    here.phone.save(update_fields=("line", "head"))
    return told


def _apart(here: Locked, carry: CarryFile, now: datetime, held: bool) -> Counter[str]:
    """Lines beyond a gap, or of a stopped phone: each by its own id and sha, the phone's head unmoved."""
    told: Counter[str] = Counter()
    line, head = carry.carried.first - 1, carry.carried.prev
    for batch in _batches(carry):
        before = Enrolment(line, head)
        facts = looked_up(here.farm.id, here.phone.id, before, batch)
        rulings = _judged(before, batch, facts)
        line, head = rulings[-1].line, rulings[-1].head
        if held:
            rulings = [
                one._replace(outcome="held", code=CARRIED) if one.outcome == "kept" else one
                for one in rulings
            ]
        told.update(one.outcome for one in settle(here.farm, here.phone, facts, rulings, now, apart=True))
    return told


def _judged(enrolment: Enrolment, batch: Lines, facts: Facts) -> list[Ruling]:
    return judge(enrolment, list(batch.arrivals), facts, batch.decode, v1.MOST_ENTRY_BYTES)  # type: ignore[arg-type]


def _batches(carry: CarryFile) -> Sequence[Lines]:
    arrivals = [
        Arrival(line, lines.sha(raw), raw, len(raw))
        for line, raw in enumerate(carry.lines, carry.carried.first)
    ]
    several = [arrivals[start : start + MOST_LINES] for start in range(0, len(arrivals), MOST_LINES)]
    return [lines_read(one, v1.MOST_ENTRY_BYTES) for one in several]


def _photos(phone: Phone, file: BinaryIO, now: datetime) -> tuple[int, int]:
    came = refused = 0
    for sha256 in photos_in(file):
        try:
            _photo(phone, sha256, read_photo(file, sha256), now)
            came += 1
        except (PhotoRefused, BadCarry):
            refused += 1
    return came, refused


def _photo(phone: Phone, sha256: str, content: bytes, now: datetime) -> None:
    here = photos.announce(phone, sha256, len(content), now)
    while not here.is_whole:
        piece = content[here.offset : here.offset + photos.MOST_PIECE_BYTES]
        here = photos.take(phone, sha256, here.offset, piece, None, now)
