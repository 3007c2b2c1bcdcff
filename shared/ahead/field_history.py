"""A field's years one by one, for whoever takes it over: its legs, what came on it and off it, what was measured."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from shared.ahead.moved import seen_round
from shared.ahead.worth import FIGURES, LB_PER_TON, SoilRead
from shared.ahead.year_report import FieldBook

TOLD_APART = ("spread", "work_in", "bale", "rake", "move")
"""Jobs that a year's row tells of in another column, or not at all."""
Interval = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class YearRow:
    """``legs`` are the leg and crop of each that began in the year or went on into it, in order. ``hay_tons`` of the
    bales with a weight. ``weeds`` and ``hard`` are the year's last round, % with its 95 % interval. ``ills``:
    diseases and nematodes found."""

    year: int
    legs: tuple[tuple[str, str], ...]
    leaves_yd3: Decimal
    worked_on: date | None
    hay_tons: float
    bales: int
    jobs: tuple[tuple[str, int], ...]
    weeds: Interval | None
    hard: Interval | None
    ills: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SoilLine:
    """One laboratory's figures on one sample, those that every test has first."""

    on: date
    lab: str
    depth: str
    reads: tuple[SoilRead, ...]


def soil_lines(soil: Iterable[SoilRead]) -> tuple[SoilLine, ...]:
    """A line for each day and laboratory, the newest first."""
    by: dict[tuple[date, str, str], list[SoilRead]] = {}
    for one in soil:
        by.setdefault((one.on, one.lab, one.depth), []).append(one)

    def rank(one: SoilRead) -> tuple[int, str]:
        return (FIGURES.index(one.name) if one.name in FIGURES else len(FIGURES), one.name)

    lines = [SoilLine(*key, tuple(sorted(several, key=rank))) for key, several in by.items()]
    return tuple(sorted(lines, key=lambda one: (-one.on.toordinal(), one.lab, one.depth)))


def history(book: FieldBook, today: date) -> tuple[YearRow, ...]:
    """A row for each year since the first of which anything is known, the newest first. Empty where nothing is."""
    begun = [*book.years, *(one.starts_on.year for one in book.legs)]
    first = min((one for one in begun if one <= today.year), default=None)
    if first is None:
        return ()
    return tuple(_row(book, year, today) for year in range(today.year, first - 1, -1))


def _row(book: FieldBook, year: int, today: date) -> YearRow:
    jobs = [one for one in book.jobs(year) if one.on <= today]
    baled = [one for one in jobs if one.job in ("bale", "cut_hay") and one.bales]
    counted = Counter(one.job for one in jobs if one.job not in TOLD_APART)
    events = book.years[year].events if year in book.years else ()
    return YearRow(
        year=year,
        legs=legs_of(book, year, today),
        leaves_yd3=sum((one.yards_yd3 for one in book.laid if one.on.year == year), Decimal(0)),
        worked_on=max((one.on for one in book.worked if one.on.year == year), default=None),
        hay_tons=sum((one.bales or 0) * float(one.bale_lb) for one in baled if one.bale_lb) / LB_PER_TON,
        bales=sum(one.bales or 0 for one in baled),
        jobs=tuple(sorted(counted.items(), key=lambda item: (-item[1], item[0]))),
        weeds=_last(book, year, "weeds"),
        hard=_last(book, year, "firmness"),
        ills=tuple(sorted({one.name or one.what for one in events if one.what in ("disease", "nematode")})),
    )


def legs_of(book: FieldBook, year: int, today: date) -> tuple[tuple[str, str], ...]:
    """The legs that a field was in during a year, up to today, in order."""
    first, last = date(year, 1, 1), min(date(year, 12, 31), today)
    found = []
    for place, leg in enumerate(book.legs):
        ends = book.legs[place + 1].starts_on if place + 1 < len(book.legs) else None
        if leg.starts_on <= last and (ends is None or ends > first):
            found.append((leg.leg, leg.crop or ""))
    return tuple(found)


def _last(book: FieldBook, year: int, measure: str) -> Interval | None:
    seen = sorted(found for one in book.rounds(year) if (found := seen_round(one, measure)) is not None)
    return seen[-1][1] if seen else None
