"""Trash that was found when a load was tipped, after it was taken."""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from mobile.actions.save_entry import NewEntry, Saved, refuse_unbelievable, save_entries
from mobile.ports import Phone
from shared.words.bodies.gate import Load
from shared.words.bodies.reading import Correction
from shared.words.bodies.told import Occurrence
from shared.words.entry import Entry, Photo


@dataclass(frozen=True, slots=True)
class Found:
    """What was found: its kinds, its pounds, the yards taken off the ground again, where the trash went."""

    items: tuple[str, ...]
    what_was_done: str
    trash_lb: Decimal | None = None
    removed_yd3: Decimal | None = None
    residue_to: str | None = None
    other_text: str | None = None


def found_later(
    phone: Phone, enrolment: int, load: Entry, found: Found, why: str, photos: tuple[Photo, ...] = ()
) -> tuple[Saved, ...]:
    """The load put right (what was seen, what was taken off again), so that room and tally agree, and the find on
    record under the load's ticket: both or neither. ``load`` is the load as it stands. Raises as ``save_entry``."""
    body: Any = load.body
    assert isinstance(body, Load)
    changed: dict[str, Any] = {
        "checked": "tipped" if found.trash_lb is None else "weighed",
        "trash": "picked",
        "trash_items": found.items,
        "trash_basis": "seen" if found.trash_lb is None else "weighed",
        "outcome": "taken_after_picking",
        "trash_lb": found.trash_lb,
        "removed_yd3": found.removed_yd3,
        "residue_to": found.residue_to,
        "other_text": found.other_text,
    }
    right = replace(body, **changed)
    refuse_unbelievable(right)
    correction = NewEntry(
        body=Correction(of="load", body=right, why=why),
        field=load.field,
        part=load.part,
        land=load.land,
        done_at=load.done_at,
        done_by=load.done_by,
        names=load.id,
    )
    on_record = Occurrence(
        what="trash_found",
        action=found.what_was_done,
        name=body.ticket,
        trash_lb=found.trash_lb,
        residue_to=found.residue_to,
    )
    place = NewEntry(body=on_record, field=load.field, part=load.part, photos=photos)
    return save_entries(phone, enrolment, [correction, place])
