"""All that a farm owns, in open formats: the book as it proves, its land, its people, towns and trucks, what each entry
says now, and the photos."""

from __future__ import annotations

import csv
import io
import json
import tempfile
import zipfile
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import fields as columns_of
from datetime import date
from typing import IO, Any
from uuid import UUID

from shapely.geometry import mapping

from server.book import reads as book
from server.book.export import exported
from server.land import reads as land
from server.land.setbacks import shape_of
from server.people import reads as people
from server.people.models import Farm
from server.photos import store
from server.photos.models import Photo
from server.registers.facts import facts_of
from server.registers.sheet_csv import told_cell
from shared.languages import say
from shared.status.fact import Fact
from shared.wire.codec import written
from shared.words.bodies import KINDS

IN_MEMORY = 16 * 1024 * 1024
ENDINGS = {"image/jpeg": "jpg", "image/png": "png", "image/webp": "webp"}
SECRET = frozenset(("digits",))
"""What is nobody's to carry away: the hash of somebody's four digits."""


def whole_farm(farm: Farm, language: str) -> IO[bytes]:
    """A zip, open at its beginning."""
    out = tempfile.SpooledTemporaryFile(max_size=IN_MEMORY)  # noqa: SIM115
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED, allowZip64=True) as folder:
        folder.writestr(
            "README.txt", say(language, "farm_file.readme", farm=farm.name, number=farm.number) + "\n"
        )
        with folder.open("book.ndjson", "w", force_zip64=True) as file:
            for lines in exported(farm):
                file.write(lines)
        folder.writestr("land.geojson", json.dumps(_land(farm.id), ensure_ascii=False))
        for name, rows in _tables(farm.id):
            folder.writestr(f"{name}.csv", _csv(rows))
        for kind in KINDS:
            lines = list(_facts(farm, kind))
            if lines:
                folder.writestr(f"entries/{kind}.ndjson", "".join(lines))
        for photo in Photo.objects.filter(farm_id=farm.id).order_by("sha256").iterator():
            path = store.path(farm.id, photo.sha256)
            if path.is_file():
                name = f"photos/{photo.sha256}.{ENDINGS.get(photo.type, 'bin')}"
                folder.write(path, name, zipfile.ZIP_STORED)
    out.seek(0)
    return out


def _land(farm: UUID) -> dict[str, Any]:
    """Fields, parts, piles and buffers as drawn (RFC 7946), the retired too."""
    features = []
    for what, rows in (
        ("field", land.fields(farm, retired=True)), ("part", land.parts(farm, retired=True)),
        ("pile", land.piles(farm, retired=True)), ("buffer", land.buffers(farm, retired=True)),
    ):  # fmt: skip
        for one in rows:
            told = {key: value for key, value in written(one).items() if key != "outline"}
            geometry = mapping(shape_of(one.outline)) if one.outline else None
            features.append(
                {
                    "type": "Feature",
                    "id": str(one.id),
                    "geometry": geometry,
                    "properties": {"what": what} | told,
                }
            )
    return {"type": "FeatureCollection", "features": features}


def _tables(farm: UUID) -> Iterator[tuple[str, Sequence[Any]]]:
    yield "people", [one.value() for one in people.people(farm, retired=True)]
    yield "towns", land.towns(farm, retired=True)
    yield "haulers", land.haulers(farm, retired=True)
    yield "trucks", land.vehicles(farm, retired=True)


def _csv(rows: Sequence[Any]) -> str:
    out = io.StringIO()
    writer = csv.writer(out)
    names = [one.name for one in columns_of(rows[0]) if one.name not in SECRET] if rows else []
    writer.writerow(names)
    for row in rows:
        told: Mapping[str, Any] = written(row)
        writer.writerow([_cell(told.get(name)) for name in names])
    return "\ufeff" + out.getvalue()


def _cell(value: Any) -> str:
    if isinstance(value, (list, dict)):
        return told_cell(json.dumps(value, ensure_ascii=False))
    return "" if value is None else told_cell(str(value))


def _facts(farm: Farm, kind: str) -> Iterable[str]:
    """What each entry of a kind says now, after corrections and strikes, a line each."""
    if not book.of_kinds(farm.id, (kind,)).exists():
        return
    for one in facts_of(farm, (kind,), date.min, date.max):
        yield json.dumps(_told(one), ensure_ascii=False) + "\n"


def _told(one: Fact) -> dict[str, Any]:
    return {
        "id": str(one.id),
        "kind": one.kind,
        "number": one.number,
        "made_at": one.made_at.text,
        "done_at": written(one.done_at),
        "by": str(one.by),
        "done_by": written(one.done_by),
        "field": written(one.field),
        "part": written(one.part),
        "at": written(one.at),
        "struck": one.struck,
        "corrected_by": written(one.corrected_by),
        "mark": one.mark,
        "photos": [photo.sha256 for photo in one.photos],
        "body": written(one.body),
    }
