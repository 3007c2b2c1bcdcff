"""Loads as a gate sheet lists them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from uuid import UUID

from server.web.desk import Desk
from shared.status.fact import Fact
from shared.status.telling import choice
from shared.words.bodies.gate import Load
from shared.words.moment import in_zone


@dataclass(frozen=True, slots=True)
class LoadLine:
    """One load. ``at`` None: only its day is known."""

    entry: UUID
    on: date | None
    at: datetime | None
    ticket: str
    town: str
    truck: str
    yards_yd3: Decimal
    packing: str
    seen: str
    to: str
    taken: bool
    outcome: str
    reason: str
    again_of: str
    photos: int
    struck: bool
    changed: bool


def told_loads(desk: Desk, loads: Iterable[Fact], called: Mapping[UUID, str]) -> list[LoadLine]:
    """The loads in words, in the order given."""
    known = {fact.id: fact.body.ticket for fact in loads if isinstance(fact.body, Load)}
    return [_line(desk, fact, fact.body, called, known) for fact in loads if isinstance(fact.body, Load)]


def _line(
    desk: Desk, fact: Fact, body: Load, called: Mapping[UUID, str], tickets: Mapping[UUID, str]
) -> LoadLine:
    utc = fact.moment().utc if not isinstance(fact.done_at, date) else None
    items = ", ".join(choice(desk.language, one) for one in body.trash_items)
    return LoadLine(
        entry=fact.id,
        on=fact.day(desk.zone),
        at=in_zone(utc, desk.zone) if utc else None,
        ticket=body.ticket,
        town=called.get(body.town, ""),
        truck=called.get(body.vehicle, "") if body.vehicle else body.plate or "",
        yards_yd3=body.carried_yd3,
        packing=choice(desk.language, body.packing),
        seen=items or choice(desk.language, body.trash),
        to=", ".join(called.get(place, "") for place, _ in body.to),
        taken=body.is_taken,
        outcome=choice(desk.language, body.outcome),
        reason=body.reason or "",
        again_of=tickets.get(body.again_of, "") if body.again_of else "",
        photos=len(fact.photos),
        struck=fact.struck,
        changed=fact.corrected_by is not None,
    )
