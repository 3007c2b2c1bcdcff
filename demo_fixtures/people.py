"""Four invented people and the phones that they carry. Nobody here is real."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from uuid import UUID

from demo_fixtures.seed import FOUNDED, identity
from shared.words.person import Language, Role


@dataclass(frozen=True, slots=True)
class Hand:
    """Somebody on the farm. ``digits`` are typed on a phone to say who holds it: a name tag, not a lock."""

    key: str
    name: str
    initials: str
    role: Role
    language: Language
    digits: str

    @property
    def id(self) -> UUID:
        return identity(FOUNDED, "person", self.key)


OWNER = Hand("owner", "Hester Fallowick", "HF", "owner", "en", "1406")
ANA = Hand("ana", "Ana Belquira", "AB", "crew", "es", "2207")
TOBIN = Hand("tobin", "Tobin Ashgarth", "TA", "crew", "en", "3108")
TALLIER = Hand("tallier", "Wren Oddlark", "WO", "tallier", "en", "4009")
PEOPLE: tuple[Hand, ...] = (OWNER, ANA, TOBIN, TALLIER)
BY_KEY: Mapping[str, Hand] = {hand.key: hand for hand in PEOPLE}


@dataclass(frozen=True, slots=True)
class Handset:
    """A phone: its label at the desk, and who mostly carries it."""

    key: str
    label: str
    carried_by: Hand


PHONES: tuple[Handset, ...] = (
    Handset("blue", "Blue phone", OWNER),
    Handset("red", "Red phone", ANA),
    Handset("yellow", "Yellow phone", TOBIN),
    Handset("gate", "Gate phone", TALLIER),
)
DESK = "desk"
AHEAD_MIN = 14
"""How far the red phone's clock runs ahead once its battery has been out."""
