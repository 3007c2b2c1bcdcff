"""Words that a page needs and that are not a sentence of its own: crops, days with their weekday, times."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any

from shared.languages import day, figure, has, say
from shared.languages.crops import crop_word
from shared.rules.sheet import Clause
from shared.status.unusual import CLOCK_OFF_MS

MS_PER_MINUTE = 60_000


def crop(language: str, name: str) -> str:
    """A crop in the language, where it is one that the languages know; else as somebody typed it."""
    return crop_word(language, name)


def drainage(language: str, name: str) -> str:
    """A class of natural drainage, where it is one that the languages know; a dash for none."""
    key = f"land.drainage.{name.replace(' ', '_')}"
    return say(language, key) if name and has(language, key) else name or "–"


def long_day(language: str, on: date) -> str:
    weekday = say(language, f"pages.weekday.{on.weekday()}")
    return say(language, "pages.long_day", weekday=weekday, day=day(language, on, year=True))


def short_month(language: str, month: int) -> str:
    return say(language, f"pages.month.{month}")


def moment(language: str, at: datetime, today: date) -> str:
    """*23 November, 18:05*; the year too where it is another than today's."""
    told = day(language, at.date(), year=at.year != today.year)
    return say(language, "pages.moment", day=told, time=at.strftime("%H:%M"))


def sheet_title(language: str, name: str) -> str:
    """A rule sheet by its title, where it is one that came with the program."""
    key = f"sheet_titles.{name}"
    return say(language, key) if has(language, key) else name


SYMBOLS = {
    one.lower(): one for one in ("pH", "OM", "CEC", "N", "P", "K", "Ca", "Mg", "S", "B", "Zn", "Mn", "Cu")
}


def symbol(name: str) -> str:
    """What a laboratory measured, as chemists write it; any other name as it was typed."""
    return SYMBOLS.get(name.lower(), name)


def capital(words: str) -> str:
    return words[:1].upper() + words[1:]


def clock(language: str, skew_ms: int) -> str:
    """How far a phone's clock is off, where that is more than may be."""
    minutes = round(abs(skew_ms) / MS_PER_MINUTE)
    if abs(skew_ms) <= CLOCK_OFF_MS.value:
        return say(language, "pages.phones.clock_right")
    return say(language, "pages.clock_ahead" if skew_ms > 0 else "pages.clock_behind", count=minutes)


def clause_value(language: str, clause: Clause[Any]) -> str:
    """What a sheet sets, with its unit; a list by its own words."""
    value = clause.value
    if isinstance(value, bool):
        return say(language, "entries.word.yes" if value else "entries.word.no")
    if isinstance(value, (tuple, list)):
        return ", ".join(_sheet_word(language, str(one)) for one in value)
    if isinstance(value, (int, float)):
        return f"{figure(language, value)} {clause.unit}".strip()
    return f"{_sheet_word(language, str(value))} {clause.unit}".strip()


def _sheet_word(language: str, word: str) -> str:
    key = f"sheet_words.{word}"
    return say(language, key) if has(language, key) else word.replace("_", " ")
