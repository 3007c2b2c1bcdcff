"""What the reports' templates say over and above sentences and figures."""

from __future__ import annotations

from django import template
from django.template import Context

from server.registers.reports.year import Gap
from shared.languages import say
from shared.status.legs import OddStep
from shared.status.noticed import told

register = template.Library()


@register.simple_tag(takes_context=True)
def gap(context: Context, one: Gap) -> str:
    """What is lacking, in how many of how many."""
    return say(context["language"], f"report.gap.{one.key}", count=one.count, of=one.of)


@register.simple_tag(takes_context=True)
def odd_step(context: Context, name: str, step: OddStep) -> str:
    """What does not fit in the order of a field's legs."""
    return told(step.finding(name), context["language"])
