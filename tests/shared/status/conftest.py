"""A small invented farm and a pen that writes entries for it."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

import pytest

from shared.status.holding import holding
from shared.words.bodies import KINDS
from shared.words.bodies.gate import Load
from shared.words.bodies.reading import Correction, Reading, Strike
from shared.words.entry import Entry, Written
from shared.words.field import Field, Part, Pile
from shared.words.moment import Moment

ZONE = ZoneInfo("America/New_York")
KIND_OF = {cls: kind for kind, cls in KINDS.items()}


def uuid(number: int) -> UUID:
    return UUID(int=number)


def moment(day: str, time: str = "12:00:00") -> Moment:
    at = datetime.fromisoformat(f"{day}T{time}").replace(tzinfo=ZONE)
    return Moment(at.isoformat(), at.astimezone(UTC))


class Pen:
    """Writes entries: each gets the next id, line and book number, made at noon of the day that is named."""

    zone = ZONE
    ana, ben, ruth = uuid(1), uuid(2), uuid(3)
    field, other_field, part, second_part, pile = uuid(10), uuid(11), uuid(12), uuid(13), uuid(14)
    town, second_town = uuid(20), uuid(21)
    phone, desk = uuid(30), uuid(31)

    def __init__(self) -> None:
        self.count = 0

    def write(self, body: Any, day: str = "2026-06-01", **told: Any) -> Written:
        self.count += 1
        at_desk = told.pop("at_desk", False)
        number = told.pop("number", self.count)
        line = told.pop("line", self.count)
        outcome = told.pop("outcome", "kept")
        mark = told.pop("mark", None)
        envelope: dict[str, Any] = {
            "id": uuid(1000 + self.count),
            "kind": KIND_OF[type(body)],
            "edition": 1,
            "made_at": moment(day),
            "boot": None if at_desk else uuid(40),
            "mono_ms": None if at_desk else self.count * 1000,
            "done_at": None,
            "by": self.ana,
            "done_by": None,
            "field": self.field,
            "part": None,
            "land": None,
            "at": None,
            "round": None,
            "stop": None,
            "body": body,
            "names": None,
            "sheets": (),
            "from_paper": False,
            "photos": (),
        }
        entry = Entry(**(envelope | told))
        arrived = moment(day, "18:00:00")
        phone = self.desk if at_desk else self.phone
        sha = f"{self.count:064x}"
        return Written(entry, sha, phone, line, number, outcome, arrived if number else None, mark)

    def load(self, yards: str = "20", day: str = "2025-11-20", to: Any = None, **told: Any) -> Written:
        """A clean load of so many yards to the field (or to what ``to`` names), all in one bed."""
        about = {name: told.pop(name) for name in list(told) if name in Load.__dataclass_fields__}
        outcome = about.get("outcome", "taken")
        where = ((to or self.field, Decimal(yards)),) if outcome != "turned_back" else ()
        given: dict[str, Any] = {
            "ticket": f"A-{self.count + 1:04d}",
            "town": self.town,
            "beds": ((Decimal(yards), Decimal(100)),),
            "packing": "vacuumed",
            "bags": "none",
            "checked": "glance",
            "trash": "none",
            "trash_items": (),
            "trash_basis": "seen",
            "outcome": outcome,
            "to": where,
        }
        return self.write(Load(**(given | about)), day, **told)

    def correct(self, target: Written, body: Any, day: str = "2026-06-02", **told: Any) -> Written:
        of = told.pop("of", getattr(target.entry.body, "of", target.entry.kind))
        same = {"field": target.entry.field, "part": target.entry.part, "round": target.entry.round}
        same |= {"stop": target.entry.stop, "done_at": target.entry.done_at, "names": target.entry.id}
        return self.write(Correction(of, body, "misread"), day, **(same | told))

    def strike(self, target: Written, day: str = "2026-06-02", **told: Any) -> Written:
        of = told.pop("of", target.entry.kind)
        return self.write(Strike(of, "slip"), day, **({"names": target.entry.id} | told))

    def initial(self, *targets: Written, mark: Any = "initialled", **told: Any) -> Written:
        body = Reading(tuple(one.entry.id for one in targets), mark, True, "looked at")
        return self.write(body, at_desk=True, **({"by": self.ruth, "field": None} | told))

    def unsent(self, written: Written) -> Written:
        return replace(written, number=None, arrived_at=None)

    def land(self, acres: float = 4.0, parts: Any = (), **told: Any) -> Any:
        """The field's holding; ``parts`` are (id, acres)."""
        own = {name: told.pop(name) for name in ("cap_in", "organic_from") if name in told}
        field = Field(self.field, "Quarry Side", 1, None, acres, spreadable_ac=acres, **own)
        drawn = [Part(one, self.field, "part", 1, None, area) for one, area in parts]
        piles = [Pile(self.pile, "North pile", 1, None, None)]
        return holding(field, drawn, piles, **told)


@pytest.fixture
def pen() -> Pen:
    return Pen()


@pytest.fixture(scope="session")
def new_pen() -> type[Pen]:
    """Pens by the dozen, for properties."""
    return Pen


@pytest.fixture
def day() -> Any:
    """A date so many days after 1 March 2026."""
    return lambda days: date(2026, 3, 1) + timedelta(days=days)
