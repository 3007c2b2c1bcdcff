"""Readers and writers made from the annotations of a frozen value, so that its shape is written once.

A key is the attribute's name, less a trailing underscore. An attribute with the default None is a key that is
left out when it is None; one without a default is always there.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import MISSING, fields, is_dataclass
from datetime import date, datetime
from decimal import Decimal
from functools import cache
from types import NoneType, UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin, get_type_hints
from uuid import UUID

from shared.errors import Unsound
from shared.wire import scalars
from shared.words.bodies.body import NULLABLE, Body
from shared.words.moment import Moment

Reader = Callable[[Any], Any]
SCALARS: dict[Any, Callable[[object, str], Any]] = {
    str: scalars.text,
    bool: scalars.flag,
    int: scalars.count,
    Decimal: scalars.measured,
    float: lambda value, where: float(scalars.measured(value, where)),
    UUID: scalars.identity,
    date: scalars.day,
    Moment: scalars.moment,
}
RENAMED = {("Position", "source"): "from"}


def key_of(owner: str, attribute: str) -> str:
    """The JSON key of a value's attribute."""
    return RENAMED.get((owner, attribute), attribute.rstrip("_"))


def reader(hint: Any, where: str) -> Reader:
    """A function that reads a JSON value of this annotation, or raises ``Unsound`` naming ``where``."""
    origin = get_origin(hint)
    if origin is Annotated:
        return reader(get_args(hint)[0], where)
    if hint in SCALARS:
        scalar = SCALARS[hint]
        return lambda value: scalar(value, where)
    if origin is Literal:
        return _choice(get_args(hint), where)
    if origin in (UnionType, Union):
        return _union(get_args(hint), where)
    if origin is tuple:
        return _many(get_args(hint), where)
    if origin in (dict, Mapping):
        inner = reader(get_args(hint)[1], where)
        return lambda value: _table(value, inner, where)
    if is_dataclass(hint) and isinstance(hint, type):
        return value_reader(hint, where)
    raise TypeError(f"no reader for {hint!r} at {where}")


def _choice(choices: tuple[Any, ...], where: str) -> Reader:
    allowed = frozenset(choices)

    def read(value: Any) -> Any:
        if type(value) is not str:
            raise Unsound("wrong_type", where, "one of a list")
        if value not in allowed:
            raise Unsound("choice", where, value)
        return value

    return read


def _union(options: tuple[Any, ...], where: str) -> Reader:
    """None, or one of: a value that is an object or list, else the first reader that takes it."""
    nullable = NoneType in options
    readers = [reader(option, where) for option in options if option is not NoneType]

    def read(value: Any) -> Any:
        if value is None:
            if nullable:
                return None
            raise Unsound("wrong_type", where, "not null")
        for attempt in readers[:-1]:
            try:
                return attempt(value)
            except Unsound:
                continue
        return readers[-1](value)

    return read


def _many(inner: tuple[Any, ...], where: str) -> Reader:
    if len(inner) == 2 and inner[1] is Ellipsis:
        each = reader(inner[0], where)

        def read_list(value: Any) -> tuple[Any, ...]:
            if type(value) is not list:
                raise Unsound("wrong_type", where, "a list")
            return tuple([each(one) for one in value])

        return read_list
    readers = [reader(one, where) for one in inner]

    def read_fixed(value: Any) -> tuple[Any, ...]:
        if type(value) is not list or len(value) != len(readers):
            raise Unsound("wrong_type", where, f"a list of {len(readers)}")
        return tuple([read(one) for read, one in zip(readers, value, strict=True)])

    return read_fixed


def _table(value: Any, inner: Reader, where: str) -> dict[str, Any]:
    if type(value) is not dict:
        raise Unsound("wrong_type", where, "an object")
    return {key: inner(one) for key, one in value.items()}


def value_reader(cls: type[Any], where: str, special: Mapping[str, Reader] | None = None) -> Reader:
    """A reader of a JSON object into ``cls``; ``special`` gives readers for some attributes."""
    hints = get_type_hints(cls, include_extras=True)
    table: dict[str, tuple[str, Reader]] = {}
    required = []
    for one in fields(cls):
        key = key_of(cls.__name__, one.name)
        inside = f"{where}.{key}" if where else key
        optional = one.default is None
        hint = hints[one.name]
        if optional and not is_nullable(hint):
            hint = _without_none(hint)
        table[key] = (one.name, (special or {}).get(one.name) or reader(hint, inside))
        if one.default is MISSING and one.default_factory is MISSING:
            required.append(key)

    def read(value: Any) -> Any:
        if type(value) is not dict:
            raise Unsound("wrong_type", where, "an object")
        values = {}
        for key, inner in value.items():
            entry = table.get(key)
            if entry is None:
                raise Unsound("unknown_key", f"{where}.{key}" if where else key)
            values[entry[0]] = entry[1](inner)
        for key in required:
            if key not in value:
                raise Unsound("missing_key", f"{where}.{key}" if where else key)
        return cls(**values)

    return read


def is_nullable(hint: Any) -> bool:
    return get_origin(hint) is Annotated and NULLABLE in get_args(hint)[1:]


def _without_none(hint: Any) -> Any:
    """An optional key is left out, never null."""
    if get_origin(hint) in (UnionType, Union):
        rest = tuple(option for option in get_args(hint) if option is not NoneType)
        return rest[0] if len(rest) == 1 else Union[rest]  # noqa: UP007
    return hint


WRITERS: dict[type[Any], Callable[[Any], Any]] = {
    Decimal: scalars.written_decimal,
    float: scalars.written_decimal,
    UUID: str,
    Moment: lambda value: value.text,
    datetime: scalars.written_moment,
    date: date.isoformat,
}


@cache
def _parts(cls: Any) -> tuple[tuple[str, str, bool], ...]:
    """Each attribute of a frozen value with its key and whether it is left out where it is None."""
    return tuple((one.name, key_of(cls.__name__, one.name), one.default is None) for one in fields(cls))


def written(value: Any) -> Any:
    """A value as the JSON that travels."""
    kind = type(value)
    if value is None or kind in (str, bool, int):
        return value
    writer = WRITERS.get(kind)
    if writer is not None:
        return writer(value)
    if isinstance(value, (tuple, list)):
        return [written(one) for one in value]
    if isinstance(value, Mapping):
        return {str(key): written(one) for key, one in value.items()}
    if is_dataclass(value):
        out = {}
        for name, key, optional in _parts(value.__class__):
            inner = getattr(value, name)
            if inner is None and optional and not (isinstance(value, Body) and value.keeps_null(name)):
                continue
            out[key] = written(inner)
        return out
    raise TypeError(f"{value!r} does not travel")
