"""An entry in a person's words: one line that sums it up, and each thing that it says with its label.

The phone's *What I wrote*, the evening reading and the registers tell entries by this and by nothing else.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields
from datetime import date
from decimal import Decimal
from functools import cache
from typing import Annotated, Any, Literal, get_args, get_origin, get_type_hints
from uuid import UUID

from shared.languages import day, figure, has, say, unit
from shared.languages.crops import crop_word
from shared.words.bodies import KINDS, Body
from shared.words.bodies.desk import SheetChoice
from shared.words.bodies.gate import Load
from shared.words.bodies.reading import Correction, Reading
from shared.words.bodies.told import Weather
from shared.words.bodies.walked import Cover, Firmness, Ground, LeafDepth, Weeds
from shared.words.bodies.work import Work
from shared.words.moment import Moment
from shared.words.span import Span

KIND_OF = {cls: kind for kind, cls in KINDS.items()}
Names = Callable[[UUID], str | None]
"""What a person, place, town or truck is called, None where it isn't known here."""


@dataclass(frozen=True, slots=True)
class Telling:
    """``title`` is the kind's name; ``sum`` one line; ``lines`` (label, value) in the order of the body."""

    title: str
    sum: str
    lines: tuple[tuple[str, str], ...]


def telling(language: str, body: Body, names: Names) -> Telling:
    """A body in words. A correction is told by the body that it puts in place."""
    if isinstance(body, Correction):
        inner = telling(language, body.body, names)
        why = (say(language, "entries.key.why"), body.why)
        return Telling(say(language, "entries.kind.correction"), inner.sum, (*inner.lines, why))
    lines = tuple(_lines(language, body, names))
    kind = KIND_OF[type(body)]
    return Telling(say(language, f"entries.kind.{kind}"), _sum(language, kind, body, names, lines), lines)


def choice(language: str, value: str) -> str:
    """The word for one of a closed list; what is not of the lists (a crop as typed) stays as it is."""
    return say(language, f"entries.choice.{value}") if has(language, f"entries.choice.{value}") else value


def _lines(language: str, body: Body, names: Names) -> list[tuple[str, str]]:
    out = []
    hints = _hints(type(body))  # type: ignore[arg-type]  # a class is hashable
    for one in fields(body):
        value = getattr(body, one.name)
        if value is None or value == ():
            continue
        label = say(language, f"entries.key.{one.name.rstrip('_')}")
        out.append((label, _told(language, one.name, value, hints[one.name], names)))
    return out


@cache
def _hints(cls: type[Body]) -> dict[str, Any]:
    return get_type_hints(cls, include_extras=True)


@cache
def _unit(hint: Any) -> str:
    """The unit of a measured value, from the span that its annotation carries."""
    if get_origin(hint) is Annotated:
        for mark in get_args(hint)[1:]:
            if isinstance(mark, Span):
                return mark.unit
    return next((found for inner in get_args(hint) if (found := _unit(inner))), "") if get_args(hint) else ""


def _is_choice(hint: Any) -> bool:
    if get_origin(hint) is Literal:
        return True
    return any(_is_choice(inner) for inner in get_args(hint) if not isinstance(inner, str))


def _told(language: str, name: str, value: Any, hint: Any, names: Names) -> str:
    if name == "due":
        return _due(language, str(value))
    if name == "crop" and isinstance(value, str):
        return crop_word(language, value)
    if name == "sheet":
        return _sheet(language, str(value))
    if name in ENTRIES_NAMED:
        those = value if isinstance(value, tuple) else (value,)
        return ", ".join(_entry(language, one, names) for one in those)
    if name in PAIRS and isinstance(value, tuple):
        return ", ".join(PAIRS[name](language, pair, names) for pair in value)
    if isinstance(value, tuple) and value and isinstance(value[0], tuple):
        return ", ".join(_sent(language, pair, names) for pair in value)
    if isinstance(value, tuple):
        return ", ".join(_one(language, one, hint, names) for one in value)
    return _one(language, value, hint, names)


def _one(language: str, value: Any, hint: Any, names: Names) -> str:
    if isinstance(value, bool):
        return say(language, "entries.word.yes" if value else "entries.word.no")
    if isinstance(value, UUID):
        return names(value) or say(language, "entries.word.nobody_known")
    if isinstance(value, (Decimal, int)):
        told = figure(language, value) if isinstance(value, Decimal) else f"{value:,}"
        return f"{told} {unit(language, _unit(hint))}".strip() if isinstance(value, Decimal) else told
    if isinstance(value, Moment):
        return value.text
    if isinstance(value, date):
        return day(language, value, year=True)
    if isinstance(value, str) and _is_choice(hint):
        return choice(language, value)
    return str(value)


