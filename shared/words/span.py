"""The span in which a figure that somebody types is believable. Outside it the phone refuses the key in the
person's language; on the server such an entry is kept and stands as unusual at the evening reading."""

from __future__ import annotations

from collections.abc import Callable
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
    found: list[Outside] = []
    for name, look in _looks(value.__class__):
        told = getattr(value, name)
        if told is not None:
            look(told, name.rstrip("_"), found)
    return tuple(found)


Look = Callable[[Any, str, list[Outside]], None]


@cache
def _looks(cls: Any) -> tuple[tuple[str, Look], ...]:
    """The attributes of a class that can hold a figure with a span, each with how to look at it. Made once: every
    entry of a push is looked at."""
    hints = get_type_hints(cls, include_extras=True)
    made = ((one.name, _look(hints[one.name])) for one in fields(cls))
    return tuple((name, look) for name, look in made if look is not None)


def _look(hint: Any) -> Look | None:
    """How to look at a value of this annotation, None where no span is in it."""
    origin, inner = get_origin(hint), get_args(hint)
    if origin is Annotated:
        return _spanned([one for one in inner[1:] if isinstance(one, Span)], _look(inner[0]))
    if origin in (UnionType, Union):
        options = [look for look in map(_look, inner) if look is not None]
        return _each_option(options) if options else None
    if origin is tuple:
        items = [_look(one) for one in inner if one is not Ellipsis]
        return _items(items, inner[1:] == (Ellipsis,)) if any(items) else None
    if isinstance(hint, type) and is_dataclass(hint):
        return _inside(hint)
    return None


def _spanned(spans: list[Span], inner: Look | None) -> Look:
    def look(value: Any, key: str, found: list[Outside]) -> None:
        wrong = [Outside(key, value, one) for one in spans if not one.holds(value)]
        found += wrong
        if not wrong and inner is not None:
            inner(value, key, found)

    return look


def _each_option(options: list[Look]) -> Look:
    def look(value: Any, key: str, found: list[Outside]) -> None:
        for option in options:
            option(value, key, found)

    return look if len(options) > 1 else options[0]


def _items(items: list[Look | None], alike: bool) -> Look:
    def look(value: Any, key: str, found: list[Outside]) -> None:
        if not isinstance(value, tuple):
            return
        for item, each in zip(value, items * len(value) if alike else items, strict=False):
            if each is not None and item is not None:
                each(item, key, found)

    return look


def _inside(cls: type) -> Look:
    def look(value: Any, key: str, found: list[Outside]) -> None:
        if isinstance(value, cls):
            found += outside(value)

    return look
