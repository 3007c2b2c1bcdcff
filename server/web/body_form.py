"""A body as a form, made from its annotations, and the form read back into a body by the same reader as the wire."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, fields, replace
from datetime import date, datetime
from decimal import Decimal
from types import NoneType
from typing import Annotated, Any, Literal, get_args, get_origin, get_type_hints
from uuid import UUID
from zoneinfo import ZoneInfo

from django.http import QueryDict

from shared.languages import has, say
from shared.status.telling import choice
from shared.wire.codec import key_of, value_reader, written
from shared.words.bodies import Body
from shared.words.moment import Moment
from shared.words.span import Span

SPARE_ROWS = 1
"""Empty rows under a list, for one more of it."""
ROWS_OF_A_NEW_LIST = 4
Places = Callable[[str], Iterable[tuple[Any, str]]]
"""What may be chosen for a key that names something of the farm, with its name; nothing where it names none."""
SCALARS: Mapping[Any, str] = {Decimal: "number", int: "count", str: "text", date: "day", Moment: "moment"}
YES_OR_NO = (("true", "yes"), ("false", "no"))
SETS = ("trash_items", "people")
"""Lists in which nothing stands twice: ticked."""
Choices = tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Column:
    """One of what a row of a list says: a depth, the pressure at it."""

    shape: str
    label: str
    unit: str = ""
    choices: Choices = ()


@dataclass(frozen=True, slots=True)
class Ask:
    """One key of a body. ``rows`` are those of a list, each with a cell for each of its ``columns``."""

    name: str
    label: str
    shape: str
    unit: str
    text: str
    choices: Choices
    optional: bool
    rows: tuple[tuple[str, ...], ...] = ()
    chosen: tuple[str, ...] = ()
    columns: tuple[Column, ...] = ()
    spare: int = SPARE_ROWS

    @property
    def may_fold(self) -> bool:
        """Left empty and may stay so: it is folded away with its like."""
        return self.optional and not (self.text or self.chosen or len(self.rows) > self.spare)

    @property
    def table(self) -> list[list[tuple[Column, str]]]:
        """The rows, each cell with its column."""
        return [list(zip(self.columns, row, strict=True)) for row in self.rows]


def asks(language: str, body: Body, places: Places) -> list[Ask]:
    """Every key that can be filled in by hand, in the order of the body; the rest stays as it is."""
    return _asks(language, type(body), written(body), places, SPARE_ROWS)


def blank(language: str, cls: type[Body], places: Places) -> list[Ask]:
    """The same of a body that nobody has written yet."""
    return _asks(language, cls, {}, places, ROWS_OF_A_NEW_LIST)


def _asks(language: str, cls: type[Body], tree: Mapping[str, Any], places: Places, spare: int) -> list[Ask]:
    hints = get_type_hints(cls, include_extras=True)
    out = []
    for one in fields(cls):
        name = key_of(cls.__name__, one.name)
        plain, optional, unit = _plain(hints[one.name])
        asked = _ask(language, name, plain, places)
        if asked is not None:
            out.append(_filled(asked, tree.get(name), optional, unit, spare))
    return out


def _ask(language: str, name: str, hint: Any, places: Places) -> Ask | None:
    """The key as it is asked, before it says anything; None for what no hand fills in."""
    label = say(language, f"entries.key.{name}")
    shape, choices = _scalar(language, name, hint, places)
    if shape:
        return Ask(name, label, shape, "", "", choices, False)
    inner = get_args(hint)[0] if get_origin(hint) is tuple else None
    if name in SETS and inner is not None:
        _, choices = _scalar(language, name, inner, places)
        return Ask(name, label, "several", "", "", choices, False) if choices else None
    columns = _columns(language, name, label, inner, places)
    return Ask(name, label, "rows", "", "", (), False, columns=columns) if columns else None


def _scalar(language: str, name: str, hint: Any, places: Places) -> tuple[str, Choices]:
    if hint is bool:
        return "flag", tuple((value, say(language, f"entries.word.{word}")) for value, word in YES_OR_NO)
    if hint in SCALARS:
        known = tuple((str(id), called) for id, called in places(name)) if hint is str else ()
        return ("choice" if known else SCALARS[hint]), known
    if get_origin(hint) is Literal:
        return "choice", tuple((one, choice(language, one)) for one in get_args(hint))
    if hint is UUID:
        known = tuple((str(id), called) for id, called in places(name))
        return ("choice" if known else ""), known
    return "", ()


def _columns(language: str, name: str, label: str, inner: Any, places: Places) -> tuple[Column, ...]:
    """What each row of a list says; nothing where a row can't be written in a line."""
    cells = get_args(inner) if get_origin(inner) is tuple else (inner,)
    out = []
    for place, cell in enumerate(cells):
        plain, _, unit = _plain(cell)
        shape, choices = _scalar(language, name if plain is UUID else f"{name}.{place}", plain, places)
        if not shape or (plain is UUID and not choices):
            return ()
        key = f"writing.column.{name}.{place}"
        out.append(Column(shape, say(language, key) if has(language, key) else label, unit, choices))
    return tuple(out)