def _sheet(language: str, name: str) -> str:
    """A rule sheet by its title; one that did not come with the program by its own name."""
    key = f"sheet_titles.{name}"
    return say(language, key) if has(language, key) else name


def _due(language: str, ref: str) -> str:
    """A due by its job: the rest of its name is for machines."""
    key = f"dues.title.{ref.partition(':')[0]}"
    return say(language, key) if has(language, key) else ref


ENTRIES_NAMED = ("sample", "about", "again_of", "spread", "entries")
"""The keys that name another entry."""


def _entry(language: str, id: UUID, names: Names) -> str:
    """Another entry by the end of its id, which tells it from its neighbours."""
    return names(id) or say(language, "entries.word.an_entry", ref=str(id)[-6:])


def _bed(language: str, pair: Any, names: Names) -> str:
    return say(language, "entries.word.bed", bed=pair[0], fill=pair[1])


def _sent(language: str, pair: Any, names: Names) -> str:
    place = names(pair[0]) or say(language, "entries.word.nobody_known")
    return say(language, "entries.word.sent", yards=pair[1], place=place)


def _counted(language: str, pair: Any, names: Names) -> str:
    return say(language, "entries.word.counted", kind=pair[0], plants=pair[1])


def _at_depth(language: str, pair: Any, names: Names) -> str:
    return say(language, "entries.word.at_depth", depth=pair[0], psi=pair[1])


def _share(language: str, pair: Any, names: Names) -> str:
    return say(language, "entries.word.share", kind=choice(language, pair[0]), pct=pair[1])


def _value(language: str, triple: Any, names: Names) -> str:
    return say(language, "entries.word.value", name=triple[0], number=triple[1], unit=triple[2])


def _year(language: str, triple: Any, names: Names) -> str:
    words = [str(triple[0]), choice(language, triple[1]), triple[2]]
    return " ".join(word for word in words if word)


def _piece(language: str, rings: Any, names: Names) -> str:
    return str(sum(len(ring) for ring in rings))


PAIRS: Mapping[str, Callable[[str, Any, Names], str]] = {
    "beds": _bed,
    "counts": _counted,
    "profile": _at_depth,
    "mix": _share,
    "values": _value,
    "years": _year,
    "pieces": _piece,
}


def _sum(language: str, kind: str, body: Body, names: Names, lines: tuple[tuple[str, str], ...]) -> str:
    """One line: a sentence of the kind's own, else its first things."""
    facts = _facts(language, body, names)
    if facts is not None:
        return say(language, f"entries.sum.{kind}", **facts)
    return " · ".join(value for _, value in lines[:3])


def _facts(language: str, body: Body, names: Names) -> dict[str, Any] | None:
    match body:
        case Cover():
            named = body.other_text or choice(language, body.cover)
            return {"cover": named, "height": body.height_in, "heads": choice(language, body.heads)}
        case Weeds() if body.classes is not None:
            return {"classes": ", ".join(choice(language, one) for one in body.classes)}
        case Firmness():
            return {"peak": body.highest_psi, "moisture": choice(language, body.moisture)}
        case LeafDepth():
            return {"depth": body.depth_in, "layer": choice(language, body.layer)}
        case Ground():
            return {"state": choice(language, body.state)}
        case Load():
            town = names(body.town) or say(language, "entries.word.nobody_known")
            outcome = choice(language, body.outcome)
            return {"ticket": body.ticket, "town": town, "yards": body.carried_yd3, "outcome": outcome}
        case Work():
            own = body.other_text if body.job == "other" else None
            crop = crop_word(language, body.crop) if body.crop else ""
            words = [own or choice(language, body.job), crop, body.material or ""]
            return {"job": ", ".join(word for word in words if word)}
        case Reading():
            return {"mark": choice(language, body.mark), "count": len(body.entries)}
        case SheetChoice():
            key = "in_force" if body.in_force else "put_out_of_force"
            starts = day(language, body.starts_on, year=True)
            state = say(language, f"entries.word.{key}")
            return {"sheet": _sheet(language, body.sheet), "state": state, "on": starts}
        case Weather() if body.low_f is not None and body.high_f is not None:
            return {"low": body.low_f, "high": body.high_f}
    return None
