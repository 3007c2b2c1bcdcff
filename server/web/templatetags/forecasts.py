"""Figures of forecasts as they are told: pounds as tons, and a figure with its sign."""

from __future__ import annotations

from django import template
from django.template import Context

from shared import languages
from shared.units import LB_PER_TON

register = template.Library()


@register.simple_tag(takes_context=True)
def tons(context: Context, pounds: float) -> str:
    return languages.figure(context["language"], pounds / LB_PER_TON.value, 1)


@register.simple_tag(takes_context=True)
def signed(context: Context, number: float) -> str:
    """*+210*, *−160*: to the pound, with a minus as it is set in type."""
    whole = round(number)
    sign = "+" if whole > 0 else "−" if whole < 0 else ""
    return sign + languages.figure(context["language"], abs(whole), 0)


@register.simple_tag(takes_context=True)
def a_year(context: Context, number: float) -> str:
    """A change a year to a hundredth; what rounds to nothing has no sign."""
    return languages.figure(context["language"], round(number, 2) + 0.0, 2)
