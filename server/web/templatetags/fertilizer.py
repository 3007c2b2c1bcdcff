"""What is wrong with a row of a table of fertilizer, in words."""

from __future__ import annotations

from django import template
from django.template import Context

from shared.ahead.fertilizer_sheet import Fault
from shared.languages import say

register = template.Library()


@register.simple_tag(takes_context=True)
def fault(context: Context, one: Fault) -> str:
    """Where and what: the line of what was pasted, the column, and why."""
    language = context["language"]
    why = say(language, f"fertilizer.fault.{one.key}", **dict(one.facts))
    column = say(language, f"fertilizer.column.{one.column}") if one.column else ""
    if not one.line:
        return why
    key = "fertilizer.at_cell" if column else "fertilizer.at_line"
    told = say(language, key, line=one.line, column=column, why=why)
    return f"{told} «{one.value}»" if one.value else told
