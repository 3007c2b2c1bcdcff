"""Every sentence that a person reads, in each language, by key.

A language is a folder of TOML files; a key is its table path joined by dots (``findings.over_cap``), each defined
once. A sentence has places in braces: ``{depth} in``. Nothing is glued together from words: where a count changes a
sentence, ``key.one`` and ``key.other`` are two sentences.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from functools import cache
from importlib.resources import files
from typing import Any

from shared.errors import UnknownName

LANGUAGES = ("en", "es")
MONTHS = {
    "en": [
        "January",
        "February",
        "March",
        "April",
        "May",
        "June",
        "July",
        "August",
        "September",
        "October",
        "November",
        "December",
    ],
    "es": [
        "enero",
        "febrero",
        "marzo",
        "abril",
        "mayo",
        "junio",
        "julio",
        "agosto",
        "septiembre",
        "octubre",
        "noviembre",
        "diciembre",
    ],
}
HEADING = re.compile(r"^\[([A-Za-z0-9_]+)", re.MULTILINE)
LOOSE = re.compile(r"^([A-Za-z0-9_]+)[.\s]*[^=\n]*=", re.MULTILINE)
"""The first word of a table's heading, and of a key above all headings."""
DECIMAL_MARK = {"en": ".", "es": "."}
"""Spanish as it is written in the United States and Mexico keeps the point."""


@cache
def sentences(language: str) -> dict[str, str]:
    """All sentences of a language by key. A key defined twice is an error of ours and fails at once."""
    out: dict[str, str] = {}
    for name in _texts(language):
        for key, text in _read(language, name).items():
            if key in out:
                raise ValueError(f"{key} stands twice in {language}, again in {name}")
            out[key] = text
    return out


@cache
def _texts(language: str) -> dict[str, str]:
    """The files of a language as they stand, by name, unread."""
    if language not in LANGUAGES:
        raise UnknownName(language, LANGUAGES)
    folder = files("shared.languages") / language
    found = (file for file in folder.iterdir() if file.name.endswith(".toml"))
    return {file.name: file.read_text("utf-8") for file in sorted(found, key=lambda one: one.name)}


@cache
def _read(language: str, name: str) -> dict[str, str]:
    return dict(_flat("", tomllib.loads(_texts(language)[name])))


@cache
def _begins(language: str) -> dict[str, tuple[str, ...]]:
    """The files that have keys of each first word. To see which, their headings are enough."""
    out: dict[str, list[str]] = {}
    for name, text in _texts(language).items():
        first = HEADING.search(text)
        loose = text if first is None else text[: first.start()]
        for word in {*HEADING.findall(text), *LOOSE.findall(loose)}:
            out.setdefault(word, []).append(name)
    return {word: tuple(names) for word, names in out.items()}


@cache
def _of(language: str, word: str) -> dict[str, str]:
    """The sentences whose keys begin with this word, and whatever else stands in their files: a screen that asks for a
    few waits for no other file."""
    out: dict[str, str] = {}
    for name in _begins(language).get(word, ()):
        out |= _read(language, name)
    return out


def _table(language: str, key: str) -> dict[str, str]:
    return _of(language, key.partition(".")[0])


def _flat(path: str, table: dict[str, Any]) -> Iterator[tuple[str, str]]:
    for key, value in table.items():
        inner = f"{path}.{key}" if path else key
        if isinstance(value, dict):
            yield from _flat(inner, value)
        else:
            yield inner, str(value)


def has(language: str, key: str) -> bool:
    """Whether a language has a sentence of this key (or its pair for one and for several)."""
    table = _table(language, key)
    return key in table or f"{key}.other" in table


def say(language: str, key: str, /, **facts: Any) -> str:
    """The sentence of this key with the facts in their places, numbers and dates as the language writes them.

    With a fact ``count`` it is the sentence ``key.one`` for 1, else ``key.other``. Raises ``UnknownName`` for a
    key that the language does not have: a missing sentence is an error, never an empty place on a screen.
    """
    table = _table(language, key)
    if "count" in facts and key not in table:
        key = f"{key}.one" if facts["count"] == 1 else f"{key}.other"
    if key not in table:
        raise UnknownName(key, (language,))
    if not facts:
        return table[key]
    return table[key].format_map({name: shown(language, fact) for name, fact in facts.items()})


def shown(language: str, fact: Any) -> str:
    """A number, a date or a text as the language writes it: thousands by comma, day before month."""
    if isinstance(fact, bool) or fact is None:
        return str(fact)
    if isinstance(fact, int):
        return f"{fact:,}"
    if isinstance(fact, (float, Decimal)):
        return figure(language, fact)
    if isinstance(fact, date):
        return day(language, fact)
    return str(fact)


def figure(language: str, number: float | Decimal, places: int | None = None) -> str:
    """A figure for reading: no more than two decimals unless told, none that are empty."""
    out = f"{number:,.{places}f}" if places is not None else f"{number:,.2f}".rstrip("0").rstrip(".")
    out = "0" if out == "-0" else out
    return out if DECIMAL_MARK[language] == "." else out.translate(str.maketrans(".,", ",."))


def unit(language: str, name: str) -> str:
    """The word or sign of a unit (*in*, *pulg*); empty for a count, and as it is where we have no word."""
    return _table(language, "unit").get(f"unit.{name}", name)


def day(language: str, on: date, year: bool = False) -> str:
    """*2 July*, *2 de julio*; with the year *2 July 2026*, *2 de julio de 2026*."""
    month = MONTHS[language][on.month - 1]
    if language == "es":
        return f"{on.day} de {month} de {on.year}" if year else f"{on.day} de {month}"
    return f"{on.day} {month} {on.year}" if year else f"{on.day} {month}"
