"""A push of 10,000 entries in batches of 500, spread over five fields, with all of the contract done; a pull with
nothing new. Through the real URL table and the real book on disk."""

from __future__ import annotations

import hashlib
import itertools
import os
import sqlite3
import tempfile
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any
from uuid import UUID

from tests.bench.measure import pair, seconds, tell

ENTRIES, BATCH, FIELDS = 10_000, 500, 5


def run() -> None:
    with tempfile.TemporaryDirectory() as folder:
        _laid(Path(folder))
        _push(Path(folder))
        _nothing_new()


def _laid(folder: Path) -> None:
    """Django on a data folder of its own, its tables made."""
    os.environ["GOODGROUND_DATA"] = str(folder)
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "server.config.settings")
    import django

    django.setup()
    from django.conf import settings
    from django.core.management import call_command

    settings.ALLOWED_HOSTS.append("testserver")
    from server.config.memory import settle

    call_command("migrate", verbosity=0)
    settle()


def _push(folder: Path) -> None:
    from tests.server.ground import HandPhone, found

    now = datetime.now(UTC)
    ground = found("Fallow Rise", now)
    phone = HandPhone.join(ground, now)
    fields = _fields(ground, now)
    phone.kept = [_entry(phone.by, fields[place % FIELDS], place) for place in range(ENTRIES)]
    bodies = [phone.body(first + 1, first + BATCH) for first in range(0, ENTRIES, BATCH)]
    bare = _bare(folder)
    ours, floor = [], []
    for place, body in enumerate(bodies):
        batch = phone.kept[place * BATCH : (place + 1) * BATCH]
        both = (
            (lambda body=body: _sent(phone, body), ours),
            (lambda batch=batch: _inserted(bare, batch), floor),
        )
        for act, times in both if place % 2 else reversed(both):
            times.append(seconds(act))
    bare.close()
    tell(
        "push of 10,000 in batches of 500",
        sum(ours),
        "bare SQLite",
        sum(floor),
        "0.2 of its speed, 0.35 compiled",
        ENTRIES,
    )
    again = seconds(lambda: [_sent(phone, body) for body in bodies])
    tell("the same sent again", again, "bare SQLite", sum(floor), "none stated", ENTRIES)


def _fields(ground: Any, now: datetime) -> list[UUID]:
    from server.intake import desk
    from server.intake.desk import Draft
    from tests.server.ground import fresh_id, land_body, square

    more = [fresh_id() for _ in range(FIELDS - 2)]
    drafts = [
        Draft(land_body(one, f"field {place}", square(f"40.{2 + place}", "-75.1")), field=one)
        for place, one in enumerate(more)
    ]
    desk.write(ground.farm.id, ground.owner.id, drafts, now)
    return [*ground.fields, *more]


def _entry(by: UUID, field: UUID, place: int) -> bytes:
    from tests.server.ground import entry_tree, raw

    made = datetime(2026, 6, 1, 12, tzinfo=UTC) + timedelta(seconds=place)
    at = {
        "lat": "40.1012345",
        "lon": "-75.0912345",
        "r68_m": "3.5",
        "fixed_at": made.isoformat(timespec="milliseconds"),
        "from": "gps",
    }
    round_id = UUID(int=(0x0190 << 112) | 7 << 76 | 2 << 62 | place // 12)
    bodies = itertools.cycle(
        (
            ("cover", {"cover": "rye", "height_in": "31", "heads": "none"}),
            ("weeds", {"seed_set": "none", "scale": "cover8", "classes": ["1-5", "5-25"]}),
            ("firmness", {"cone": "half_inch", "moisture": "ready", "where": "body", "peak_psi": "280"}),
        )
    )
    kind, body = next(itertools.islice(bodies, place % 3, None))
    return raw(
        entry_tree(
            by,
            kind,
            body,
            field=field,
            at=at,
            round=round_id,
            stop=place % 12 + 1,
            land=1,
            made_at=made.isoformat(timespec="milliseconds"),
            sheets=["new_jersey@1"],
        )
    )


def _sent(phone: Any, body: bytes) -> None:
    answer = phone.send(body)
    assert answer.status_code == 200, answer.content


def _bare(folder: Path) -> sqlite3.Connection:
    bare = sqlite3.connect(folder / "bare.sqlite3", isolation_level=None)
    bare.executescript(
        "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; CREATE TABLE line (sha TEXT, raw BLOB)"
    )
    return bare


def _inserted(bare: sqlite3.Connection, batch: list[bytes]) -> None:
    """The same bytes with their sha and nothing else, one commit a batch: the floor of a durable server."""
    bare.execute("BEGIN IMMEDIATE")
    places = ",".join(["(?,?)"] * len(batch))
    values = [value for one in batch for value in (hashlib.sha256(one).hexdigest(), one)]
    bare.execute(f"INSERT INTO line VALUES {places}", values)
    bare.execute("COMMIT")


def _nothing_new() -> None:
    from server.people import clock, slips
    from server.people.models import Farm
    from tests.server.ground import HandPhone, enrol

    told = enrol(slips.make_slip(Farm.objects.get().id, clock.now()), "nonce-of-bench").json()
    phone = HandPhone(UUID(told["phone"]), told["token"], UUID(told["people"][0]["id"]))
    _, cursor = phone.pull_all()
    assert phone.pull(cursor).status_code == 304
    pull, hello = pair(lambda: phone.pull(cursor), lambda: phone.client.get("/api/v1/hello/"), 301)
    tell("pull with nothing new", pull, "a view that does nothing", hello, "1.5 times or less")
