"""Words of the land in templates."""

from __future__ import annotations

from collections.abc import Iterable

from django import template
from django.template import Context
from django.utils.html import escape
from django.utils.safestring import SafeString, mark_safe

from server.web import terms
from server.web.ribbons import Scale, Span
from shared.languages import day, say

register = template.Library()


@register.simple_tag(takes_context=True)
def drainage_word(context: Context, drainage: str | None) -> str:
    """A class of drainage in the language, or as somebody wrote it."""
    return terms.drainage(context["language"], drainage or "")


@register.simple_tag(takes_context=True)
def drawn_ribbon(context: Context, spans: Iterable[Span], scale: Scale) -> SafeString:
    """A ribbon's legs, its years and today. Made here and not by tags of its own: a farm has hundreds of them."""
    language = context["language"]
    planned, plan_word = say(language, "legs.planned"), escape(say(language, "legs.plan_word"))
    drawn = [_span(language, one, planned, plan_word) for one in spans]
    ticks = "".join(f'<i class="tick" style="left:{place:.3f}%"></i>' for _, place in scale.years[1:])
    today = f'<i class="today-rule" style="left:{scale.today_at:.3f}%"></i>'
    return mark_safe(f'<div class="ribbon">{"".join(drawn)}{ticks}{today}</div>')


def _span(language: str, span: Span, planned: str, plan_word: str) -> str:
    leg, crop = say(language, f"legs.{span.leg}"), terms.crop(language, span.word)
    title = f"{leg}, {crop}" if crop else leg
    title = f"{planned}: {title}" if span.planned else title
    looks = " ".join(
        ["span", span.leg, *(["planned"] if span.planned else []), *(["cut"] if span.cut else [])]
    )
    word = f"<span>{escape(crop or leg)}</span>" + (f"<span>{plan_word}</span>" if span.planned else "")
    return (
        f'<div class="{looks}" style="left:{span.left:.3f}%;width:{span.width:.3f}%" '
        f'title="{escape(title)}, {day(language, span.starts_on, True)}">'
        f'<span class="word">{word}</span><span class="bar"></span></div>'
    )
