"""A page that wrote an entry, filled in again with what it says."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, field, fields, replace
from decimal import Decimal
from functools import cache
from typing import Any, Literal, get_args, get_origin, get_type_hints
from uuid import UUID

from mobile.presenters.figure import Keyed
from mobile.presenters.lines import ChoiceView
from mobile.presenters.session import Session
from shared.words.bodies import Body

WHY = "corrected_for"
REASONS = ("misread", "mistyped", "other_tool", "left_out", "wrong_field")


@dataclass
class FilledIn:
    """What was tapped, keyed in and typed, by the body's own keys."""

    answers: dict[str, str] = field(default_factory=dict)
    figures: dict[str, Keyed] = field(default_factory=dict)
    typed: dict[str, str] = field(default_factory=dict)


def filled_in(body: Body) -> FilledIn:
    out = FilledIn()
    for one in fields(body):
        value = getattr(body, one.name)
        if value is None or value == ():
            continue
        if isinstance(value, bool):
            out.answers[one.name] = "yes" if value else "no"
        elif isinstance(value, (int, Decimal)):
            out.figures[one.name] = Keyed(isinstance(value, Decimal), written(value))
        elif isinstance(value, UUID):
            out.answers[one.name] = str(value)
        elif isinstance(value, tuple) and isinstance(value[0], UUID):
            out.answers[one.name] = ",".join(str(each) for each in value)
        elif isinstance(value, str) and one.name in _choices(type(body)):
            out.answers[one.name] = value
        elif isinstance(value, str):
            out.typed[one.name] = value
    return out


def written(figure: Decimal | int | None) -> str:
    """A figure as it would have been keyed in."""
    return "" if figure is None else format(Decimal(figure), "f")


@cache
def _choices(kind: type[Any]) -> frozenset[str]:
    """The keys of a body that are one of a closed list."""
    return frozenset(name for name, hint in get_type_hints(kind).items() if _is_choice(hint))


def _is_choice(hint: Any) -> bool:
    if get_origin(hint) is Literal:
        return True
    return any(_is_choice(one) for one in get_args(hint) if not isinstance(one, str))


def with_unasked(new: Body, old: Any, asked: Collection[str]) -> Body:
    """The new body with the old one's word for all that was not asked."""
    kept = {
        one.name: getattr(old, one.name)
        for one in fields(new)
        if one.name not in asked and getattr(new, one.name) is None
    }
    out: Body = replace(new, **kept)
    return out


def why_corrected(session: Session, chosen: str) -> ChoiceView:
    options = tuple((one, session.say(f"ask.{WHY}.{one}")) for one in REASONS)
    question = session.say(f"ask.{WHY}.question")
    return ChoiceView(WHY, question, options, (chosen,) if chosen else (), 2)
