"""A field's years as a ribbon: which leg stands where, in hundredths of the width. No widget knows a date."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date

from shared.words.leg import Leg

YEARS_BACK = 4
YEARS = 10


@dataclass(frozen=True, slots=True)
class Span:
    """A leg's piece of the ribbon: from ``left`` over ``width``, both per cent of its whole. ``cut``: it began
    before the ribbon does."""

    leg: str
    word: str
    left: float
    width: float
    planned: bool
    starts_on: date
    cut: bool = False


@dataclass(frozen=True, slots=True)
class Scale:
    """Ten years with today among them, and where each year begins."""

    first: date
    last: date
    today: date

    def at(self, day: date) -> float:
        """Where a day stands, per cent from the left, held within the scale."""
        inside = min(max(day, self.first), self.last)
        return 100 * (inside - self.first).days / (self.last - self.first).days

    @property
    def years(self) -> list[tuple[int, float]]:
        return [(year, self.at(date(year, 1, 1))) for year in range(self.first.year, self.last.year)]

    @property
    def today_at(self) -> float:
        return self.at(self.today)


def scale(today: date) -> Scale:
    """Ten years, four of them before this one."""
    first = today.year - YEARS_BACK
    return Scale(date(first, 1, 1), date(first + YEARS, 1, 1), today)


def ribbon(legs: Iterable[Leg], plan: Iterable[tuple[int, str, str]], on: Scale) -> list[Span]:
    """The legs up to today as they were, the plan's years after it; a plan's neighbours of one leg are one span.

    ``plan`` is (year, leg, crop or empty) in the order of its years; the year that today is in goes on as it is.
    """
    spans = _lived(sorted(legs, key=lambda leg: leg.starts_on), on)
    return spans + _planned(list(plan), on)


def _lived(legs: list[Leg], on: Scale) -> list[Span]:
    out = []
    for place, leg in enumerate(legs):
        end = legs[place + 1].starts_on if place + 1 < len(legs) else _end_of_year(on.today)
        if leg.starts_on > _end_of_year(on.today):
            continue
        left, right = on.at(leg.starts_on), on.at(end)
        if right > left:
            planned, cut = leg.starts_on > on.today, leg.starts_on < on.first
            out.append(Span(leg.leg, leg.crop or "", left, right - left, planned, leg.starts_on, cut))
    return out


def _end_of_year(day: date) -> date:
    return date(day.year + 1, 1, 1)


def _planned(plan: list[tuple[int, str, str]], on: Scale) -> list[Span]:
    out: list[Span] = []
    for year, leg, crop in plan:
        if year <= on.today.year or year >= on.last.year:
            continue
        left, right = on.at(date(year, 1, 1)), on.at(date(year + 1, 1, 1))
        before = out[-1] if out else None
        if before is not None and (before.leg, before.word) == (leg, crop):
            out[-1] = replace(before, width=right - before.left)
        else:
            out.append(Span(leg, crop, left, right - left, True, date(year, 1, 1)))
    return out
