"""A farm for the benches in a folder of its own: five fields, one phone, as many sound entries as are wanted."""

from __future__ import annotations

import json
import os
import random
import sqlite3
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any
from uuid import UUID

FIELDS = 5
START = datetime(2026, 7, 2, 12, 0, tzinfo=UTC)
BATCH = 500


@dataclass(frozen=True, slots=True)
class BenchFarm:
    """What a bench needs of the farm: the folder, its ids, the phone's token."""

    folder: Path
    farm: UUID
    person: UUID
    phone: UUID
    token: str
    fields: tuple[UUID, ...]


def set_up(folder: Path | None = None) -> BenchFarm:
    """Django on a new SQLite file, or on GOODGROUND_DATABASE_URL; a farm with five fields and a joined phone."""
    folder = folder or Path(tempfile.mkdtemp(prefix="goodground-bench-"))
    os.environ["GOODGROUND_DATA"] = str(folder)
    os.environ["DJANGO_SETTINGS_MODULE"] = "server.config.settings"
    import django

    django.setup()
    from django.core.management import call_command
    from django.test import Client

    from server.people import slips, writes

    call_command("migrate", verbosity=0, interactive=False)
    now = datetime.now(UTC)
    farm = writes.found_farm(f"bench {folder.name}", "America/New_York", now)
    person = writes.add_person(farm.id, now, name="A Hand", role="crew")
    fields = tuple(_field(farm.id, person.id, place, now) for place in range(FIELDS))
    code = slips.make_slip(farm.id, now)
    asked = {"code": code, "nonce": "bench-nonce-0001", "label": "bench", "platform": "bench", "app": "0.1.0"}
    answer = Client().post("/api/v1/enrol/", json.dumps(asked), content_type="application/json")
    joined = answer.json()
    return BenchFarm(folder, farm.id, person.id, UUID(joined["phone"]), joined["token"], fields)


def _field(farm: UUID, person: UUID, place: int, now: datetime) -> UUID:
    from server.intake.desk import Draft, write_one
    from server.people.ids import new_id
    from shared.words.bodies.desk import Land

    subject = new_id(now)
    from decimal import Decimal

    lat, lon = Decimal("40.1") + Decimal(place) / 500, Decimal("-75.1")
    side = Decimal("0.0015")
    ring = ((lat, lon), (lat, lon + side), (lat + side, lon + side), (lat + side, lon))
    body = Land("field", subject, 1, f"Field {place + 1}", "drawn", pieces=((ring,),))
    write_one(farm, person, Draft(body, field=None), now)
    return subject


def uuid7(at: datetime, chance: random.Random) -> UUID:
    value = int(at.timestamp() * 1000) << 80 | chance.getrandbits(80)
    value = value & ~(0xF << 76) | 7 << 76
    return UUID(int=value & ~(0x3 << 62) | 2 << 62)


def lines(farm: BenchFarm, count: int, seed: int = 1) -> list[bytes]:
    """Cover heights of rounds walked in five fields, a stop a line, as a phone writes them."""
    chance = random.Random(seed)
    out, rounds = [], {}
    boot = str(uuid7(START, chance))
    for place in range(count):
        at = START + timedelta(seconds=20 * place)
        field = farm.fields[place // 20 % FIELDS]
        if place % 20 == 0:
            rounds[field] = str(uuid7(at, chance))
        tree: dict[str, Any] = {
            "id": str(uuid7(at, chance)),
            "kind": "cover",
            "edition": 1,
            "made_at": at.isoformat(timespec="milliseconds"),
            "boot": boot,
            "mono_ms": 20_000 * place,
            "done_at": None,
            "by": str(farm.person),
            "done_by": None,
            "field": str(field),
            "part": None,
            "land": 1,
            "at": {
                "lat": f"{40.1 + chance.random() / 1000:.7f}",
                "lon": f"{-75.1 + chance.random() / 1000:.7f}",
                "r68_m": "4.2",
                "fixed_at": at.isoformat(timespec="milliseconds"),
                "from": "nmea",
            },
            "round": rounds[field],
            "stop": place % 20 + 1,
            "body": {"cover": "sorghum_sudan", "height_in": str(chance.randint(20, 80)), "heads": "none"},
            "names": None,
            "sheets": ["new_jersey@1"],
            "from_paper": False,
            "photos": [],
        }
        out.append(json.dumps(tree, separators=(",", ":")).encode())
    return out


def pushes(
    farm: BenchFarm, raws: list[bytes], head: str, line: int = 0, batch: int = BATCH
) -> Iterator[bytes]:
    """The bodies of the pushes that hand these lines in, from ``line`` + 1 on."""
    from shared.sync.chain import head_over
    from shared.wire import lines as wire
    from shared.wire.push import Frame, push_bytes
    from shared.words.moment import Moment

    for start in range(0, len(raws), batch):
        several = raws[start : start + batch]
        sent_at = Moment(datetime.now(UTC).isoformat(timespec="milliseconds"), None)
        frame = Frame(farm.phone, line + start + 1, head, len(several), sent_at, None, None)
        yield push_bytes(frame, several)
        head = head_over([wire.sha(raw) for raw in several], head)


def bare_sqlite(folder: Path, raws: list[bytes], batch: int = BATCH) -> None:
    """The floor: the same bytes in bare SQLite, WAL, synchronous=FULL, a commit a batch, nothing else done."""
    path = folder / "bare.sqlite3"
    for name in ("bare.sqlite3", "bare.sqlite3-wal", "bare.sqlite3-shm"):
        (folder / name).unlink(missing_ok=True)
    with sqlite3.connect(path, isolation_level=None) as bare:
        bare.executescript("PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; CREATE TABLE t (raw BLOB)")
        for start in range(0, len(raws), batch):
            bare.execute("BEGIN IMMEDIATE")
            bare.executemany("INSERT INTO t VALUES (?)", [(raw,) for raw in raws[start : start + batch]])
            bare.execute("COMMIT")
    bare.close()
