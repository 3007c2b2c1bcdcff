"""A farm with towns, trucks and leaves on it, for the pages to show; everything in it is invented."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import Any
from uuid import UUID

from django.test import Client
from django.urls import reverse

from server.book.models import Row
from server.intake import desk
from server.intake.desk import Draft
from server.land.writes import put_hauler, put_town, put_vehicle
from server.people import writes
from server.people.models import Person
from shared.wire.scalars import moment
from shared.words.bodies import Body
from shared.words.bodies.desk import LegChange, SheetChoice
from shared.words.bodies.gate import Load
from shared.words.bodies.told import Note
from shared.words.bodies.walked import Cover, LeafDepth
from tests.server.ground import Ground, fresh_id

LONGEST_TRUCK = Decimal("20")


@dataclass
class Farmyard:
    """A ground with what comes through its gate. ``at`` is the time at which things are written."""

    ground: Ground
    at: datetime
    town: UUID = field(default_factory=fresh_id)
    truck: UUID = field(default_factory=fresh_id)
    tickets: int = 0

    @classmethod
    def of(cls, ground: Ground, at: datetime) -> Farmyard:
        yard = cls(ground, at)
        put_town(ground.farm.id, at, yard.town, name="Fallowdale", season_cap_yd3=Decimal("400"))
        hauler = put_hauler(ground.farm.id, at, name="Rook Hauling")
        put_vehicle(
            ground.farm.id, at, yard.truck, label="Fallowdale 6", town_id=yard.town, hauler_id=hauler.id,
            bed_yd3=LONGEST_TRUCK, packing="loose", plate="FD 6",
        )  # fmt: skip
        return yard

    @property
    def farm(self) -> UUID:
        return self.ground.farm.id

    def draft(self, body: Body, by: Person | None = None, at: datetime | None = None, **more: Any) -> Draft:
        made = moment((at or self.at).isoformat(timespec="milliseconds"), "made_at")
        return Draft(body, made_at=made, by=(by or self.ground.crew).id, **more)

    def write_all(self, drafts: Sequence[Draft], at: datetime | None = None) -> list[Row]:
        """Many in one transaction: a test's own setting-up costs little."""
        return desk.write(self.farm, self.ground.owner.id, drafts, at or self.at)

    def write(self, body: Body, by: Person | None = None, at: datetime | None = None, **more: Any) -> Row:
        return self.write_all([self.draft(body, by, at, **more)], at)[0]

    def notes(self, count: int, **more: Any) -> list[UUID]:
        drafts = [self.draft(Note(f"note {n}"), **more) for n in range(count)]
        return [row.entry for row in self.write_all(drafts) if row.entry is not None]

    def sheets(self, *names: str) -> None:
        for name in names:
            self.write(SheetChoice(name, True, date(2020, 1, 1), "the county asks for it"))

    def leg(self, field: UUID, leg: Any, starts_on: date, crop: str | None = None) -> Row:
        return self.write(LegChange(leg, starts_on, "as it stands", crop), field=field)

    def load_body(self, to: UUID | None, yards: str = "20", **more: Any) -> Load:
        """A load of 20 yards; ``to`` None: turned back."""
        self.tickets += 1
        told: dict[str, Any] = {
            "ticket": f"26-{self.tickets:04d}",
            "town": self.town,
            "vehicle": self.truck,
            "beds": ((LONGEST_TRUCK, Decimal(yards) * 100 / LONGEST_TRUCK),),
            "packing": "loose",
            "bags": "none",
            "checked": "glance",
            "trash": "none" if to else "over",
            "trash_items": () if to else ("plastic",),
            "trash_basis": "seen",
            "outcome": "taken" if to else "turned_back",
            "to": ((to, Decimal(yards)),) if to else (),
            "reason": None if to else "plastic bags all through",
        }
        return Load(**told | more)

    def load(
        self,
        to: UUID | None,
        yards: str = "20",
        at: datetime | None = None,
        done_at: date | None = None,
        **more: Any,
    ) -> Row:
        return self.write(self.load_body(to, yards, **more), at=at, done_at=done_at)

    def loads(self, count: int, to: UUID | None, yards: str = "20", at: datetime | None = None) -> list[Row]:
        return self.write_all([self.draft(self.load_body(to, yards), at=at) for _ in range(count)], at)

    def cover_round(
        self, field: UUID, heights: list[str], heads: Any = "none", at: datetime | None = None
    ) -> UUID:
        bodies = [Cover("sorghum_sudan", Decimal(height), heads) for height in heights]
        return self._round(field, bodies, at)

    def depth_round(self, field: UUID, depths: list[str]) -> UUID:
        return self._round(field, [LeafDepth(Decimal(depth), "fresh") for depth in depths], None)

    def _round(self, field: UUID, bodies: Sequence[Body], at: datetime | None) -> UUID:
        walked = fresh_id()
        drafts = [
            self.draft(body, at=at, field=field, round=walked, stop=stop)
            for stop, body in enumerate(bodies, 1)
        ]
        self.write_all(drafts, at)
        return walked

    def hand(self, name: str, role: str, language: str = "en") -> Person:
        account = writes.add_account(f"{name} of {self.ground.farm.name}", self.at, language)
        return writes.add_person(self.farm, self.at, name=name, role=role, language=language, account=account)

    def page(self, name: str, *args: Any) -> str:
        return reverse(name, args=[self.farm, *args])


def signed_in(person: Person) -> Client:
    client = Client()
    client.force_login(person.account, backend="django.contrib.auth.backends.ModelBackend")
    return client


def days_before(at: datetime, days: int) -> datetime:
    return at - timedelta(days=days)
