"""Farms and phones for the benches of the server: Django on a folder of its own, five fields, realistic entries."""

from __future__ import annotations

import os
import random
from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any
from uuid import UUID

BATCH, FIELDS, STOPS = 500, 5, 12
AT_ONCE = 10_000
START = datetime(2026, 6, 1, 12, tzinfo=UTC)
BODIES: tuple[tuple[str, dict[str, Any]], ...] = (
    ("cover", {"cover": "rye", "height_in": "31", "heads": "none"}),
    ("weeds", {"seed_set": "none", "scale": "cover8", "classes": ["1-5", "5-25"]}),
    ("firmness", {"cone": "half_inch", "moisture": "ready", "where": "body", "peak_psi": "280"}),
)


VARIED = {"height_in", "peak_psi"}


def lay(folder: Path) -> None:
    """Django on a new book in this folder, or on GOODGROUND_DATABASE_URL, its memory settled as a server's is."""
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


def a_farm(name: str) -> tuple[Any, list[UUID]]:
    """A farm with five fields, and the fields."""
    from server.intake import desk
    from server.intake.desk import Draft
    from tests.server.ground import found, land_body, square

    now = datetime.now(UTC)
    ground = found(f"{name} {now.timestamp():.0f}", now)
    more = [uuid7(now) for _ in range(FIELDS - 2)]
    drafts = [
        Draft(land_body(one, f"field {place}", square(f"40.{2 + place}", "-75.1")), field=one)
        for place, one in enumerate(more)
    ]
    desk.write(ground.farm.id, ground.owner.id, drafts, now)
    return ground, [*ground.fields, *more]


def a_phone(ground: Any) -> Any:
    from tests.server.ground import HandPhone

    now = datetime.now(UTC)
    return HandPhone.join(ground, now, f"nonce-of-bench-{now.timestamp()}")


_chance = random.Random(7)


def uuid7(at: datetime) -> UUID:
    value = int(at.timestamp() * 1000) << 80 | _chance.getrandbits(80)
    value = value & ~(0xF << 76) | 7 << 76
    return UUID(int=value & ~(0x3 << 62) | 2 << 62)


def entry(by: UUID, fields: Sequence[UUID], place: int) -> bytes:
    """One stop of a round: a field is walked twelve stops long, then the next; ids and places as phones make them."""
    from tests.server.ground import entry_tree, raw

    made = START + timedelta(seconds=20 * place)
    at = {
        "lat": f"{40.1 + _chance.random() / 500:.7f}",
        "lon": f"{-75.1 + _chance.random() / 500:.7f}",
        "r68_m": f"{_chance.randint(20, 90) / 10}",
        "fixed_at": (made - timedelta(milliseconds=_chance.randint(1, 999))).isoformat(
            timespec="milliseconds"
        ),
        "from": "gps",
    }
    kind, body = BODIES[place % 3]
    varied = {key: str(_chance.randint(20, 80)) for key in VARIED & body.keys()}
    walk = place // STOPS
    return raw(
        entry_tree(
            by,
            kind,
            body | varied,
            id=uuid7(made),
            field=fields[walk % FIELDS],
            at=at,
            round=UUID(int=(0x0190 << 112) | 7 << 76 | 2 << 62 | walk),
            stop=place % STOPS + 1,
            land=1,
            made_at=made.isoformat(timespec="milliseconds"),
            mono_ms=20_000 * place,
            sheets=["new_jersey@1"],
        )
    )


def sent(phone: Any, body: bytes) -> None:
    answer = phone.send(body)
    assert answer.status_code == 200, answer.content


def filled(ground: Any, fields: Sequence[UUID], count: int) -> None:
    """So many entries in a farm's book by the book's own writer, each with its place; their phone pushes no more. What
    follows from them is passed over: it would take an hour, and neither a push nor a pull with nothing new looks at
    it."""
    from django.db import transaction

    from server.book.placing import placed
    from server.book.writes import New, append
    from server.people.lookup import locked_row
    from server.people.models import Farm
    from shared.sync.chain import NO_HEAD, next_head
    from shared.wire import lines

    phone, head = a_phone(ground), NO_HEAD
    for first in range(0, count, AT_ONCE):
        news = []
        for place in range(first, min(count, first + AT_ONCE)):
            raw = entry(phone.by, fields, place)
            sha = lines.sha(raw)
            head = next_head(head, sha)
            id = UUID(raw[len('{"id":"') :][:36].decode())
            news.append(New(phone.id, place + 1, "kept", None, sha, None, raw, id, head))
        with transaction.atomic():
            append(locked_row(Farm, ground.farm.id), news, datetime.now(UTC))
        placed(ground.farm.id)
    farm = Farm.objects.get(id=ground.farm.id)
    Farm.objects.filter(id=farm.id).update(folded=farm.number)
