"""What a named computation is: its inputs with unit and range, its answer, its source, its caution.

One table of these drives the phone's reckoner, the web page and the command line. The function behind a name
is plain Python that any code calls directly; it checks its own inputs with the same ``Input`` values.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, fields, is_dataclass
from datetime import date, datetime
from decimal import Decimal, InvalidOperation
from typing import Any, Literal

from shared.errors import MissingInput, OutOfRange, UnknownInput, Unparsable
from shared.units import Figure, Source

Shape = Literal[
    "number", "count", "choice", "flag", "date", "text", "numbers", "dates", "choices", "pairs", "ring"
]
"""``numbers``, ``dates`` and ``choices`` are comma-separated lists; ``pairs`` is ``depth:value,…``;
``ring`` is ``lat:lon,…``."""


HOUSE = Source("house", "a choice of this project, common practice, no source", None, "practice")
MOST_VALUES = Figure(10_000, "values", HOUSE)
"""The longest list that any input takes: more is a mistake, and would hold up a phone."""

_STANDING_WORDS = {
    "read": "",
    "defined": "",
    "summary": " (read in a summary)",
    "derived": " (derived)",
    "practice": " (common practice, no source)",
    "memory": " (from memory, unconfirmed)",
}


def _told(number: float) -> str:
    """A bound as a person reads it: thousands set off, no power of ten, no empty decimals."""
    whole = int(number)
    return f"{whole:,}" if whole == number else f"{number:,}"


def _span(low: float | None, high: float | None, above_low: bool) -> str:
    if low is None:
        return "" if high is None else f" up to {_told(high)}"
    if above_low:
        return f" above {_told(low)}" + ("" if high is None else f" up to {_told(high)}")
    return f" from {_told(low)}" + ("" if high is None else f" to {_told(high)}")


def cite(*sources: Source) -> str:
    """The sources as one line, each with how well it is known; a house choice says so by itself."""
    told = []
    for source in sources:
        words = "" if source == HOUSE else _STANDING_WORDS[source.standing]
        told.append(source.title + words)
    return "; ".join(dict.fromkeys(told))


@dataclass(frozen=True, slots=True)
class Input:
    """One named input: its unit, the range in which the computation holds, and how it is written as text.

    ``low`` and ``high`` bound a number, or each number of a list (for ``pairs`` the second of each, with
    ``key_low``/``key_high`` for the first). ``least`` and ``most`` bound the length of a list. ``above_low``
    leaves ``low`` itself out. ``default`` is used when the input is optional and not given.
    """

    name: str
    shape: Shape = "number"
    unit: str = ""
    low: float | None = None
    high: float | None = None
    above_low: bool = False
    key_low: float | None = None
    key_high: float | None = None
    least: int = 1
    most: int = int(MOST_VALUES.value)
    choices: tuple[str, ...] = ()
    optional: bool = False
    default: Any = None
    example: str = ""

    def allowed(self) -> str:
        """The range in plain words, as an error and the help show it."""
        if self.shape in ("choice", "choices"):
            return "one of " + ", ".join(self.choices)
        if self.shape == "flag":
            return "true or false"
        if self.shape in ("date", "dates"):
            return "a date as YYYY-MM-DD"
        if self.shape == "text":
            return "text"
        unit = f" {self.unit}" if self.unit else ""
        many = f", {self.least} of them or more" if self._is_list() and self.least > 1 else ""
        if self.shape in ("pairs", "ring"):
            first = _span(self.key_low, self.key_high, False)
            return f"pairs of numbers{unit}, the first{first}, the second{self._range()}{many}"
        what = "a whole number" if self.shape == "count" else "a number"
        return f"{what}{self._range()}{unit}{many}"

    def _range(self) -> str:
        return _span(self.low, self.high, self.above_low)

    def _is_list(self) -> bool:
        return self.shape in ("numbers", "pairs", "ring")

    def _number(self, value: Any, low: float | None, high: float | None) -> float:
        if isinstance(value, bool) or not isinstance(value, (int, float, Decimal)):
            raise Unparsable(self.name, value, self.allowed())
        try:
            number = float(value) + 0.0  # the sum turns minus nought into nought
        except (OverflowError, ValueError):
            raise OutOfRange(self.name, value, self.allowed()) from None
        below = low is not None and (number <= low if self.above_low else number < low)
        if not math.isfinite(number) or below or (high is not None and number > high):
            raise OutOfRange(self.name, value, self.allowed())
        return number

    def _date(self, value: Any) -> date:
        # A datetime is a date to Python, but the two can't be compared.
        if not isinstance(value, date) or isinstance(value, datetime):
            raise Unparsable(self.name, value, self.allowed())
        return value

    def check(self, value: Any) -> Any:
        """The value, ready to compute with, or an ``InputError`` that names this input and its range."""
        match self.shape:
            case "number":
                return self._number(value, self.low, self.high)
            case "count":
                number = self._number(value, self.low, self.high)
                if number != int(number):
                    raise OutOfRange(self.name, value, self.allowed())
                return int(number)
            case "choice":
                if value not in self.choices:
                    raise OutOfRange(self.name, value, self.allowed())
                return value
            case "flag":
                if not isinstance(value, bool):
                    raise Unparsable(self.name, value, self.allowed())
                return value
            case "date":
                return self._date(value)
            case "text":
                if not isinstance(value, str):
                    raise Unparsable(self.name, value, self.allowed())
                return value
            case _:
                return self._each(value)

    def _each(self, value: Any) -> tuple[Any, ...]:
        if isinstance(value, (str, bytes)) or not isinstance(value, Sequence):
            raise Unparsable(self.name, value, self.allowed())
        if not self.least <= len(value) <= self.most:
            raise OutOfRange(self.name, f"{len(value)} values", f"from {self.least} to {self.most} values")
        match self.shape:
            case "numbers":
                return tuple(self._number(one, self.low, self.high) for one in value)
            case "choices":
                for one in value:
                    if one not in self.choices:
                        raise OutOfRange(self.name, one, self.allowed())
                return tuple(value)
            case "dates":
                return tuple(self._date(one) for one in value)
            case _:
                pairs = []
                for one in value:
                    if isinstance(one, (str, bytes)) or not isinstance(one, Sequence) or len(one) != 2:
                        raise Unparsable(self.name, one, "pairs of numbers written first:second")
                    pairs.append(
                        (
                            self._number(one[0], self.key_low, self.key_high),
                            self._number(one[1], self.low, self.high),
                        )
                    )
                return tuple(pairs)

    def read(self, text: str) -> Any:
        """The value that a person typed, checked. Lists are comma-separated, pairs ``first:second``."""
        text = text.strip()
        match self.shape:
            case "number" | "count":
                return self.check(self._figure(text))
            case "flag":
                if text.lower() not in ("true", "false"):
                    raise Unparsable(self.name, text, self.allowed())
                return text.lower() == "true"
            case "date":
                return self._day(text)
            case "text":
                return self.check(text)
            case "choice":
                # A soil report prints K and Mg, a thumb types k and mg.
                alike = (one for one in self.choices if one.lower() == text.lower())
                return self.check(next(alike, text))
        parts = [part.strip() for part in text.split(",")] if text else []
        match self.shape:
            case "numbers":
                return self.check([self._figure(part) for part in parts])
            case "choices":
                return self.check(parts)
            case "dates":
                return self.check([self._day(part) for part in parts])
            case _:
                pairs = []
                for part in parts:
                    first, colon, second = part.partition(":")
                    if not colon:
                        raise Unparsable(self.name, part, "pairs of numbers written first:second")
                    pairs.append((self._figure(first), self._figure(second)))
                return self.check(pairs)

    def _figure(self, text: str) -> Decimal:
        try:
            if "_" in text or not text.isascii():
                raise ValueError
            return Decimal(text)
        except (InvalidOperation, ValueError, OverflowError):
            raise Unparsable(self.name, text, self.allowed()) from None

    def _day(self, text: str) -> date:
        try:
            day = date.fromisoformat(text)
            if day.isoformat() != text:
                raise ValueError
            return day
        except ValueError:
            raise Unparsable(self.name, text, self.allowed()) from None


@dataclass(frozen=True, slots=True)
class Computation:
    """A name of the reckoner: the pure function ``run`` with keyword inputs, answering a frozen dataclass
    whose field names are the answer keys. ``formula`` spells the arithmetic out, ``source`` says where it is
    from, ``caution`` the language key of what a person must hear before acting on it (None where nothing)."""

    name: str
    run: Callable[..., Any]
    inputs: tuple[Input, ...]
    units: dict[str, str]
    """The unit of each answer key that has one."""
    formula: str
    source: str
    caution: str | None = None

    def takes(self, name: str) -> Input:
        """The input of this name. Raises UnknownInput, which lists those there are."""
        for one in self.inputs:
            if one.name == name:
                return one
        raise UnknownInput(name, None, ", ".join(each.name for each in self.inputs))

    def read(self, texts: dict[str, str]) -> dict[str, Any]:
        """The inputs as a person typed them, checked one by one; optional ones that are missing take their
        default. Raises an ``InputError`` that names the first that is wrong."""
        for name in texts:
            self.takes(name)
        values = {}
        for one in self.inputs:
            if one.name in texts:
                values[one.name] = one.read(texts[one.name])
            elif one.optional:
                values[one.name] = one.default
            else:
                raise MissingInput(one.name, None, one.allowed())
        return values

    def caution_for(self, result: Any) -> str | None:
        """The language key of the caution for this answer: its own where it has one, else the general."""
        own: str | None = getattr(result, "caution", None)
        return own or self.caution

    def answer(self, texts: dict[str, str]) -> dict[str, Any]:
        """The answer keys and values for inputs given as text. Nothing is rounded."""
        return as_answer(self.run(**self.read(texts)))


def as_answer(result: Any) -> dict[str, Any]:
    """A computation's frozen answer as a dictionary of its keys, in order."""
    if not is_dataclass(result):
        raise TypeError(f"{result!r} is no answer of a computation")
    return {one.name: getattr(result, one.name) for one in fields(result)}


def checked(inputs: tuple[Input, ...], values: dict[str, Any]) -> dict[str, Any]:
    """Each value checked by its input: the first lines of a computation. An optional one may be None."""
    out: dict[str, Any] = {}
    for one in inputs:
        value = values.get(one.name, one.default)
        if value is None and one.optional:
            out[one.name] = None
        elif value is None:
            raise MissingInput(one.name, None, one.allowed())
        else:
            out[one.name] = one.check(value)
    return out
