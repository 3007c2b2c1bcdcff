"""Sound entries of every kind that nobody in their senses would write, made from the annotations of the words."""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from dataclasses import MISSING, Field, fields, is_dataclass
from datetime import date, timedelta
from decimal import Decimal
from types import NoneType, UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin, get_type_hints
from uuid import UUID

from shared.wire.codec import key_of
from shared.words.bodies import KINDS
from shared.words.moment import Moment
from shared.words.span import Span

TEXTS = (
    *("", " ", "rye", "garlic", "=1+1", "<script>alert(1)</script>", "\u202e ñ 𝕏", "a" * 300, "-", "0"),
    *("{fields}", "%s", "\n\n", "2026-13-45"),
)
FIGURES = (
    *("0", "-0", "1", "-1", "0.000000001", "999999999.999999999", "-999999999", "100", "6", "31.5", "300"),
)
COUNTS = (0, 1, 2, 3, 10, 100, -1, 2**53 - 1)
DAYS = ("2024-02-29", "0001-01-01", "9999-12-31", "2026-05-31", "2026-06-01", "2027-01-01")
ZONES = ("Z", "-04:00", "+00:00", "+14:00", "-23:59")
SHARES = (Decimal(0), Decimal("0.01"), Decimal("0.05"), Decimal("0.2"), Decimal("0.5"), Decimal(1))
LAST = date(2026, 8, 1)


class Anything:
    """Trees of entries, the same for the same seed. ``ids`` are what they name: fields, towns, one another."""

    def __init__(self, seed: int, ids: Sequence[UUID]) -> None:
        self.chance = random.Random(seed)
        self.ids = list(ids)

    def body(self, kind: str) -> dict[str, Any]:
        if kind == "correction":
            of = self.chance.choice([one for one in KINDS if one != kind])
            return {"of": of, "body": self.body(of), "why": self.chance.choice(TEXTS)}
        return self._value(KINDS[kind])

    def envelope(self, fields_: Sequence[UUID]) -> dict[str, Any]:
        """What an entry may say around its body, each now and then."""
        chance = self.chance
        told: dict[str, Any] = {"field": str(chance.choice(fields_)) if chance.random() < 0.8 else None}
        said = {
            "made_at": self.time,
            "done_at": lambda: chance.choice((self.day, self.time))(),
            "part": self.id,
            "round": self.id,
            "stop": lambda: chance.choice(COUNTS),
            "names": self.id,
            "done_by": lambda: chance.choice((self.id(), *TEXTS)),
            "sheets": lambda: ["new_jersey@1", chance.choice(TEXTS)],
            "at": self._place,
        }
        return told | {key: say() for key, say in said.items() if chance.random() < 0.3}

    def id(self) -> str:
        known = self.chance.random() < 0.95
        return str(self.chance.choice(self.ids) if known else UUID(int=self.chance.getrandbits(128)))

    def day(self) -> str:
        if self.chance.random() < 0.7:
            return (LAST - timedelta(days=self.chance.randint(0, 1000))).isoformat()
        return self.chance.choice(DAYS)

    def time(self) -> str:
        hour, second = self.chance.randint(0, 23), self.chance.choice(("00", "59.123"))
        return f"{self.day()}T{hour:02d}:30:{second}{self.chance.choice(ZONES)}"

    def _place(self) -> dict[str, Any]:
        return {
            "lat": self.chance.choice(("40.1001", "40.11", "91", "-90", "0.1")),
            "lon": self.chance.choice(("-75.0999", "-75.1", "181", "0.1")),
            "r68_m": self.chance.choice(("5", "0.1", "99999", "0.000000001")),
            "fixed_at": self.time(),
            "from": self.chance.choice(("gps", "network", "typed")),
        }

    def _value(self, cls: type[Any]) -> dict[str, Any]:
        hints = get_type_hints(cls, include_extras=True)
        wanted = [one for one in fields(cls) if not _may_be_left_out(one) or self.chance.random() < 0.5]
        return {key_of(cls.__name__, one.name): self._of(_named(one, hints[one.name])) for one in wanted}

    def _of(self, hint: Any) -> Any:
        origin, inside = get_origin(hint), get_args(hint)
        if origin is Annotated:
            return self._within(inside[0], [one for one in inside[1:] if isinstance(one, Span)])
        if origin is Literal:
            return self.chance.choice(inside)
        if origin in (UnionType, Union):
            if NoneType in inside and self.chance.random() < 0.3:
                return None
            return self._of(self.chance.choice([one for one in inside if one is not NoneType]))
        if origin is tuple and inside[-1] is Ellipsis:
            return [self._of(inside[0]) for _ in range(self.chance.choice((0, 1, 1, 2, 3, 5)))]
        if origin is tuple:
            return [self._of(one) for one in inside]
        if origin in (dict, Mapping):
            return {self.chance.choice(("P", "K", "ph", "x")): self._of(inside[1]) for _ in range(2)}
        if is_dataclass(hint) and hint is not Moment:
            return self._value(hint)  # type: ignore[arg-type]
        return self._plain(hint)

    def _within(self, hint: Any, spans: Sequence[Span]) -> Any:
        """Mostly within what is believable, so that it counts; a unit's own whole range at times."""
        if spans and hint in (Decimal, int) and self.chance.random() < 0.85:
            low, high = Decimal(str(spans[0].low)), Decimal(str(spans[0].high))
            value = low + (high - low) * self.chance.choice(SHARES)
            return int(value) if hint is int else f"{value.quantize(Decimal('0.1')):f}"
        return self._of(hint)

    def _plain(self, hint: Any) -> Any:
        made = {
            str: lambda: self.chance.choice(TEXTS),
            bool: lambda: self.chance.random() < 0.5,
            int: lambda: self.chance.choice(COUNTS),
            Decimal: lambda: self.chance.choice(FIGURES),
            float: lambda: self.chance.choice(FIGURES),
            UUID: self.id,
            date: self.day,
            Moment: self.time,
        }
        return made[hint]()


def _may_be_left_out(one: Field[Any]) -> bool:
    return one.default is not MISSING or one.default_factory is not MISSING


def _named(one: Field[Any], hint: Any) -> Any:
    """The annotation of a key that is there: one that may be left out is not null when it is there."""
    if one.default is None and get_origin(hint) in (UnionType, Union):
        rest = tuple(option for option in get_args(hint) if option is not NoneType)
        return rest[0] if len(rest) == 1 else Union[rest]  # noqa: UP007
    return hint