def _filled(ask: Ask, value: Any, optional: bool, unit: str, spare: int) -> Ask:
    """The ask with what the body says of it."""
    rows: tuple[tuple[str, ...], ...] = ()
    if ask.shape == "rows":
        several = [one if isinstance(one, list) else [one] for one in value or ()]
        rows = tuple(tuple(str(cell) for cell in one) for one in several)
        rows += (("",) * len(ask.columns),) * spare
    text = "" if value is None or isinstance(value, list) else _text(value)
    chosen = tuple(value) if ask.shape == "several" and value else ()
    return Ask(
        ask.name, ask.label, ask.shape, unit, text, ask.choices, optional, rows, chosen, ask.columns, spare
    )  # fmt: skip


def _text(value: Any) -> str:
    return ("true" if value else "false") if isinstance(value, bool) else str(value)


def _plain(hint: Any) -> tuple[Any, bool, str]:
    """The annotation without None and span: the type, whether it may be left out, the unit."""
    unit, optional = "", False
    while True:
        if get_origin(hint) is Annotated:
            inner, *marks = get_args(hint)
            unit = next((one.unit for one in marks if isinstance(one, Span)), unit)
            hint = inner
        elif NoneType in get_args(hint):
            optional = True
            hint = next(one for one in get_args(hint) if one is not NoneType)
        else:
            return hint, optional, unit


def refilled(shown: Iterable[Ask], form: QueryDict) -> list[Ask]:
    """The asks with the lists and ticks that somebody sent, so that a form which comes back has lost nothing."""
    return [_refilled(one, form) for one in shown]


def _refilled(ask: Ask, form: QueryDict) -> Ask:
    if ask.shape == "several":
        return replace(ask, chosen=tuple(form.getlist(ask.name)))
    if ask.shape == "rows":
        columns = [form.getlist(f"{ask.name}.{place}") for place in range(len(ask.columns))]
        return replace(ask, rows=tuple(zip(*columns, strict=False)) or ask.rows)
    return ask


def body_of(body: Body, form: QueryDict, shown: Iterable[Ask], zone: ZoneInfo | None = None) -> Body:
    """The body that the form says; keys that it does not show stay. Raises ``Unsound``, naming the key."""
    return new_body(type(body), form, shown, zone, written(body))


def new_body(
    cls: type[Body],
    form: QueryDict,
    shown: Iterable[Ask],
    zone: ZoneInfo | None = None,
    before: Mapping[str, Any] | None = None,
) -> Body:
    """A body of this kind as the form says it. Raises ``Unsound``, naming the key."""
    tree = dict(before or {})
    for ask in shown:
        value = _value(ask, form, zone)
        if value is None or (value == [] and ask.optional):
            tree.pop(ask.name, None)
        else:
            tree[ask.name] = value
    if "classes" in tree and before is None:
        tree.setdefault("scale", "cover8")
    read: Body = value_reader(cls, "body")(tree)
    return read


def _value(ask: Ask, form: QueryDict, zone: ZoneInfo | None) -> Any:
    if ask.shape == "several":
        return [one for one in form.getlist(ask.name) if one]
    if ask.shape == "rows":
        return _list_of(ask, form)
    return _cell(ask.shape, form.get(ask.name, "").strip(), zone)


def _list_of(ask: Ask, form: QueryDict) -> list[Any]:
    """The rows in which anything stands; one that is half filled in is read, and refused, as it is."""
    columns = [form.getlist(f"{ask.name}.{place}") for place in range(len(ask.columns))]
    out = []
    for cells in zip(*columns, strict=False):
        told = [
            _cell(column.shape, text.strip(), None) for column, text in zip(ask.columns, cells, strict=True)
        ]
        if any(one is not None for one in told):
            shapes = [column.shape for column in ask.columns]
            row = [
                "" if one is None and shape == "text" else one
                for one, shape in zip(told, shapes, strict=True)
            ]
            out.append(row if len(row) > 1 else row[0])
    return out


def _cell(shape: str, text: str, zone: ZoneInfo | None) -> Any:
    if not text:
        return None
    if shape == "count":
        return int(text) if text.lstrip("-").isdecimal() and text.isascii() else text
    if shape == "moment":
        return _moment(text, zone)
    return text == "true" if shape == "flag" else text


def _moment(text: str, zone: ZoneInfo | None) -> str:
    """A browser's local time with the farm's own offset; what has an offset stays as it is."""
    try:
        at = datetime.fromisoformat(text)
    except ValueError:
        return text
    if at.tzinfo is not None or zone is None:
        return text
    return at.replace(tzinfo=zone).isoformat(timespec="seconds")
