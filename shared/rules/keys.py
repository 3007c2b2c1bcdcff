"""What a key of a rule sheet may hold, read once from ``sheets/keys.toml``."""

from __future__ import annotations

import math
import tomllib
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from functools import cache
from typing import Any, Literal

from shared.rules import sheets
from shared.rules.sheet import Value

SOME_YEAR = "2001"
"""A day of the year is tried on a common year: one that comes only every fourth year is no date to report
by."""

KeyShape = Literal["number", "count", "flag", "choice", "list", "day"]


@dataclass(frozen=True, slots=True)
class Key:
    """One key: the shape of its value, its unit, its range, its choices and the bases it can be meant on."""

    name: str
    shape: KeyShape
    unit: str = ""
    low: float | None = None
    high: float | None = None
    choices: tuple[str, ...] = ()
    bases: tuple[str, ...] = ()

    def allowed(self) -> str:
        """What the value may be, in plain words for an error."""
        span = (
            f" from {self.low:,} to {self.high:,}" if self.low is not None and self.high is not None else ""
        )
        unit = f" {self.unit}" if self.unit else ""
        some = f" out of {', '.join(self.choices)}" if self.choices else ""
        return {
            "number": f"a number{span}{unit}",
            "count": f"a whole number{span}{unit}",
            "flag": "true or false",
            "choice": f"one{some}",
            "list": f"a list of words, one or more, each once{some}",
            "day": 'a day of the year as "MM-DD"',
        }[self.shape]

    def read(self, raw: Any) -> Value:
        """The value as the sheet holds it. Raises ``ValueError`` saying what is wrong and what is allowed."""
        readers: dict[KeyShape, Callable[[Any], Value]] = {
            "number": self._number,
            "count": self._count,
            "flag": self._flag,
            "choice": self._choice,
            "list": self._list,
            "day": self._day,
        }
        return readers[self.shape](raw)

    def _wrong(self, raw: Any) -> ValueError:
        return ValueError(f"{raw!r} can't be used here; write {self.allowed()}")

    def _number(self, raw: Any) -> float:
        if isinstance(raw, bool) or not isinstance(raw, (int, float)):
            raise self._wrong(raw)
        below = self.low is not None and raw < self.low
        above = self.high is not None and raw > self.high
        if below or above or not math.isfinite(raw):
            raise self._wrong(raw)
        return float(raw)

    def _count(self, raw: Any) -> int:
        if not isinstance(raw, int):
            raise self._wrong(raw)
        return int(self._number(raw))

    def _flag(self, raw: Any) -> bool:
        if not isinstance(raw, bool):
            raise self._wrong(raw)
        return raw

    def _choice(self, raw: Any) -> str:
        if not isinstance(raw, str) or raw not in self.choices:
            raise self._wrong(raw)
        return raw

    def _list(self, raw: Any) -> tuple[str, ...]:
        if not isinstance(raw, list) or not raw or not all(isinstance(one, str) and one for one in raw):
            raise self._wrong(raw)
        if len(set(raw)) < len(raw) or (self.choices and not set(raw) <= set(self.choices)):
            raise self._wrong(raw)
        return tuple(raw)

    def _day(self, raw: Any) -> str:
        try:
            day = date.fromisoformat(f"{SOME_YEAR}-{raw}")
        except ValueError:
            raise self._wrong(raw) from None
        if not isinstance(raw, str) or day.isoformat() != f"{SOME_YEAR}-{raw}":
            raise self._wrong(raw)
        return raw


@cache
def all_keys() -> dict[str, Key]:
    """Every key by its name."""
    told = tomllib.loads(sheets.text(sheets.KEYS_FILE))
    return {
        name: Key(
            name,
            shape=table["shape"],
            unit=table.get("unit", ""),
            low=table.get("low"),
            high=table.get("high"),
            choices=tuple(table.get("choices", ())),
            bases=tuple(table.get("bases", ())),
        )
        for name, table in told.items()
    }
