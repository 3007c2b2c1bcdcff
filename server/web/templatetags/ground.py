"""Words of the land in templates."""

from __future__ import annotations

from django import template
from django.template import Context

from server.web import terms

register = template.Library()


@register.simple_tag(takes_context=True)
def drainage_word(context: Context, drainage: str | None) -> str:
    """A class of drainage in the language, or as somebody wrote it."""
    return terms.drainage(context["language"], drainage or "")
