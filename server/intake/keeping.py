"""What was judged, written down: numbers, chain, receipts, the phone's head."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, datetime
from uuid import UUID
from zoneinfo import ZoneInfo

from server.book import reads as book
from server.book.writes import Derived, New, NewReceipt, append, keep_receipts
from server.intake.decoding import Read
from server.people.models import Farm, Phone
from shared.sync.receipts import Facts, Ruling
from shared.wire.lines import handle
from shared.wire.push import LineResult
from shared.words.moment import can_be, in_zone

HELD_DETAIL_LENGTH = 500


def settle(
    farm: Farm, phone: Phone, facts: Facts, rulings: Sequence[Ruling], now: datetime, apart: bool = False
) -> tuple[LineResult, ...]:
    """What each line is answered, with its book number; all of it durable once the transaction ends. Lines that
    came ``apart`` from the phone's own sequence leave its head where it is, and no receipt."""
    fresh = [one for one in rulings if one.moved and one.outcome != "already"]
    names = named(farm.id, facts, fresh)
    zone = ZoneInfo(farm.zone)
    first = append(farm, [_new(phone.id, one, names[one.line], zone, now) for one in fresh], now)
    numbers = {one.sha: number for number, one in enumerate(fresh, first)}
    results, receipts = [], []
    for one in rulings:
        line, sha, outcome, was, code = one.line, one.sha, one.outcome, one.was, one.code
        number = one.number if one.number is not None else numbers[sha]
        results.append(
            LineResult(line, outcome, number, was, code, _told(one.detail) if one.detail else None)
        )
        if one.moved:
            receipts.append(NewReceipt(line, sha, outcome, was, code, number, one.head))
    if receipts and not apart:
        keep_receipts(phone.id, receipts)
        phone.line, phone.head = receipts[-1].line, receipts[-1].head
    return tuple(results)


def named(farm: UUID, facts: Facts, fresh: Sequence[Ruling]) -> Mapping[int, UUID | None]:
    """What each row is known by: its entry's id; its handle where the id can't be read or is another's; nothing
    where it was refused, or where somebody took the handle for an id."""
    if all(one.outcome == "kept" for one in fresh):
        return {one.line: one.entry_id for one in fresh}
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
    raw = one.raw if one.outcome != "refused" else None
    detail = _told(one.detail) if one.detail else None
    return New(phone, one.line, one.outcome, one.code, detail, one.sha, raw, name, derived)


def _told(detail: str) -> str:
    """A detail as it can be stored and told: it quotes what somebody sent."""
    return detail[:HELD_DETAIL_LENGTH].replace("\x00", "").encode("utf-8", "replace").decode("utf-8")


def _derived(read: Read, zone: ZoneInfo, now: datetime) -> Derived:
    made, done = read.made_utc, read.done_utc
    said = (read.done_at if isinstance(read.done_at, date) else done, made)
    day = next((on for one in said if one is not None and can_be(on := _day(one, zone))), _day(now, zone))
    return Derived(read.kind, read.field, read.by, made, done, read.round, read.names, day)


def _day(at: datetime | date, zone: ZoneInfo) -> date:
    return in_zone(at, zone).date() if isinstance(at, datetime) else at
