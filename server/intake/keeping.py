"""What was judged, written down: numbers, chain, receipts, the phone's head."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from uuid import UUID

from server.book import reads as book
from server.book.writes import New, NewReceipt, append, keep_receipts
from server.people.models import Farm, Phone
from shared.sync.receipts import Facts, Ruling
from shared.wire.lines import handle
from shared.wire.push import LineResult

HELD_DETAIL_LENGTH = 500


def settle(
    farm: Farm, phone: Phone, facts: Facts, rulings: Sequence[Ruling], now: datetime, apart: bool = False
) -> tuple[LineResult, ...]:
    """What each line is answered, with its book number; all of it durable once the transaction ends. Lines that
    came ``apart`` from the phone's own sequence leave its head where it is, and no receipt."""
    fresh = [one for one in rulings if one.moved and one.outcome != "already"]
    names = named(farm.id, facts, fresh)
    first = append(farm, [_new(phone.id, one, names[one.line], apart) for one in fresh], now)
    numbers = {one.sha: number for number, one in enumerate(fresh, first)}
    results = []
    for one in rulings:
        number = one.number if one.number is not None else numbers[one.sha]
        detail = _told(one.detail) if one.detail else None
        results.append(LineResult(one.line, one.outcome, number, one.was, one.code, detail))
    if not apart:
        _receive(phone, [one for one in rulings if one.moved], numbers)
    return tuple(results)


def _receive(phone: Phone, moving: Sequence[Ruling], numbers: Mapping[str, int]) -> None:
    """Lines that moved the phone's head. Each that took a number has its receipt in its row of the book."""
    if not moving:
        return
    known = [one for one in moving if one.outcome == "already"]
    if known:
        keep_receipts(phone.id, [_receipt(one, numbers) for one in known])
    phone.line, phone.head = moving[-1].line, moving[-1].head


def _receipt(one: Ruling, numbers: Mapping[str, int]) -> NewReceipt:
    number = one.number if one.number is not None else numbers[one.sha]
    return NewReceipt(one.line, one.sha, one.outcome, one.was, one.code, number, one.head)


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


def _new(phone: UUID, one: Ruling, name: UUID | None, apart: bool) -> New:
    raw = one.raw if one.outcome != "refused" else None
    detail = _told(one.detail) if one.detail else None
    head = None if apart else one.head
    return New(phone, one.line, one.outcome, one.code, one.sha, detail, raw, name, head)


def _told(detail: str) -> str:
    """A detail as it can be stored and told: it quotes what somebody sent."""
    return detail[:HELD_DETAIL_LENGTH].replace("\x00", "").encode("utf-8", "replace").decode("utf-8")
