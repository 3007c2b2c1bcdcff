"""What was judged, written down: numbers, chain, receipts, the phone's head."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime
from uuid import UUID
from zoneinfo import ZoneInfo

from server.book import reads as book
from server.book.writes import Derived, New, NewReceipt, append, keep_receipts
from server.intake.decoding import Read
from server.people.models import Farm, Phone
from shared.sync.receipts import Facts, Ruling
from shared.wire.lines import handle

HELD_DETAIL_LENGTH = 500


def settle(
    farm: Farm, phone: Phone, facts: Facts, rulings: Sequence[Ruling], now: datetime
) -> tuple[Ruling, ...]:
    """The rulings with their book numbers, all of them durable once the transaction ends."""
    fresh = [one for one in rulings if one.fresh]
    names = named(farm.id, facts, fresh)
    zone = ZoneInfo(farm.zone)
    first = append(farm, [_new(phone.id, one, names[one.line], zone, now) for one in fresh], now)
    numbers = {one.line: number for number, one in enumerate(fresh, first)}
    by_sha = {one.sha: numbers[one.line] for one in fresh}
    numbered = tuple(
        replace(one, number=numbers.get(one.line, by_sha.get(one.sha))) if one.number is None else one
        for one in rulings
    )
    moved = [one for one in numbered if one.moved]
    keep_receipts(phone.id, [_receipt(one) for one in moved])
    if moved:
        phone.line, phone.head = moved[-1].line, moved[-1].head
    return numbered


def named(farm: UUID, facts: Facts, fresh: Sequence[Ruling]) -> Mapping[int, UUID | None]:
    """What each row is known by: its entry's id; its handle where the id can't be read or is another's; nothing
    where it was refused, or where somebody took the handle for an id."""
    out: dict[int, UUID | None] = {}
    used: dict[UUID, str] = dict(facts.by_id)
    by_handle: list[Ruling] = []
    for one in fresh:
        if one.outcome == "refused":
            out[one.line] = None
        elif one.entry_id is None or one.entry_id in used:
            by_handle.append(one)
        else:
            out[one.line] = one.entry_id
            used[one.entry_id] = one.sha
    if by_handle:
        used |= {entry: sha for entry, sha, *_ in book.named(farm, [handle(one.sha) for one in by_handle])}
    for one in by_handle:
        name = handle(one.sha)
        out[one.line] = None if name in used else name
        used[name] = one.sha
    return out


def _new(phone: UUID, one: Ruling, name: UUID | None, zone: ZoneInfo, now: datetime) -> New:
    read = one.entry
    derived = _derived(read, zone, now) if isinstance(read, Read) else Derived(day=_day(now, zone))
    detail = one.detail[:HELD_DETAIL_LENGTH].replace("\x00", "") if one.detail else None
    raw = one.raw if one.outcome != "refused" else None
    return New(phone, one.line, one.outcome, one.code, detail, one.sha, raw, name, derived)


def _derived(read: Read, zone: ZoneInfo, now: datetime) -> Derived:
    made, done = read.made_at.utc, read.done_utc
    day = read.done_at if isinstance(read.done_at, date) else _day(done or made or now, zone)
    return Derived(read.kind, read.field, read.by, made, done, read.round, read.names, day)


def _day(at: datetime, zone: ZoneInfo) -> date:
    try:
        return at.astimezone(zone).date()
    except OverflowError:
        return at.date()


def _receipt(one: Ruling) -> NewReceipt:
    assert one.number is not None
    return NewReceipt(one.line, one.sha, one.outcome, one.was, one.code, one.number, one.head)
