"""A computation of the reckoner as a form in words: its inputs with unit and range, its answer. The manager's page
and the phone both show it, in the units that are asked for.
"""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from typing import Any

from shared.errors import GoodgroundError, InputError
from shared.languages import figure, has, say, shown, unit
from shared.reckoning.computation import Computation, Input, as_answer
from shared.reckoning.metric import Metric, metric
from shared.units import Figure, Source

TURNED = ("number", "numbers")
HOUSE_WORDS = Source(
    "house_words", "how much of an answer is written out, a choice of this project", None, "practice"
)
MOST_SHOWN = Figure(40, "values of a list", HOUSE_WORDS)
SMALL = Figure(0.1, "below which a number keeps its first figures", HOUSE_WORDS)


@dataclass(frozen=True, slots=True)
class Asked:
    """One input on the page. ``choices`` are (value, word); ``wrong`` the sentence where it can't be used."""

    name: str
    label: str
    unit: str
    takes: str
    text: str
    choices: tuple[tuple[str, str], ...]
    optional: bool
    example: str
    wrong: str


@dataclass(frozen=True, slots=True)
class Reckoned:
    """The page of one computation. ``answers`` are (label, value); empty where nothing was reckoned."""

    asked: tuple[Asked, ...]
    answers: tuple[tuple[str, str], ...]
    caution: str
    wrong: str


@dataclass(frozen=True, slots=True)
class Sheet:
    """How a computation is told: the language, and whether in metric units."""

    language: str
    in_metric: bool

    def word(self, key: str, otherwise: str) -> str:
        key = f"reckoner.{key}"
        return say(self.language, key) if has(self.language, key) else otherwise

    def unit(self, name: str) -> Metric | None:
        """The metric unit that stands for one of the reckoner's; None where it stays as it is."""
        return metric(name) if self.in_metric else None

    def unit_word(self, name: str) -> str:
        return unit(self.language, name) if name else ""


def reckoned(one: Computation, typed: Mapping[str, str], sheet: Sheet, tried: bool = False) -> Reckoned:
    """What is asked and, where anything was typed, what comes out or what is missing; ``tried``: also where nothing
    was typed. Never raises: what can't be reckoned is told in ``wrong``."""
    given = {name: text.strip() for name, text in typed.items() if text.strip()}
    wrong: dict[str, str] = {}
    answers: tuple[tuple[str, str], ...] = ()
    caution, in_all = "", ""
    if given or tried:
        try:
            result = one.run(**one.read(_turned_back(one, given, sheet)))
            answers = _answers(one, as_answer(result), sheet)
            key = one.caution_for(result)
            caution = say(sheet.language, key) if key else ""
        except InputError as error:
            wrong[error.name] = _wrong(one, error, given, sheet)
        except GoodgroundError as error:
            in_all = say(sheet.language, "pages.reckoner.can_not", why=str(error))
    asked = tuple(_asked(each, given, wrong.pop(each.name, ""), sheet) for each in one.inputs)
    return Reckoned(asked, answers, caution, in_all or next(iter(wrong.values()), ""))


def _turned_back(one: Computation, given: Mapping[str, str], sheet: Sheet) -> dict[str, str]:
    """What was typed in metric units as the computation takes it; what is no number stays as it is, to be told."""
    out = dict(given)
    for each in one.inputs:
        unit = sheet.unit(each.unit)
        if unit is None or each.shape not in TURNED or each.name not in given:
            continue
        with suppress(ValueError):
            out[each.name] = ",".join(repr(unit.back(float(part))) for part in given[each.name].split(","))
    return out


OF_FIELDS = ("area_ac", "cap_in", "placed_yd3", "depths_in")


def asks_of_fields(one: Computation) -> bool:
    """Whether what is known of a field fills in anything here."""
    return any(each.name in OF_FIELDS for each in one.inputs)


def filled(one: Computation, known: Mapping[str, Any], sheet: Sheet) -> dict[str, str]:
    """The inputs that are known, in the reckoner's own units, as they stand in the form in the units shown."""
    out = {}
    for each in one.inputs:
        value = known.get(each.name)
        if value is not None:
            unit = sheet.unit(each.unit)
            values = value if isinstance(value, tuple) else (value,)
            out[each.name] = ",".join(f"{unit.turned(v) if unit else v:.6g}" for v in values)
    return out


def switched(one: Computation, typed: Mapping[str, str], to: Sheet) -> dict[str, str]:
    """What was typed in the other units as ``to`` has them, so that a switch keeps the amounts; what is no number
    stays as it is."""
    out = dict(typed)
    for each in one.inputs:
        unit = metric(each.unit)
        if unit is None or each.shape not in TURNED or each.name not in typed:
            continue
        turn = unit.turned if to.in_metric else unit.back
        with suppress(ValueError):
            out[each.name] = ",".join(f"{turn(float(part)):.6g}" for part in typed[each.name].split(","))
    return out


