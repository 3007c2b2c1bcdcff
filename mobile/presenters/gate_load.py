"""A load's body from what was tapped."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any
from uuid import UUID

from mobile.presenters.trucks import TruckHere
from shared.words.bodies.gate import Load

HAZARDS = frozenset(("sharps", "container", "battery"))
WEIGHED, MEASURED = ("trash_lb", "sample_lb"), ("trash_gal",)
Sent = tuple[tuple[UUID, Decimal], ...]


@dataclass(frozen=True, slots=True)
class Looked:
    """What was seen of a load and what comes of it. ``words`` are a plate, a driver, the town's own number and the
    like, ``figures`` pounds, gallons and shares by the body's own keys."""

    outcome: str
    items: tuple[str, ...] = ()
    bags: str = "none"
    reason: str | None = None
    words: Mapping[str, str] = field(default_factory=dict)
    figures: Mapping[str, Decimal] = field(default_factory=dict)

    @property
    def trash(self) -> str:
        if HAZARDS & set(self.items):
            return "hazard"
        if self.outcome == "taken_after_picking":
            return "picked"
        return "over" if self.outcome == "turned_back" and self.items else "none"

    @property
    def basis(self) -> str:
        """How the trash was judged: weighed, by volume, or only seen."""
        if any(key in self.figures for key in WEIGHED):
            return "weighed"
        return "by_volume" if any(key in self.figures for key in MEASURED) else "seen"


def short_ticket(ticket: str) -> str:
    """What is said aloud at the gate: the phone's own count, without the phone's mark."""
    return ticket.partition("-")[0]


def shared_out(yards: Decimal, places: tuple[UUID, ...], first_yd3: Decimal | None = None) -> Sent:
    """A load's yards over one place or two: ``first_yd3`` to the first (half of it where that was not said), the
    rest to the second. A share of nothing is no share."""
    if len(places) < 2:
        return tuple((place, yards) for place in places)
    first = min(yards / 2 if first_yd3 is None else first_yd3, yards)
    return tuple(
        (place, part) for place, part in zip(places, (first, yards - first), strict=False) if part > 0
    )


def load_body(
    truck: TruckHere, ticket: str, fill_pct: str, looked: Looked, to: Sent = (), again_of: UUID | None = None
) -> Load:
    """The load of a truck; a glance at it unless its items or figures say that somebody looked closer."""
    known = truck.vehicle
    words = {key: text.strip() for key, text in looked.words.items() if text.strip()}
    plate = words.pop("plate", None)
    closer = bool(looked.items or looked.figures) and looked.outcome != "turned_back"
    said: dict[str, Any] = {
        "packing": truck.packing,
        "bags": looked.bags,
        "checked": ("weighed" if looked.basis == "weighed" else "tipped") if closer else "glance",
        "trash": looked.trash,
        "trash_items": looked.items,
        "trash_basis": looked.basis,
        "outcome": looked.outcome,
        **words,
        **looked.figures,
    }
    return Load(
        ticket=ticket,
        town=truck.town,
        beds=((truck.bed_yd3, Decimal(fill_pct)),),
        to=() if looked.outcome == "turned_back" else to,
        hauler=known.hauler if known is not None else None,
        vehicle=known.id if known is not None else None,
        plate=truck.label if known is None else plate or known.plate,
        reason=looked.reason,
        again_of=again_of,
        **said,
    )
