"""One town's season: what was agreed with it, our count against theirs, what was turned back, what was found later."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from uuid import UUID

from server.registers.facts import facts_of
from server.web.desk import Desk
from shared.status.fact import Fact
from shared.status.gate import TownTally
from shared.words.bodies.desk import Document
from shared.words.bodies.gate import Load
from shared.words.bodies.told import Occurrence

FIRST = date(2000, 1, 1)
LAST = date(2199, 12, 31)
FOUND = ("trash_found", "prohibited_material", "blown_leaves")


@dataclass(frozen=True, slots=True)
class Agreement:
    """What was agreed with a town. ``price_per_yd3``: above 0 the town pays the farm, below 0 the farm pays."""

    entry: UUID
    title: str
    issued_on: date | None
    expires_on: date | None
    cap_yd3: Decimal | None
    price_per_yd3: Decimal | None
    text: str

    @property
    def price(self) -> Decimal | None:
        """The price whoever pays it."""
        return abs(self.price_per_yd3) if self.price_per_yd3 else None

    def expired(self, on: date) -> bool:
        return self.expires_on is not None and self.expires_on < on

    def holds(self, on: date) -> bool:
        return (self.issued_on is None or self.issued_on <= on) and not self.expired(on)


@dataclass(frozen=True, slots=True)
class Money:
    """What a season comes to at the agreed price, and who owes it."""

    amount: Decimal
    owed_by: str


@dataclass(frozen=True, slots=True)
class Counted:
    """One day: our count, and what was agreed with the driver where it was."""

    on: date
    tally: TownTally


@dataclass(frozen=True, slots=True)
class FoundLater:
    """Trash found in a load or on the ground after it was taken, or picked out of it: pounds, gallons or yards, and
    where it went. ``kind`` is *load* or the occurrence's own word."""

    entry: UUID
    on: date | None
    kind: str
    where: str
    pounds: Decimal | None
    gallons: Decimal | None
    yards_yd3: Decimal | None
    residue_to: str
    action: str


def agreements(desk: Desk) -> dict[UUID, list[Agreement]]:
    """Every agreement in the book by town, the last issued first."""
    out: dict[UUID, list[tuple[date, int, Agreement]]] = {}
    for fact in facts_of(desk.farm, ("document",), FIRST, LAST):
        body = fact.body
        if isinstance(body, Document) and body.what == "agreement" and body.town and not fact.struck:
            on = body.issued_on or fact.day(desk.zone) or FIRST
            out.setdefault(body.town, []).append((on, fact.number or 0, _agreement(fact.id, body)))
    return {
        town: [one for _, _, one in sorted(several, key=lambda one: one[:2], reverse=True)]
        for town, several in out.items()
    }


def _agreement(entry: UUID, body: Document) -> Agreement:
    return Agreement(
        entry,
        body.title,
        body.issued_on,
        body.expires_on,
        body.season_cap_yd3,
        body.price_per_yd3,
        body.text or "",
    )


def in_force(several: Sequence[Agreement], on: date) -> Agreement | None:
    """The agreement that holds on a day; else the last one, which is over."""
    return next((one for one in several if one.holds(on)), several[0] if several else None)


def money(agreement: Agreement | None, yards_yd3: Decimal) -> Money | None:
    if agreement is None or not agreement.price_per_yd3:
        return None
    amount = (abs(agreement.price_per_yd3) * yards_yd3).quantize(Decimal("0.01"))
    return Money(amount, "town" if agreement.price_per_yd3 > 0 else "farm")


def found_later(
    desk: Desk, loads: Iterable[Fact], called: Mapping[UUID, str], first: date, last: date
) -> list[FoundLater]:
    """What was picked out of these loads or found afterwards, by day; of the farm's occurrences all in these days."""
    out = [
        _of_load(desk, one, one.body, called)
        for one in loads
        if isinstance(one.body, Load) and _has_trash(one)
    ]
    for fact in facts_of(desk.farm, ("occurrence",), first, last):
        body = fact.body
        if isinstance(body, Occurrence) and body.what in FOUND and not fact.struck:
            where = called.get(fact.part or fact.field, "") if fact.part or fact.field else ""
            out.append(
                FoundLater(
                    fact.id, fact.day(desk.zone), body.what, where, body.trash_lb, None, None, body.residue_to or "",
                    body.action,
                )
            )  # fmt: skip
    return sorted(out, key=lambda one: (one.on or date.min, str(one.entry)))


def _has_trash(fact: Fact) -> bool:
    body = fact.body
    if not isinstance(body, Load) or fact.struck or not body.is_taken:
        return False
    return bool(body.trash_lb or body.trash_gal or body.removed_yd3 or body.residue_to)


def _of_load(desk: Desk, fact: Fact, body: Load, called: Mapping[UUID, str]) -> FoundLater:
    where = ", ".join(called.get(place, "") for place, _ in body.to)
    return FoundLater(
        fact.id, fact.day(desk.zone), "load", where, body.trash_lb, body.trash_gal, body.removed_yd3,
        body.residue_to or "", body.ticket,
    )  # fmt: skip
