"""The land as a map takes it: GeoJSON (RFC 7946) with what is to be said of each piece. The page works without it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any
from uuid import UUID

from django.urls import reverse
from shapely.geometry import mapping

from server.land import reads as land
from server.land.setbacks import KeptOff, shape_of
from server.web.desk import Desk
from server.web.lie import FieldLine
from server.web.too_near import Warned
from shared.languages import day, figure, say
from shared.status.due import due_words
from shared.words.field import Buffer, Field, Part, Pile
from shared.words.place import Outline


def land_map(
    desk: Desk,
    lines: Iterable[FieldLine],
    focus: UUID | None = None,
    points: Sequence[dict[str, Any]] = (),
    editing: UUID | None = None,
) -> dict[str, Any]:
    """Everything drawn on the farm. ``focus`` is the piece that the map opens on, ``editing`` the one that is being
    drawn, so left out."""
    buffers = [one for one in land.buffers(desk.farm.id) if one.outline and one.id != editing]
    told = list(lines)
    off = KeptOff.of((one.field.outline for one in told), buffers)
    features = [_of_buffer(desk, one, off) for one in buffers]
    features += [_of_line(desk, one) for one in told if one.field.outline and one.field.id != editing]
    features += [_of_part(one) for one in land.parts(desk.farm.id) if one.outline and one.id != editing]
    features += [_of_pile(desk, one) for one in land.piles(desk.farm.id) if one.outline and one.id != editing]
    for one in features:
        one["properties"]["focus"] = one["id"] == str(focus)
    tiles = land.tiles(desk.farm.id)
    return {
        "features": [*features, *points],
        "tiles": {"address": tiles.address, "credit": tiles.credit} if tiles else None,
        "metric": desk.farm.units == "metric",
        "language": desk.language,
        "words": {name: say(desk.language, f"land.map.{name}") for name in ("closer", "wider", "whole")},
    }


def plain_lines(fields: Iterable[Field]) -> list[FieldLine]:
    """Fields with nothing to say of them but their names."""
    return [FieldLine(one, None, 0, False, None, []) for one in fields]


def _feature(what: str, id: UUID, name: str, outline: Outline, **told: Any) -> dict[str, Any]:
    geometry = mapping(shape_of(outline))
    return {
        "type": "Feature",
        "id": str(id),
        "properties": {"what": what, "name": name} | told,
        "geometry": geometry,
    }


def _of_line(desk: Desk, line: FieldLine) -> dict[str, Any]:
    field = line.field
    leg = line.leg.leg if line.leg else ""
    return _feature(
        "field",
        field.id,
        field.name,
        field.outline or (),
        href=reverse("field", args=[desk.farm.id, field.id]),
        leg=leg,
        wrong=line.late_days > 0,
        told=_told(desk, line),
    )


def _told(desk: Desk, line: FieldLine) -> list[str]:
    """What the row of the same field says."""
    language, field = desk.language, line.field
    out = [say(language, "pages.acres", acres=figure(language, field.area_ac, 1))] if field.area_ac else []
    if line.leg:
        out.append(say(language, f"legs.{line.leg.leg}"))
    if line.due:
        job = due_words(line.due, language).job
        if line.later and line.due.earliest:
            when = say(language, "pages.from_day", day=day(language, line.due.earliest))
        elif line.late_days:
            when = say(language, "pages.late", count=line.late_days)
        else:
            when = day(language, line.due.last) if line.due.last else say(language, "pages.no_last_day")
        out.append(f"{job}: {when}")
    return out


def _of_part(part: Part) -> dict[str, Any]:
    return _feature("part", part.id, part.name, part.outline or ())


def _of_pile(desk: Desk, pile: Pile) -> dict[str, Any]:
    return _feature("pile", pile.id, pile.name, pile.outline or ())


def _of_buffer(desk: Desk, buffer: Buffer, off: KeptOff) -> dict[str, Any]:
    setback = say(desk.language, "land.map.setback", feet=figure(desk.language, buffer.setback_ft or 0))
    around = say(desk.language, f"land.around.{buffer.around}")
    band = off.band(buffer.id)
    made = _feature("buffer", buffer.id, buffer.name, buffer.outline or (), told=[around, setback])
    if band is not None and not band.is_empty:
        made["properties"]["band"] = mapping(band.simplify(1e-6))
    return made


def stops(desk: Desk, told: Iterable[Any], warned: Warned) -> list[dict[str, Any]]:
    """Where the entries of a page were written, each a link to it."""
    inside = {one.entry for one in warned.buffers}
    out = []
    for one in told:
        entry = one.read.entry
        if entry is None or entry.at is None or one.read.struck:
            continue
        title = one.telling.title if one.telling else ""
        out.append(
            {
                "type": "Feature",
                "id": str(entry.id),
                "properties": {
                    "what": "stop",
                    "name": f"{title}, {day(desk.language, one.at.date())}",
                    "href": reverse("entry", args=[desk.farm.id, entry.id]),
                    "wrong": entry.id in inside,
                },
                "geometry": {"type": "Point", "coordinates": [float(entry.at.lon), float(entry.at.lat)]},
            }
        )
    return out
