"""A field cut into two, several fields made one: new fields that know what they came of, the old ones put by.

What the old fields were stays in the book and on their own pages. Organic ground: of joined fields the latest date
counts, cut ones inherit (R13). Legs go over where they say the same of all the ground.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from typing import Any
from uuid import UUID

from server.intake.desk import Draft
from server.land import models
from server.land import reads as land
from server.land.cutting import cut, joined
from server.land.models import outline_value
from server.people.clock import now
from server.people.ids import new_id
from server.web import ground_form
from server.web.corners import NotUsable, Piece, checked_acres, corner_of
from shared.reckoning.land import contains
from shared.reckoning.plane import LatLon
from shared.words.bodies.desk import Land, LegChange
from shared.words.field import Part
from shared.words.leg import Leg
from shared.words.place import Outline


def cut_drafts(
    farm: UUID, field: models.Field, line: Sequence[LatLon], names: tuple[str, str], why: str
) -> list[Draft]:
    """Two new fields, left and right of the line, the parts with the field that their ground is of, the old one put
    by. Raises ``NotUsable``."""
    outline = outline_value(field.outline)
    halves = cut(outline, line) if outline else None
    if halves is None:
        raise NotUsable("no_cut")
    known = ground_form.facts_of(field)
    drafts: list[Draft] = []
    ids = [new_id(now()) for _ in halves]
    for id, name, half in zip(ids, names, halves, strict=True):
        drafts.append(_new(id, name, half, why, (field.id,), known))
    drafts += [_of_part(part, ids, halves, why) for part in land.parts(farm) if part.field == field.id]
    legs = land.legs(farm, field.id).get(field.id, [])
    drafts += [_leg(id, leg, why) for id in ids for leg in legs]
    return [*drafts, put_by(field, why)]


def join_drafts(farm: UUID, fields: Sequence[models.Field], name: str, why: str) -> list[Draft]:
    """One new field of all this ground, their parts with it, the old ones put by. Raises ``NotUsable``."""
    outlines = [outline_value(field.outline) for field in fields]
    if any(one is None for one in outlines):
        raise NotUsable("not_drawn")
    id, old = new_id(now()), {field.id for field in fields}
    drafts = [
        _new(
            id,
            name,
            joined(one for one in outlines if one),
            why,
            tuple(sorted(old, key=str)),
            _together(fields),
        )
    ]
    drafts += [_of_part(part, [id], [()], why) for part in land.parts(farm) if part.field in old]
    same = _same_leg([land.legs(farm, field.id).get(field.id, []) for field in fields])
    drafts += [_leg(id, same, why)] if same else []
    return [*drafts, *(put_by(field, why) for field in fields)]


def _new(
    id: UUID, name: str, outline: Outline, why: str, before: tuple[UUID, ...], known: dict[str, Any]
) -> Draft:
    pieces = pieces_of(outline)
    checked_acres(pieces)
    body = Land("field", id, 1, name, why, pieces, before=before, **known)
    return Draft(body, field=id)


def pieces_of(outline: Outline) -> tuple[Piece, ...]:
    rings = [(one.outer, *one.holes) for one in outline]
    return tuple(tuple(tuple(corner_of(lat, lon) for lat, lon in ring) for ring in piece) for piece in rings)


def _of_part(part: Part, ids: Sequence[UUID], halves: Sequence[Outline], why: str) -> Draft:
    """A part goes with the ground that its first corner is on; what isn't drawn goes with the first."""
    corner = part.outline[0].outer[0] if part.outline else None
    here = [id for id, half in zip(ids, halves, strict=True) if corner and half and contains(corner, half)]
    body = Land(
        what="part",
        subject=part.id,
        version=part.version + 1,
        name=part.name,
        why=why,
        pieces=pieces_of(part.outline) if part.outline else None,
        in_field=(here or list(ids))[0],
    )
    return Draft(body)


def _leg(field: UUID, leg: Leg, why: str) -> Draft:
    return Draft(LegChange(leg.leg, leg.starts_on, why, leg.crop), field=field)


def _same_leg(legs: Sequence[Sequence[Leg]]) -> Leg | None:
    """The leg that all stand in now, from the last day on which one of them came into it; None where they differ."""
    last = [each[-1] for each in legs if each]
    if len(last) < len(legs) or len({(one.leg, one.crop) for one in last}) != 1:
        return None
    return max(last, key=lambda one: one.starts_on)


def _together(fields: Sequence[models.Field]) -> dict[str, Any]:
    """What is known of joined ground: the strictest of each, and nothing where one of them doesn't say."""
    known = [ground_form.facts_of(field) for field in fields]
    organic = [one.get("organic_from") for one in known]
    ends = [one["lease_end"] for one in known if "lease_end" in one]
    caps = [one["cap_in"] for one in known if "cap_in" in one]
    slopes = [one["slope_pct"] for one in known if "slope_pct" in one]
    lots = dict.fromkeys(one["block_lot"] for one in known if "block_lot" in one)
    drainage = {one.get("drainage") for one in known}
    told: dict[str, date | Decimal | str | None] = {
        "organic_from": max((one for one in organic if one), default=None) if all(organic) else None,
        "lease_end": min(ends, default=None),
        "cap_in": min(caps, default=None),
        "slope_pct": max(slopes, default=None),
        "block_lot": ", ".join(lots)[:100] or None,
        "drainage": drainage.pop() if len(drainage) == 1 else None,
    }
    return {name: value for name, value in told.items() if value is not None}


def put_by(field: models.Field, why: str) -> Draft:
    """The field's last version: as it was, and not in use any more."""
    outline = outline_value(field.outline)
    body = Land(
        what="field",
        subject=field.id,
        version=field.version + 1,
        name=field.name,
        why=why,
        pieces=pieces_of(outline) if outline else None,
        retired=True,
        **ground_form.facts_of(field),
    )
    return Draft(body, field=field.id)
