"""An invented farm to test on: two fields, three people, and phones that speak the contract by hand."""

from __future__ import annotations

import itertools
import json
from dataclasses import dataclass, field
from datetime import UTC, datetime
from decimal import Decimal
from typing import Any
from uuid import UUID

from django.test import Client

from server.intake import desk
from server.intake.desk import Draft
from server.people import slips, writes
from server.people.models import Farm, Person, Phone
from shared.sync.chain import NO_HEAD, next_head
from shared.wire import lines
from shared.wire.push import Frame, Stays, content_digest, push_bytes
from shared.wire.scalars import moment, written_moment
from shared.words.bodies.desk import Land

START = datetime(2026, 6, 1, 12, 0, tzinfo=UTC)
_ids = itertools.count(1)


def fresh_id() -> UUID:
    """A UUIDv7 that no test has had yet."""
    return UUID(f"01900000-0000-7000-8000-{next(_ids):012x}")


def square(lat: str, lon: str, side: str = "0.002") -> tuple[tuple[tuple[Decimal, Decimal], ...], ...]:
    """A ring of four corners from its south-west corner on."""
    south, west, step = Decimal(lat), Decimal(lon), Decimal(side)
    return (((south, west), (south, west + step), (south + step, west + step), (south + step, west)),)


@dataclass
class Ground:
    """A farm as a test knows it."""

    farm: Farm
    owner: Person
    crew: Person
    fields: tuple[UUID, UUID]

    def slip(self, now: datetime) -> str:
        return slips.make_slip(self.farm.id, now)

    def fresh(self) -> Farm:
        return Farm.objects.get(id=self.farm.id)


def found(name: str, now: datetime = START) -> Ground:
    farm = writes.found_farm(name, "America/New_York", now)
    account = writes.add_account(f"Ana Reyes of {name}", now)
    owner = writes.add_person(farm.id, now, name="Ana Reyes", role="owner", account=account)
    crew = writes.add_person(farm.id, now, name="Beto Luna", role="crew", language="es")
    ids = (fresh_id(), fresh_id())
    drawn = [
        Draft(land_body(one, title, square(lat, "-75.1")), field=one)
        for one, title, lat in zip(ids, ("Upper Rest", "Long Acre"), ("40.1", "40.11"), strict=True)
    ]
    desk.write(farm.id, owner.id, drawn, now)
    return Ground(farm, owner, crew, ids)


def land_body(
    subject: UUID, name: str, piece: Any, version: int = 1, what: Any = "field", **more: Any
) -> Land:
    return Land(
        what=what,
        subject=subject,
        version=version,
        name=name,
        why="drawn",
        pieces=(piece,) if piece else None,
        **more,
    )


def entry_tree(
    writer: UUID, kind: str = "cover", body: dict[str, Any] | None = None, **more: Any
) -> dict[str, Any]:
    """An entry as a JSON object in the contract's order of keys."""
    tree: dict[str, Any] = {
        "id": str(fresh_id()),
        "kind": kind,
        "edition": 1,
        "made_at": "2026-06-01T07:55:00.000-04:00",
        "boot": "0190ffff-0000-7000-8000-000000000001",
        "mono_ms": 1000,
        "done_at": None,
        "by": str(writer),
        "done_by": None,
        "field": None,
        "part": None,
        "land": None,
        "at": None,
        "round": None,
        "stop": None,
        "body": body or {"cover": "rye", "height_in": "31", "heads": "none"},
        "names": None,
        "sheets": [],
        "from_paper": False,
        "photos": [],
    }
    return tree | {key: str(one) if isinstance(one, UUID) else one for key, one in more.items()}


def raw(tree: dict[str, Any]) -> bytes:
    return json.dumps(tree, ensure_ascii=False, separators=(",", ":")).encode()


@dataclass
class HandPhone:
    """A phone that keeps its lines in a list and does as it is told."""

    id: UUID
    token: str
    by: UUID
    kept: list[bytes | Stays] = field(default_factory=list)
    client: Client = field(default_factory=Client)

    @classmethod
    def join(cls, ground: Ground, now: datetime, nonce: str = "nonce-of-a-phone") -> HandPhone:
        answer = enrol(ground.slip(now), nonce)
        assert answer.status_code == 201, answer.content
        told = answer.json()
        return cls(UUID(told["phone"]), told["token"], ground.crew.id)

    @property
    def row(self) -> Phone:
        return Phone.objects.get(id=self.id)

    @property
    def auth(self) -> dict[str, str]:
        return {"Authorization": f"Bearer {self.token}"}

    def head(self, line: int) -> str:
        head = NO_HEAD
        for one in self.kept[:line]:
            head = next_head(head, one.stays if isinstance(one, Stays) else lines.sha(one))
        return head

    def write(self, **more: Any) -> dict[str, Any]:
        tree = entry_tree(self.by, **more)
        self.kept.append(raw(tree))
        return tree

    def body(self, first: int, last: int | None = None, prev: str | None = None, sent_at: str = "") -> bytes:
        batch = self.kept[first - 1 : last]
        at = moment(sent_at or written_moment(START), "sent_at")
        boot = UUID("0190ffff-0000-7000-8000-000000000001")
        frame = Frame(self.id, first, prev or self.head(first - 1), len(batch), at, boot, 5000)
        return push_bytes(frame, batch)

    def push(self, first: int = 1, last: int | None = None, **how: Any) -> Any:
        return self.send(self.body(first, last, **how))

    def send(self, body: bytes, **headers: str) -> Any:
        told = self.auth | {"Content-Digest": content_digest(body)} | headers
        return self.client.post("/api/v1/entries/", body, content_type="application/x-ndjson", headers=told)

    def pull(self, since: str = "", **query: Any) -> Any:
        query = ({"since": since} if since else {}) | query
        headers = self.auth | ({"If-None-Match": f'"{since}"'} if since else {})
        return self.client.get("/api/v1/changes/", query, headers=headers)

    def pull_all(self, since: str = "", **query: Any) -> tuple[dict[str, dict[str, Any]], str]:
        """Every row by kind and id that a pull from here on brings, and the cursor after it."""
        rows: dict[str, dict[str, Any]] = {}
        while True:
            answer = self.pull(since, **query)
            if answer.status_code == 304:
                return rows, since
            assert answer.status_code == 200, answer.content
            page = answer.json()
            for kind, several in page["rows"].items():
                rows.setdefault(kind, {}).update({row["id"]: row for row in several})
            for kind, several in page["gone"].items():
                for one in several:
                    rows.setdefault(kind, {}).pop(one, None)
            since = page["next"]
            if not page["more"]:
                return rows, since


def enrol(code: str, nonce: str = "nonce-of-a-phone", client: Client | None = None, **headers: str) -> Any:
    tree = {"code": code, "nonce": nonce, "label": "gate phone", "platform": "linux", "app": "0.1.0"}
    return (client or Client()).post("/api/v1/enrol/", tree, content_type="application/json", headers=headers)


def outcomes(answer: Any) -> list[str]:
    assert answer.status_code == 200, answer.content
    return [one["outcome"] for one in answer.json()["results"]]
