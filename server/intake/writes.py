"""The only way into the book: a push from a phone, or a writing at the desk. One transaction each."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db import transaction

from server.book.reads import head_before
from server.intake.facts import lines_read, looked_up
from server.intake.keeping import settle
from server.people.lookup import locked_row
from server.people.models import Boot, Farm, Phone
from shared.errors import BadFrame
from shared.sync.chain import NO_HEAD
from shared.sync.receipts import Enrolment, judge, placed
from shared.wire import v1
from shared.wire.push import Frame, LineResult, PushAnswer, read_push
from shared.wire.scalars import moment, written_moment

LONGEST_SKEW_MS = 2**53 - 1


@dataclass(frozen=True, slots=True)
class Locked:
    """A phone and its farm, both rows locked until the transaction ends; always in this order."""

    phone: Phone
    farm: Farm

    @property
    def enrolment(self) -> Enrolment:
        return Enrolment(self.phone.line, self.phone.head)


def locked(phone: UUID) -> Locked:
    one: Phone = locked_row(Phone, phone)
    return Locked(one, locked_row(Farm, one.farm_id))


def accept(phone: UUID, body: bytes, now: datetime, line: int = 0) -> PushAnswer:
    """Take a push: after this returns all of it is durable; after it raises nothing of it is applied. ``line``:
    how far the phone's lines already stand, as far as the caller knows; these need not be read again.

    Raises ``TooLarge``, ``BadFrame``, ``Gap``, ``Fork``. Nothing in an entry's content ever raises."""
    frame, arrivals = read_push(body)
    if frame.phone != phone:
        raise BadFrame("these are the lines of another enrolment")
    lines = lines_read(arrivals, v1.MOST_ENTRY_BYTES, line)
    with transaction.atomic():
        here = locked(phone)
        placed(here.enrolment, frame.first, frame.prev, lambda line: _head_before(phone, line))
        facts = looked_up(here.farm.id, phone, here.enrolment, lines)
        rulings = judge(here.enrolment, arrivals, facts, lines.decode, v1.MOST_ENTRY_BYTES)  # type: ignore[arg-type]
        settled = settle(here.farm, here.phone, facts, rulings, now)
        skew_ms = _heard(here.phone, frame, now)
    return _answer(here.phone, settled, skew_ms, now)


def _head_before(phone: UUID, line: int) -> str | None:
    return NO_HEAD if line == 0 else head_before(phone, line)


def _heard(phone: Phone, frame: Frame, now: datetime) -> int:
    """Keep how far the phone's clock is ahead, for the boot that it speaks of (W16)."""
    skew_ms = 0
    if frame.sent_at.utc is not None:
        skew_ms = round((frame.sent_at.utc - now).total_seconds() * 1000)
        skew_ms = max(-LONGEST_SKEW_MS, min(LONGEST_SKEW_MS, skew_ms))
        if frame.boot is not None:
            told = {"skew_ms": skew_ms, "heard_at": now}
            if not Boot.objects.filter(phone=phone, boot=frame.boot).update(**told):
                Boot.objects.create(phone=phone, boot=frame.boot, **told)
    phone.skew_ms, phone.seen_at = skew_ms, now
    phone.save(update_fields=("line", "head", "skew_ms", "seen_at"))
    return skew_ms


def _answer(phone: Phone, results: tuple[LineResult, ...], skew_ms: int, now: datetime) -> PushAnswer:
    at = moment(written_moment(now), "server_time")
    return PushAnswer(results, phone.line, phone.head, phone.safe, at, skew_ms)
