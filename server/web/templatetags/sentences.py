"""Sentences, figures and dates in templates, all from ``shared.languages``."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import Any
from zoneinfo import ZoneInfo

from django import template
from django.template import Context
from django.utils.safestring import SafeString, mark_safe

from server.web import terms
from server.web.given import Given
from server.web.plots import Plot, Point
from shared import languages
from shared.rules.sheet import Clause
from shared.status.due import DueWords, due_words
from shared.status.rounds import DepthRound
from shared.words.due import Due
from shared.words.moment import in_zone

register = template.Library()


@register.simple_tag(takes_context=True)
def say(context: Context, key: str, **facts: Any) -> str:
    """``{% say "pages.came_in" count=37 %}``: a sentence in the page's language."""
    return languages.say(context["language"], key, **facts)


@register.simple_tag(takes_context=True)
def told(context: Context, key: str, facts: dict[str, Any]) -> str:
    """The same with the facts as one value."""
    return languages.say(context["language"], key, **facts)


@register.simple_tag(takes_context=True)
def term(context: Context, table: str, name: str) -> str:
    """``{% term "legs" span.leg %}``: the word of one of a closed list."""
    return languages.say(context["language"], f"{table}.{name}")


@register.simple_tag
def symbol(name: str) -> str:
    return terms.symbol(name)


@register.simple_tag(takes_context=True)
def crop(context: Context, name: str | None) -> str:
    return terms.crop(context["language"], name or "")


@register.simple_tag(takes_context=True)
def figure(context: Context, number: float | Decimal | None, places: int | None = None) -> str:
    return "" if number is None else languages.figure(context["language"], number, places)


@register.simple_tag(takes_context=True)
def day(context: Context, on: date | None, year: bool | None = None) -> str:
    """A day; its year too where it is not this one, or as told."""
    if on is None:
        return ""
    told_year = on.year != context["today"].year if year is None else year
    return languages.day(context["language"], on, told_year)


@register.simple_tag(takes_context=True)
def long_day(context: Context, on: date) -> str:
    """*Thursday 2 July 2026*."""
    return terms.long_day(context["language"], on)


@register.simple_tag(takes_context=True)
def when(context: Context, at: datetime | None) -> str:
    """A time on the farm's clock: the hour alone where it is today's."""
    if at is None:
        return ""
    here = in_zone(at, context["desk"].zone)
    if here.date() == context["today"]:
        return here.strftime("%H:%M")
    return terms.moment(context["language"], here, context["today"])


@register.simple_tag(takes_context=True)
def last_day(context: Context, ends_at: datetime, zone: ZoneInfo) -> str:
    """The last whole day before a moment, on the farm's clock."""
    on = (ends_at.astimezone(zone) - timedelta(seconds=1)).date()
    return languages.day(context["language"], on, year=True)


@register.simple_tag(takes_context=True)
def clock(context: Context, at: datetime | None) -> str:
    return "" if at is None else in_zone(at, context["desk"].zone).strftime("%H:%M")


@register.simple_tag(takes_context=True)
def due_told(context: Context, due: Due) -> DueWords:
    """A due's job, why and what would change it."""
    return due_words(due, context["language"])


@register.simple_tag(takes_context=True)
def month(context: Context, on: date) -> str:
    """A month along a plot; January by its year."""
    return str(on.year) if on.month == 1 else terms.short_month(context["language"], on.month)


@register.simple_tag(takes_context=True)
def depth_verdict(context: Context, measured: DepthRound, cap_in: float) -> str:
    """The word of a depth round against a cap."""
    verdict = measured.verdict(cap_in).verdict
    return languages.say(context["language"], f"pages.depth_verdict.{verdict}", cap=cap_in)


@register.simple_tag
def series_name(plot: Plot, point: Point) -> str:
    return plot.series[point.series]


@register.simple_tag(takes_context=True)
def sheet_title(context: Context, name: str) -> str:
    return terms.sheet_title(context["language"], name)


@register.simple_tag(takes_context=True)
def wrong_at(context: Context, given: Given, name: str) -> str:
    """What is wrong at a field of a form; empty where nothing is."""
    if name not in given.wrong:
        return ""
    key, facts = given.wrong[name]
    return languages.say(context["language"], f"pages.wrong.{key}", **facts)


@register.simple_tag
def typed(given: Given, name: str, otherwise: str | None) -> str:
    """What somebody typed, where the form comes back; else what there is."""
    return given.raw(name) if given.form else (otherwise or "")


@register.simple_tag
def is_form(given: Given, kind: str, which: str, this: str, row: Any) -> bool:
    """Whether this is the form that could not be used and comes back."""
    return bool(given.wrong) and kind == this and which == (str(row.id) if row else "")


@register.simple_tag
def called(row: Any) -> str:
    """What a town, hauler or truck is called; empty for none."""
    return (getattr(row, "label", "") or row.name) if row else ""


@register.simple_tag
def key_of(row: Any, kind: str) -> str:
    """What the ids of a row's form end in; the kind's name for a new one."""
    return str(row.id) if row else kind


@register.simple_tag(takes_context=True)
def clock_word(context: Context, skew_ms: int) -> str:
    return terms.clock(context["language"], skew_ms)


@register.simple_tag(takes_context=True)
def clause_title(context: Context, key: str) -> str:
    return languages.say(context["language"], f"clauses.{key}")


@register.simple_tag(takes_context=True)
def clause_value(context: Context, clause: Clause[Any]) -> str:
    return terms.clause_value(context["language"], clause)


@register.filter
def minus(number: float, other: float) -> SafeString:
    """How far two places of a drawing lie apart."""
    return at(number - other)


@register.filter
def at(number: float) -> SafeString:
    """A number for a style or a drawing: never in the way of a language."""
    return mark_safe(f"{number:.3f}")
