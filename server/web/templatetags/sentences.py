"""Sentences, figures and dates in templates, all from ``shared.languages``."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

from django import template
from django.template import Context

from shared import languages

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
def figure(context: Context, number: float | Decimal | None, places: int | None = None) -> str:
    return "" if number is None else languages.figure(context["language"], number, places)


@register.simple_tag(takes_context=True)
def day(context: Context, on: date | None, year: bool = False) -> str:
    return "" if on is None else languages.day(context["language"], on, year)