def _asked(one: Input, given: Mapping[str, str], wrong: str, sheet: Sheet) -> Asked:
    unit = sheet.unit(one.unit) if one.shape in TURNED else None
    return Asked(
        name=one.name,
        label=label_of(one, sheet),
        unit=sheet.unit_word(unit.unit if unit else one.unit),
        takes=takes(one, sheet),
        text=given.get(one.name, ""),
        choices=_choices(one, sheet),
        optional=one.optional,
        example=_turned_text(one, sheet),
        wrong=wrong,
    )


def label_of(one: Input, sheet: Sheet) -> str:
    return sheet.word(f"input.{one.name}", one.name).rstrip(".")


def _choices(one: Input, sheet: Sheet) -> tuple[tuple[str, str], ...]:
    names = ("true", "false") if one.shape == "flag" else one.choices if one.shape == "choice" else ()
    return tuple((name, sheet.word(f"choice.{name}", name)) for name in names)


def _turned_text(one: Input, sheet: Sheet) -> str:
    unit = sheet.unit(one.unit) if one.shape in TURNED else None
    if unit is None or not one.example:
        return one.example
    return ",".join(f"{float(f'{unit.turned(float(part)):.3g}'):g}" for part in one.example.split(","))


def takes(one: Input, sheet: Sheet) -> str:
    """The range of an input in words."""
    if one.shape in ("choice", "flag", "text"):
        return ""
    if one.shape in ("date", "dates", "ring", "pairs", "choices"):
        words = ", ".join(one.choices)
        return say(sheet.language, f"pages.reckoner.takes.{one.shape}", choices=words)
    unit = sheet.unit(one.unit)
    low, high = (_bound(each, unit, sheet) for each in (one.low, one.high))
    key = ("from_to" if high else "from") if low else ("to" if high else "any")
    if low and one.above_low:
        key = "above_to" if high else "above"
    told = say(sheet.language, f"pages.reckoner.takes.{key}", low=low, high=high)
    return say(sheet.language, "pages.reckoner.takes.list", takes=told) if one.shape == "numbers" else told


def _bound(bound: float | None, unit: Metric | None, sheet: Sheet) -> str:
    if bound is None:
        return ""
    return _number(unit.turned(bound) if unit else bound, sheet)


def _number(value: float, sheet: Sheet) -> str:
    """Two decimals; of a small figure as many as tell it."""
    if value and abs(value) < SMALL.value:
        return f"{value:.2g}"
    return figure(sheet.language, value)


def _answers(one: Computation, answer: Mapping[str, Any], sheet: Sheet) -> tuple[tuple[str, str], ...]:
    found = ((key, _told(value, one.units.get(key, ""), key, sheet)) for key, value in answer.items())
    return tuple((sheet.word(f"answer.{key}", key), told) for key, told in found if key != "caution")


def _told(value: Any, unit: str, key: str, sheet: Sheet) -> str:
    if value is None:
        return "–"
    if isinstance(value, bool):
        return sheet.word(f"choice.{str(value).lower()}", str(value))
    if isinstance(value, (tuple, list)):
        parts = [_told(each, "", key, sheet) for each in value[: int(MOST_SHOWN.value)]]
        return ", ".join(parts) + (" …" if len(value) > MOST_SHOWN.value else "")
    if isinstance(value, str):
        table = "why" if key == "why" else "choice"
        return sheet.word(f"{table}.{value}", value)
    turned = sheet.unit(unit)
    if turned is not None and isinstance(value, (int, float)):
        return f"{_number(turned.turned(float(value)), sheet)} {sheet.unit_word(turned.unit)}"
    text = _number(value, sheet) if isinstance(value, float) else shown(sheet.language, value)
    return f"{text} {sheet.unit_word(unit)}".strip()


def _wrong(one: Computation, error: InputError, given: Mapping[str, str], sheet: Sheet) -> str:
    """What was typed, as it was typed, and what can be."""
    known = next((each for each in one.inputs if each.name == error.name), None)
    if known is None:
        return say(sheet.language, "reckoner.problem.unknown_input", name=error.name, allowed=error.allowed)
    facts = {
        "name": label_of(known, sheet),
        "value": given.get(error.name, error.value),
        "allowed": takes(known, sheet) or error.allowed,
    }
    key = error.code if has(sheet.language, f"reckoner.problem.{error.code}") else "input"
    return say(sheet.language, f"reckoner.problem.{key}", **facts)
