"""Which field the phone is in: sure, or not sure with the fields it may be. Never a guess across a boundary."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from mobile.actions.land import fields
from mobile.ports import Fix, Phone
from shared.reckoning.land import nearest_fields, radius95, which_field
from shared.words.field import Field

Sureness = Literal["sure", "not_sure", "off_farm", "no_position", "no_land"]


@dataclass(frozen=True, slots=True)
class Place:
    """``field`` only where it is *sure*; ``candidates`` where it is not, likeliest first; off the farm the
    nearest field and its distance. Without a position ``fix.why`` says why."""

    sureness: Sureness
    fix: Fix
    field: Field | None = None
    candidates: tuple[Field, ...] = ()
    r95_m: float | None = None
    nearest_m: float | None = None


def where_am_i(phone: Phone, enrolment: int) -> Place:
    """Where the phone is now, by its own copy of the land."""
    fix = phone.receiver.fix()
    known = {one.id: one for one in fields(phone, enrolment) if one.outline}
    if fix.position is None:
        return Place("no_position", fix)
    if not known:
        return Place("no_land", fix)
    point = (float(fix.position.lat), float(fix.position.lon))
    r68 = fix.position.r68_m
    r95 = radius95(float(r68)).r95_m if r68 else None
    grounds = {key: one.outline for key, one in known.items() if one.outline}
    here = which_field(point, r95, grounds)
    if here.field is not None:
        return Place("sure", fix, known[here.field], (), r95)
    if here.candidates:
        return Place("not_sure", fix, None, tuple(known[key] for key in here.candidates), r95)
    (nearest, away), *_ = nearest_fields(point, grounds)
    return Place("off_farm", fix, None, (known[nearest],), r95, away)
