"""Compiled shapes for entries written in the one plain form that phones write, made from the shared annotations.

A shape accepts only what it writes back byte for byte, so whatever has a key twice, a stray space, an escape, a
float or an upper-case UUID does not fit and goes to ``shared.wire``, which alone says what is sound.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, fields
from datetime import UTC, date, datetime
from decimal import Decimal
from types import NoneType, UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin, get_type_hints
from uuid import UUID

import msgspec

from shared.wire import scalars
from shared.wire.codec import is_nullable, key_of
from shared.words.bodies import KINDS
from shared.words.bodies.body import Body
from shared.words.moment import Moment

Measured = Annotated[str, msgspec.Meta(pattern=f"^(?:{scalars.DECIMAL.pattern})$(?!\n)")]
Counted = Annotated[int, msgspec.Meta(ge=-scalars.LARGEST_INTEGER, le=scalars.LARGEST_INTEGER)]
Convert = Callable[[Any], Any]
PLAIN_LENGTHS = (20, 24, 25, 29)
"""2026-07-02T08:00:01Z, …01.123Z, …01-04:00, …01.123-04:00."""
FIRST_PLAIN, LAST_PLAIN = "0002", "9999"
"""No offset moves a time between these out of the calendar."""


@dataclass(frozen=True, slots=True)
class Shape:
    """A struct that decodes one kind's body, and how its values become the shared ones."""

    struct: type[msgspec.Struct]
    body: type[Any]
    converts: tuple[tuple[str, Convert | None], ...]
    check: Callable[[Any], None] | None
    """What the shared value would check on being made, without making it; None: nothing."""

    def value(self, plain: Any) -> Any:
        """The shared value."""
        values = []
        for name, convert in self.converts:
            value = getattr(plain, name)
            if value is msgspec.UNSET:
                value = None
            values.append(convert(value) if convert is not None and value is not None else value)
        return self.body(*values)


def shape(cls: type[Any], name: str) -> Shape:
    hints = get_type_hints(cls, include_extras=True)
    columns: list[Any] = []
    converts: list[tuple[str, Convert | None]] = []
    for one in fields(cls):
        optional = one.default is None
        if optional and is_nullable(hints[one.name]):
            hint, convert = _plain(_without_none(hints[one.name]))
            columns.append((one.name, hint | None | msgspec.UnsetType, msgspec.UNSET))
        elif optional:
            hint, convert = _plain(_without_none(hints[one.name]))
            columns.append((one.name, hint, None))
        else:
            hint, convert = _plain(hints[one.name])
            columns.append((one.name, hint))
        converts.append((one.name, convert))
    renamed = {one.name: key_of(cls.__name__, one.name) for one in fields(cls)}
    struct = msgspec.defstruct(
        name, columns, forbid_unknown_fields=True, omit_defaults=True, rename=renamed, gc=False
    )
    moments = tuple(name for name, convert in converts if convert is plain_moment)
    return Shape(struct, cls, tuple(converts), _checks(cls, moments))


def _checks(cls: type[Any], moments: tuple[str, ...]) -> Callable[[Any], None] | None:
    """The names of a plain value are the shared one's (a key that may be null and was left out is ``UNSET``)."""
    of_body: Callable[[Any], None] | None = None
    if issubclass(cls, Body) and cls.check is not Body.check:
        of_body = cls.check
    if not moments:
        return of_body

    def check(plain: Any) -> None:
        for name in moments:
            if (text := getattr(plain, name)) is not None:
                check_time(text)
        if of_body is not None:
            of_body(plain)

    return check


def _without_none(hint: Any) -> Any:
    rest = tuple(option for option in get_args(hint) if option is not NoneType)
    if get_origin(hint) in (UnionType, Union):
        return rest[0] if len(rest) == 1 else Union[rest]  # noqa: UP007
    return hint


def _plain(hint: Any) -> tuple[Any, Convert | None]:
    """The type that JSON of this annotation is decoded to, and how that becomes the shared value."""
    origin, inside = get_origin(hint), get_args(hint)
    if origin is Annotated:
        return _plain(inside[0])
    if hint in SCALARS:
        return SCALARS[hint]
    if origin is Literal:
        return hint, None
    if origin in (UnionType, Union):
        several = [_plain(option) for option in inside if option is not NoneType]
        if len(several) != 1 or NoneType not in inside:
            raise TypeError(f"no plain shape for {hint!r}")
        return several[0][0] | None, _unless_none(several[0][1])
    if origin is tuple:
        return _several(inside)
    if isinstance(hint, type):
        made = shape(hint, hint.__name__)
        return made.struct, made.value
    raise TypeError(f"no plain shape for {hint!r}")


def _unless_none(convert: Convert | None) -> Convert | None:
    return None if convert is None else lambda value: None if value is None else convert(value)


def _several(inside: tuple[Any, ...]) -> tuple[Any, Convert | None]:
    if len(inside) == 2 and inside[1] is Ellipsis:
        each, convert = _plain(inside[0])
        if convert is None:
            return tuple[each, ...], None
        return tuple[each, ...], lambda values: tuple([convert(value) for value in values])
    pairs = [_plain(one) for one in inside]
    converts = [convert for _, convert in pairs]
    return tuple[tuple(kind for kind, _ in pairs)], lambda values: tuple(
        [convert(v) if convert is not None else v for convert, v in zip(converts, values, strict=True)]
    )


def check_time(text: str) -> None:
    """``plain_time`` of this would answer; raises as it does, and for the calendar's first and last years too."""
    _in_plain_form(text)
    if not FIRST_PLAIN < text < LAST_PLAIN:
        raise ValueError(text)


def plain_time(text: str) -> datetime:
    """The time in UTC that a phone's plain form says: seconds or milliseconds, then Z or an offset.
    ``ValueError`` or ``OverflowError`` for any other form, sound or not."""
    return _in_plain_form(text).astimezone(UTC)


def _in_plain_form(text: str) -> datetime:
    length = len(text)
    if length not in PLAIN_LENGTHS or text[4:17:3] != "--T::":
        raise ValueError(text)
    if text[-1] == "Z":
        fits = length == 20 or text[19] == "."
    else:
        fits = text[-6] in "+-" and text[-3] == ":" and text[-2] < "6" and (length == 25 or text[19] == ".")
    if not fits:
        raise ValueError(text)
    return datetime.fromisoformat(text)


def plain_moment(text: str) -> Moment:
    return Moment(text, plain_time(text))


SCALARS: dict[Any, tuple[Any, Convert | None]] = {
    str: (str, None),
    bool: (bool, None),
    int: (Counted, None),
    Decimal: (Measured, Decimal),
    UUID: (UUID, None),
    date: (date, None),
    Moment: (str, plain_moment),
}
SHAPES: dict[str, Shape] = {kind: shape(cls, kind) for kind, cls in KINDS.items() if kind != "correction"}
