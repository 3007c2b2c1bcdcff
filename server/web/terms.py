"""Words that a page needs and that are not a sentence of its own: crops, days with their weekday, times."""

from __future__ import annotations

import re
from datetime import date, datetime

from shared.languages import day, has, say


def crop(language: str, name: str) -> str:
    """A crop in the language, where it is one that the languages know; else as somebody typed it."""
    key = f"crops.{re.sub(r'[^a-z]+', '_', name.lower()).strip('_')}"
    return say(language, key) if name and has(language, key) else name


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


def capital(words: str) -> str:
    return words[:1].upper() + words[1:]
