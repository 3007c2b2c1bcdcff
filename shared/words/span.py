"""The span in which a figure that somebody types is believable. Outside it the phone refuses the key in the
person's language; on the server such an entry is kept and stands as unusual at the evening reading."""

from __future__ import annotations

from dataclasses import dataclass, fields, is_dataclass
from decimal import Decimal
from functools import cache
from types import UnionType
from typing import Annotated, Any, Union, get_args, get_origin, get_type_hints


@dataclass(frozen=True, slots=True)
class Span:
    """From ``low`` to ``high``, both included, in ``unit``. Common practice, no source."""

    low: Decimal
    high: Decimal
    unit: str

    def holds(self, value: Decimal | int) -> bool:
        return self.low <= value <= self.high


def span(low: str, high: str, unit: str = "") -> Span:
    return Span(Decimal(low), Decimal(high), unit)


@dataclass(frozen=True, slots=True)
class Outside:
    """A figure outside its span: ``key`` is its path as it travels, without list places (``beds``)."""

    key: str
    value: Decimal | int
    span: Span


def outside(value: Any) -> tuple[Outside, ...]:
    """The figures of a body that lie outside the spans in its annotations, in the order of its keys. Empty
    where all can be believed. ``value`` is any frozen value whose annotations carry spans."""
    hints = _hints(value.__class__)
    found: list[Outside] = []
    for one in fields(value):
        found += _outside(hints[one.name], getattr(value, one.name), one.name.rstrip("_"))
    return tuple(found)


@cache
def _hints(cls: Any) -> dict[str, Any]:
    return get_type_hints(cls, include_extras=True)


def _outside(hint: Any, value: Any, key: str) -> list[Outside]:
    if value is None:
        return []
    origin, inner = get_origin(hint), get_args(hint)
    if origin is Annotated:
        spans = [one for one in inner[1:] if isinstance(one, Span)]
        wrong = [Outside(key, value, one) for one in spans if not one.holds(value)]
        return wrong or _outside(inner[0], value, key)
    if origin in (UnionType, Union):
        return [one for option in inner for one in _outside(option, value, key)]
    if origin is tuple and isinstance(value, tuple):
        hints = inner[:1] * len(value) if inner[1:] == (Ellipsis,) else inner
        return [one for each, item in zip(hints, value, strict=False) for one in _outside(each, item, key)]
    if is_dataclass(value) and not isinstance(value, type):
        return list(outside(value)) if isinstance(hint, type) and isinstance(value, hint) else []
    return []
