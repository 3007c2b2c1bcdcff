"""What a phone may have on it though nobody in their senses wrote it: sound entries of every kind, strange land."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from typing import Any
from uuid import UUID

from mobile.ports import NewLine, Phone
from shared.errors import Unsound
from shared.wire import lines
from shared.wire.pull import row_tree
from shared.words.bodies import KINDS
from shared.words.bodies.reading import Correction, Strike
from shared.words.due import Due
from shared.words.entry import Entry
from shared.words.field import Buffer, Field, Part, Pile
from shared.words.place import Polygon, Ring
from shared.words.town import Town, Vehicle
from tests.anything import TEXTS, Anything
from tests.mobile.fake_server import FakeFarm
from tests.mobile.farmland import (
    EASTMERE,
    FALLOWDALE,
    KILN_BOTTOM,
    QUARRY_SIDE,
    SPRING_PIECE,
    TRUCKS,
    a_field,
    ring,
)

TODAY = "2026-05-12T07:30:00.000-04:00"
MADE_TODAY = 0.5
NAMING = ("correction", "strike")
LONG = "Hinter der " + "Wiese-" * 20 + "Süd"
NAMES = ("", " ", LONG, "a" * 300, "\u202e ñ 𝕏", "{field}", "%s", "\n\n", "[b]Under[/b]", "0")


def strange_entries(seed: int, count: int, by: UUID, fields: Sequence[UUID]) -> list[Entry]:
    """Sound entries of a phone, half of them of today: corrections and strikes name any of those before."""
    anything = Anything(seed, [*fields, *TRUCKS, FALLOWDALE, EASTMERE, by])
    made: list[Entry] = []
    while len(made) < count:
        kind = _kind(anything, len(made))
        told = anything.envelope(fields)
        if anything.chance.random() < MADE_TODAY:
            told["made_at"] = TODAY
        body = _speaking_of(anything, kind, made, told) if made and kind in NAMING else anything.body(kind)
        id = UUID(int=(7 << 76) + (2 << 62) + (seed << 40) + len(made))
        try:
            made.append(_entry(id, kind, by, body, told))
        except Unsound:
            continue
        anything.ids.append(id)
    return made


def _kind(anything: Anything, at: int) -> str:
    """Of every sort, but more loads and corrections than by chance."""
    usual = ("load", "correction")[at % 2]
    return usual if at % 3 == 0 else anything.chance.choice(list(KINDS))


def _speaking_of(
    anything: Anything, kind: str, made: Sequence[Entry], told: dict[str, Any]
) -> dict[str, Any]:
    named = anything.chance.choice(made)
    told["names"] = str(named.id)
    of = named.body.of if isinstance(named.body, (Correction, Strike)) else named.kind
    body = {"of": of, "why": anything.chance.choice(TEXTS)}
    return body | ({"body": anything.body(of)} if kind == "correction" else {})


def _entry(id: UUID, kind: str, by: UUID, body: dict[str, Any], told: dict[str, Any]) -> Entry:
    tree = {
        "id": str(id), "kind": kind, "edition": 1, "made_at": TODAY, "boot": str(UUID(int=1)), "mono_ms": 1,
        "done_at": None, "by": str(by), "done_by": None, "field": None, "part": None, "land": None, "at": None,
        "round": None, "stop": None, "body": body, "names": None, "sheets": [], "from_paper": False, "photos": [],
    }  # fmt: skip
    return lines.decode(json.dumps(tree | told, ensure_ascii=False).encode())


def kept(phone: Phone, enrolment: int, entries: Sequence[Entry]) -> None:
    """In the phone's book as its own; a fifth of them held by the server, a few refused, the rest waiting."""
    phone.book.save(
        enrolment, [NewLine(e.id, e.kind, e.field, e.round, 0, lines.encode(e), (), e.names) for e in entries]
    )
    most = max(5, len(entries) // 4)
    phone.book.disk.write(  # type: ignore[attr-defined]
        lambda one: (
            one.execute(
                "UPDATE entries SET outcome = 'held', code = 'unknown_kind' WHERE line <= ?", (most,)
            ),
            one.execute("UPDATE entries SET outcome = 'refused', code = 'too_large' WHERE line IN (2, 4)"),
            one.execute("UPDATE enrolments SET handed = ?", (most,)),
        )
    )


def strange_land(farm: FakeFarm, fields: int = 300) -> list[UUID]:
    """Rows that the server may send: hundreds of fields, names of any kind, outlines that hold nothing."""
    point = ring((0, 0))[0]
    outlines: tuple[Ring, ...] = (
        (point, point, point),
        ring((0, 0), (10, 0), (20, 0)),
        ring((0, 0), (100, 100), (100, 0), (0, 100)),
        ring(*((float(x), float(x % 3)) for x in range(400))),
        ((89.9999, 179.9999), (89.9998, -179.9999), (89.9997, 0.0)),
    )
    ids = []
    for at in range(fields):
        id = UUID(int=0x10_000 + at)
        shape = outlines[at % len(outlines)] if at < 25 else ring(*_square(at))
        outline = None if at == 7 else (Polygon(shape),)
        area = None if at % 5 == 1 else 0.0 if at % 5 == 2 else 3.5
        name = NAMES[at % len(NAMES)] if at < 40 else f"Field {at}"
        organic = (date(1, 1, 1), date(9999, 12, 31), None)[at % 3]
        farm.put("fields", row_tree(Field(id, name, 1, outline, area, area, Decimal(0), organic)))
        ids.append(id)
    _around(farm, ids, outlines)
    return ids


def _square(at: int) -> list[tuple[float, float]]:
    x, y = 200.0 * (at % 20), 400.0 + 200.0 * (at // 20)
    return [(x, y), (x + 150, y), (x + 150, y + 150), (x, y + 150)]


def _around(farm: FakeFarm, ids: Sequence[UUID], outlines: Sequence[Ring]) -> None:
    """Parts, piles, buffers, towns, trucks and dues of the same sort; a field of every day gets its share."""
    for at, name in enumerate(NAMES):
        shape = (Polygon(outlines[at % len(outlines)]),)
        farm.put("parts", row_tree(Part(UUID(int=0x20_000 + at), SPRING_PIECE, name, 1, shape, None)))
        farm.put(
            "piles", row_tree(Pile(UUID(int=0x30_000 + at), name, 1, None if at % 2 else shape, ids[at]))
        )
        farm.put(
            "buffers", row_tree(Buffer(UUID(int=0x40_000 + at), name, 1, "well", shape, Decimal(at * 40)))
        )
        town = UUID(int=0x50_000 + at)
        farm.put("towns", row_tree(Town(town, name)))
        truck = Vehicle(UUID(int=0x60_000 + at), name, town, Decimal("0.1"), "vacuumed")
        farm.put("vehicles", row_tree(truck))
        farm.put("dues", row_tree(_due(at, (SPRING_PIECE, QUARRY_SIDE, ids[0], None)[at % 4])))
    farm.put("fields", row_tree(replace(a_field(KILN_BOTTOM), name=LONG)))


def _due(at: int, field: UUID | None) -> Due:
    day = (date(1, 1, 1), date(9999, 12, 31), date(2026, 5, 1), None)[at % 4]
    job: Any = ("mow", "other", "report", "pile_check", "answer")[at % 5]
    later = day + timedelta(days=1) if day is not None and day.year < 9999 else day
    return Due(f"strange-{at}", job, field, None, None, day, later, "no_such_reason", {"fact": NAMES[at]})
