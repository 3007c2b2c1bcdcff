"""What the reports' templates say over and above sentences and figures."""

from __future__ import annotations

from django import template
from django.template import Context

from server.registers.reports.year import Gap
from server.web import terms
from server.web.worth_rows import SoilCell
from shared.ahead.fertilizer_amount import Amount
from shared.ahead.worth import RoundsMove
from shared.languages import figure, say
from shared.reckoning.trend import Line
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


@register.simple_tag(takes_context=True)
def amount(context: Context, one: Amount, places: int = 0) -> str:
    """A range, or one figure where both ends are told alike."""
    low, high = (figure(context["language"], end, places) for end in (one.low, one.high))
    return low if low == high else f"{low}–{high}"


@register.simple_tag(takes_context=True)
def soil_move(context: Context, cell: SoilCell) -> str:
    """A soil figure at both ends of a rest, its line, and for organic matter whether two tests can tell it apart."""
    of, move = context["language"], cell.move
    ends = {"was": figure(of, move.was, cell.places), "now": figure(of, move.now, cell.places)}
    told = [say(of, "report.worth.ends", unit=move.unit, mark=cell.letter, **ends).replace("  ", " ").strip()]
    if move.within_error is not None:
        told.append(say(of, f"report.worth.{'within' if move.within_error else 'beyond'}"))
    told.append(_line(of, move.line, move.word, cell.places + 1, move.tests, "tests"))
    return "; ".join(told)


@register.simple_tag(takes_context=True)
def rounds_move(context: Context, one: RoundsMove | None) -> str:
    """Weeds or hard points at both ends of a rest with their intervals, and their line."""
    of = context["language"]
    if one is None or one.ends is None:
        return say(of, "report.worth.rounds", count=one.rounds if one else 0)
    ends = [
        say(of, "report.worth.read", middle=round(mid), low=round(low), high=round(high))
        for mid, low, high in (one.ends.was, one.ends.now)
    ]
    told = [say(of, "report.worth.from_to", was=ends[0], now=ends[1])]
    return "; ".join([*told, _line(of, one.line, one.word, 1, one.rounds, "rounds")])


def _line(of: str, line: Line | None, word: str, places: int, count: int, what: str) -> str:
    if line is None:
        return say(of, f"report.worth.{what}", count=count)
    slope, low, high = (
        figure(of, round(end, places) + 0.0, places) for end in (line.slope, line.low, line.high)
    )
    return say(of, "report.worth.slope", slope=slope, low=low, high=high, word=say(of, f"report.line.{word}"))


@register.simple_tag(takes_context=True)
def interval(context: Context, one: tuple[float, float, float] | None) -> str:
    """A round's % with its interval; a dash for none."""
    if one is None:
        return "–"
    return say(
        context["language"], "report.worth.read", middle=round(one[0]), low=round(one[1]), high=round(one[2])
    )


@register.simple_tag(takes_context=True)
def drainage_word(context: Context, name: str) -> str:
    return terms.drainage(context["language"], name)
