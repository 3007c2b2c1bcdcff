"""What a land entry draws: the ground's row as it is now, its version kept beside, its acres computed."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from decimal import Decimal
from typing import Any
from uuid import UUID

from server.land.models import Buffer, Drawn, Field, Part, Pile, Version, outline_value
from server.land.setbacks import KeptOff
from server.people import turns
from server.people.models import Reference
from shared.errors import InputError
from shared.reckoning.land import ground_area_m2
from shared.status.fact import Fact
from shared.units import acres
from shared.wire.codec import written
from shared.words.bodies.desk import Land
from shared.words.place import Outline, Polygon

MODELS: dict[str, type[Any]] = {"field": Field, "part": Part, "pile": Pile, "buffer": Buffer}
KIND_PULLED = {"field": "fields", "part": "parts", "pile": "piles", "buffer": "buffers"}


def outline_of(body: Land) -> Outline | None:
    """The polygons that a land entry draws."""
    if body.pieces is None:
        return None
    rings = [
        [tuple((float(lat), float(lon)) for lat, lon in ring) for ring in piece] for piece in body.pieces
    ]
    return tuple(Polygon(piece[0], tuple(piece[1:])) for piece in rings)


def acres_of(outline: Outline | None) -> float | None:
    """The geodesic area, None where nothing is drawn or the ring crosses itself."""
    if not outline:
        return None
    try:
        return acres(ground_area_m2(outline))
    except InputError:
        return None


def take(farm: UUID, drawn: Sequence[tuple[Fact, Land]]) -> None:
    """Keep each version; the last of each piece of ground, in the order of the book, is how it is now."""
    Version.objects.bulk_create([_version(farm, fact, body) for fact, body in drawn])
    last = {body.subject: body for _, body in drawn}
    rows: list[Reference] = [row for body in last.values() if (row := _row(farm, body)) is not None]
    turns.put(farm, rows)
    for what in ("field", "part", "pile", "buffer"):
        turns.back(farm, KIND_PULLED[what], [str(b.subject) for b in last.values() if b.what == what])
    if any(body.what in ("field", "buffer") for body in last.values()):
        respread(farm)


def _version(farm: UUID, fact: Fact, body: Land) -> Version:
    outline = outline_of(body)
    return Version(
        farm_id=farm,
        what=body.what,
        subject=body.subject,
        version=body.version,
        entry=fact.id,
        row=fact.number,
        starts_at=fact.moment().utc,
        name=body.name,
        why=body.why,
        outline=written(outline),
        area_ac=acres_of(outline),
        before=written(body.before or ()),
        retired=bool(body.retired),
    )


def _row(farm: UUID, body: Land) -> Drawn | None:
    """The ground's row as this entry says; None where the id is another kind's or another farm's: no force."""
    model = MODELS[body.what]
    row = model.objects.filter(id=body.subject).first()
    if row is not None and row.farm_id != farm:
        return None
    row = row or model(id=body.subject, farm_id=farm)
    outline = outline_of(body)
    row.name, row.version, row.retired = body.name, body.version, bool(body.retired)
    row.outline = written(outline)
    for column in COLUMNS[body.what]:
        value = getattr(body, column)
        setattr(row, column, str(value) if isinstance(value, Decimal) else value)
    if body.what == "part":
        if body.in_field is None:
            return None
        row.field = body.in_field
    if body.what == "buffer":
        row.around = body.around or "other"
    if body.what in ("field", "part"):
        row.area_ac = acres_of(outline)
    out: Drawn = row
    return out


COLUMNS = {
    "field": ("cap_in", "organic_from", "lease_end", "block_lot", "drainage", "slope_pct"),
    "part": (),
    "pile": ("in_field",),
    "buffer": ("setback_ft",),
}


def respread(farm: UUID) -> None:
    """The acres of each field that leaves may go on: its outline less what the buffers keep off."""
    fields = list(Field.objects.filter(farm_id=farm))
    outlines = [outline_value(field.outline) for field in fields]
    off = KeptOff.of(outlines, [one.value() for one in Buffer.objects.filter(farm_id=farm, retired=False)])
    changed: list[Reference] = []
    for field, outline in zip(fields, outlines, strict=True):
        # A ring that crosses itself has no acres, so none for leaves either.
        left_ac = off.left_ac(outline) if outline and field.area_ac is not None else None
        if not _same(left_ac, field.spreadable_ac):
            field.spreadable_ac = left_ac
            changed.append(field)
    turns.put(farm, changed)


def _same(now: float | None, before: float | None) -> bool:
    """Whether two acreages are one but for the last digits, which another projection's middle moves."""
    if now is None or before is None:
        return now is before
    return abs(now - before) <= AS_FINE_AS


AS_FINE_AS = 1e-6
"""Acres: a twenty-fifth of a square foot."""


def forget(farm: UUID, standing: Collection[UUID]) -> None:
    """Ground that no entry in force speaks of any more leaves the phones too."""
    for what, model in MODELS.items():
        gone = model.objects.filter(farm_id=farm).exclude(id__in=standing)
        turns.remove(farm, KIND_PULLED[what], [(one, str(one.id)) for one in gone])
