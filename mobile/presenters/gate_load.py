"""A load's body from what was tapped."""

from __future__ import annotations

from decimal import Decimal
from typing import Any
from uuid import UUID

from mobile.presenters.trucks import TruckHere
from shared.words.bodies.gate import Load

HAZARDS = frozenset(("sharps", "container", "battery"))


def short_ticket(ticket: str) -> str:
    """What is said aloud at the gate: the phone's own count, without the phone's mark."""
    return ticket.partition("-")[0]


def load_body(
    truck: TruckHere,
    ticket: str,
    fill_pct: str,
    outcome: str,
    to: UUID | None = None,
    again_of: UUID | None = None,
    items: tuple[str, ...] = (),
    reason: str | None = None,
    bags: str = "none",
    plate: str | None = None,
    driver: str | None = None,
    other_text: str | None = None,
) -> Load:
    """The load of a truck; a glance at it unless ``items`` say that somebody looked closer."""
    yards = truck.bed_yd3 * Decimal(fill_pct) / 100
    known = truck.vehicle
    said: dict[str, Any] = {
        "packing": truck.packing,
        "bags": bags,
        "checked": "tipped" if items and outcome != "turned_back" else "glance",
        "trash": _trash(outcome, items),
        "trash_items": items,
        "trash_basis": "seen",
        "outcome": outcome,
    }
    return Load(
        ticket=ticket,
        town=truck.town,
        beds=((truck.bed_yd3, Decimal(fill_pct)),),
        to=() if to is None or outcome == "turned_back" else ((to, yards),),
        hauler=known.hauler if known is not None else None,
        vehicle=known.id if known is not None else None,
        plate=truck.label if known is None else plate or known.plate,
        driver=driver or None,
        reason=reason,
        again_of=again_of,
        other_text=other_text,
        **said,
    )


def _trash(outcome: str, items: tuple[str, ...]) -> str:
    if HAZARDS & set(items):
        return "hazard"
    if outcome == "taken_after_picking":
        return "picked"
    return "over" if outcome == "turned_back" and items else "none"
