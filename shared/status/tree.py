"""A frozen value as a plain tree that JSON takes, and back, by its annotations.

For the rows that a fold leaves (a field's year, a field's status), which one command can always make again.
They are not the contract: a key that a reader doesn't know is passed over, and one with a default may be
missing.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import MISSING, fields, is_dataclass
from datetime import date
from decimal import Decimal
from functools import cache
from types import NoneType, UnionType
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints
from uuid import UUID

Reader = Callable[[Any], Any]
SCALARS: dict[Any, Reader] = {
    str: str,
    int: int,
    bool: bool,
    float: float,
    Decimal: Decimal,
    UUID: UUID,
    date: date.fromisoformat,
}


def tree_of(value: Any) -> Any:
    """The value as dicts, lists, texts and numbers. A key that stands at its default None is left out. A named
    tuple holds only what JSON takes and goes as it is: the stops of a season are many."""
    kind: Any = type(value)
    if kind in AS_IT_IS:
        return value
    return _writer(kind)(value)


AS_IT_IS = frozenset((str, int, bool, float, NoneType))


@cache
def _writer(kind: Any) -> Reader:
    """How a value of this very type is told. Made once a type: a year has thousands of them."""
    if issubclass(kind, (str, int, float)) or hasattr(kind, "_fields"):
        return lambda value: value
    if issubclass(kind, (UUID, Decimal)):
        return str
    if issubclass(kind, date):
        return lambda value: value.isoformat()
    if issubclass(kind, (tuple, list)):
        return lambda value: [tree_of(one) for one in value]
    if issubclass(kind, (frozenset, set)):
        return lambda value: sorted(tree_of(one) for one in value)
    if issubclass(kind, Mapping):
        return lambda value: {str(key): tree_of(value[key]) for key in sorted(value, key=str)}
    if is_dataclass(kind):
        return _value_writer(kind)
    raise TypeError(f"{kind.__name__} is no value of a status")


def _value_writer(kind: Any) -> Reader:
    names = [(one.name, one.default is MISSING) for one in fields(kind)]

    def write(value: Any) -> Any:
        pairs = [(name, needed, getattr(value, name)) for name, needed in names]
        return {name: tree_of(inner) for name, needed, inner in pairs if inner is not None or needed}

    return write


def value_from(hint: Any, tree: Any) -> Any:
    """The value of this annotation that a tree tells. Raises ``KeyError``, ``TypeError`` or
    ``ValueError`` for a tree of another shape."""
    return _reader(hint)(tree)


@cache
def _reader(hint: Any) -> Reader:
    origin, inner = get_origin(hint), get_args(hint)
    if hint in SCALARS:
        return SCALARS[hint]
    if origin is Literal:
        return str
    if origin in (UnionType, Union):
        return _maybe(inner)
    if origin is tuple:
        return _many(inner)
    if origin is frozenset:
        each = _reader(inner[0])
        return lambda tree: frozenset(each(one) for one in tree)
    if origin is not None and issubclass(origin, Mapping):
        key, value = _reader(inner[0]), _reader(inner[1])
        return lambda tree: {key(name): value(one) for name, one in tree.items()}
    return _value_reader(hint)


def _maybe(options: tuple[Any, ...]) -> Reader:
    """None or one thing. Where there are several, the first that reads it back to the same tree."""
    readers = [_reader(one) for one in options if one is not NoneType]

    def read(tree: Any) -> Any:
        if tree is None:
            return None
        for one in readers:
            try:
                found = one(tree)
            except (ValueError, TypeError, ArithmeticError):
                continue
            if tree_of(found) == tree:
                return found
        raise ValueError(f"{tree!r} is none of {options}")

    return read if len(readers) > 1 else lambda tree: None if tree is None else readers[0](tree)


def _many(inner: tuple[Any, ...]) -> Reader:
    if inner[1:] == (Ellipsis,):
        each = _reader(inner[0])
        return lambda tree: tuple([each(one) for one in tree])
    readers = [_reader(one) for one in inner]
    return lambda tree: tuple([read(one) for read, one in zip(readers, tree, strict=True)])


def _value_reader(cls: Any) -> Reader:
    if hasattr(cls, "_make"):
        make: Reader = cls._make
        return make
    if not (isinstance(cls, type) and is_dataclass(cls)):
        raise TypeError(f"{cls!r} is no value of a status")
    hints = get_type_hints(cls)
    readers = {one.name: _reader(hints[one.name]) for one in fields(cls)}

    def read(tree: Any) -> Any:
        return cls(**{name: one(tree[name]) for name, one in readers.items() if name in tree})

    return read
