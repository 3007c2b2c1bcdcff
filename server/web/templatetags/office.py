"""What the office's pages say beside the sentences: units, days of papers."""

from __future__ import annotations

from django import template
from django.template import Context

from shared import languages

register = template.Library()


@register.simple_tag(takes_context=True)
def unit_word(context: Context, name: str) -> str:
    """The word or sign of a unit; a factor's unit that the languages do not know stays as it is."""
    return languages.unit(context["language"], name)
