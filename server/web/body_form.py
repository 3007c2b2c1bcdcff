"""A body as a form, made from its annotations, and the form read back into a body by the same reader as the wire."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, fields
from datetime import date
from decimal import Decimal
from types import NoneType
from typing import Annotated, Any, Literal, get_args, get_origin, get_type_hints
from uuid import UUID

from django.http import QueryDict

from shared.languages import say
from shared.status.telling import choice
from shared.wire.codec import key_of, value_reader, written
from shared.words.bodies import Body
from shared.words.span import Span

SPARE_ROWS = 1
"""Empty rows under a list, for one more of it."""
Places = Callable[[str], Iterable[tuple[UUID, str]]]
"""What may be chosen for a key that names something of the farm, with its name; nothing where it names none."""
SCALARS: Mapping[Any, str] = {Decimal: "number", int: "count", str: "text", date: "day"}
YES_OR_NO = (("true", "yes"), ("false", "no"))


@dataclass(frozen=True, slots=True)
class Ask:
    """One key of a body. ``rows`` are the pairs of a list (a bed and how full; a place and its yards)."""

    name: str
    label: str
    shape: str
    unit: str
    text: str
    choices: tuple[tuple[str, str], ...]
    optional: bool
    rows: tuple[tuple[str, str], ...] = ()
    chosen: tuple[str, ...] = ()

    @property
    def may_fold(self) -> bool:
        """Left empty and may stay so: it is folded away with its like."""
        return self.optional and not (self.text or self.chosen or len(self.rows) > SPARE_ROWS)


def asks(language: str, body: Body, places: Places) -> list[Ask]:
    """Every key that can be filled in by hand, in the order of the body; the rest stays as it is."""
    tree, cls = written(body), type(body)
    hints = get_type_hints(cls, include_extras=True)
    found = (_ask(language, one.name, hints[one.name], tree, places, cls.__name__) for one in fields(cls))
    return [one for one in found if one is not None]


def _ask(
    language: str, attribute: str, hint: Any, tree: Mapping[str, Any], places: Places, owner: str
) -> Ask | None:
    name = key_of(owner, attribute)
    plain, optional, unit = _plain(hint)
    shape, choices = _shape(language, name, plain, places)
    if not shape:
        return None
    value = tree.get(name)
    rows = (
        tuple((str(a), str(b)) for a, b in value or ()) + (("", ""),) * SPARE_ROWS if shape == "pairs" else ()
    )
    return Ask(
        name=name,
        label=say(language, f"entries.key.{name}"),
        shape=shape,
        unit=unit,
        text="" if value is None or isinstance(value, list) else _text(value),
        choices=tuple(choices),
        optional=optional,
        rows=rows,
        chosen=tuple(value) if shape == "several" and value else (),
    )


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


def _shape(language: str, name: str, hint: Any, places: Places) -> tuple[str, list[tuple[str, str]]]:
    if hint is bool:
        return "flag", [(value, say(language, f"entries.word.{word}")) for value, word in YES_OR_NO]
    if hint in SCALARS:
        return SCALARS[hint], []
    if get_origin(hint) is Literal:
        return "choice", [(one, choice(language, one)) for one in get_args(hint)]
    if hint is UUID:
        known = [(str(id), called) for id, called in places(name)]
        return ("choice" if known else ""), known
    if get_origin(hint) is not tuple:
        return "", []
    inner = get_args(hint)[0]
    if get_origin(inner) is Literal:
        return "several", [(one, choice(language, one)) for one in get_args(inner)]
    if get_origin(inner) is tuple and len(get_args(inner)) == 2 and name in ("beds", "to"):
        return "pairs", [(str(id), called) for id, called in places(name)]
    return "", []


def body_of(body: Body, form: QueryDict, shown: Iterable[Ask]) -> Body:
    """The body that the form says; keys that it does not show stay. Raises ``Unsound``, naming the key."""
    tree = dict(written(body))
    for ask in shown:
        value = _value(ask, form)
        if value is None and ask.optional:
            tree.pop(ask.name, None)
        else:
            tree[ask.name] = value
    read: Body = value_reader(type(body), "body")(tree)
    return read


def _value(ask: Ask, form: QueryDict) -> Any:
    if ask.shape == "several":
        return [one for one in form.getlist(ask.name) if one]
    if ask.shape == "pairs":
        pairs = zip(form.getlist(f"{ask.name}.0"), form.getlist(f"{ask.name}.1"), strict=False)
        return [[a.strip(), b.strip()] for a, b in pairs if a.strip() and b.strip()]
    text = form.get(ask.name, "").strip()
    if not text:
        return None
    if ask.shape == "count":
        return int(text) if text.lstrip("-").isdecimal() else text
    return text == "true" if ask.shape == "flag" else text
