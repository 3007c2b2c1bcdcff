"""The year on one page: the fields' sums with the gate, the papers and the book beside them, and what is lacking."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, Generic, TypeVar
from uuid import UUID
from zoneinfo import ZoneInfo

from server.book.reads import looked_up
from server.land import reads as land
from server.people.models import Farm
from server.registers import weather
from server.registers.facts import facts_of
from server.registers.reads import names
from server.registers.reports.books import books_of
from shared.ahead.moved import Moved
from shared.ahead.year_report import FieldLeaves, YearReport, year_report
from shared.status.gate import GateSheet, gate_days, gate_sheet
from shared.words.bodies.desk import Document
from shared.words.bodies.gate import Load

TOWNS, FIELDS, CROPS, MOVES, STEPS, PAPERS, JOBS, HAPPENED = 6, 9, 6, 10, 2, 5, 9, 6
"""So many lines of each are told; what is left over is counted on a line of its own."""
T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Part(Generic[T]):
    """The first lines of a list, and how many more there are."""

    rows: Sequence[T]
    more: int


@dataclass(frozen=True, slots=True)
class TownLine:
    name: str
    loads: int
    yards_yd3: Any
    turned_back: int


@dataclass(frozen=True, slots=True)
class Paper:
    title: str
    what: str
    issued_on: date | None
    expires_on: date | None


@dataclass(frozen=True, slots=True)
class Gap:
    """What the page lacks, by its key under ``report.gap``."""

    key: str
    count: int
    of: int


@dataclass(frozen=True, slots=True)
class YearPage:
    sums: YearReport
    gate: GateSheet
    towns: Part[TownLine]
    leaves: Part[FieldLeaves]
    rest_of_leaves: FieldLeaves | None
    crops: Part[Any]
    jobs: Part[Any]
    moved: Part[Moved]
    moves: tuple[tuple[str, str, int], ...]
    odd: Part[Any]
    happened: Part[tuple[str, int]]
    reasons: Sequence[tuple[str, int]]
    papers: Part[Paper]
    entries: int
    gaps: Sequence[Gap]

    @property
    def empty(self) -> bool:
        return not self.entries


def year_page(farm: Farm, year: int, today: date) -> YearPage:
    """The calendar year up to its last day, or up to today."""
    first, last = date(year, 1, 1), min(date(year, 12, 31), today)
    sums = year_report(books_of(farm.id), year, last)
    zone = ZoneInfo(farm.zone)
    loads = facts_of(farm, ("load", "agreed_count"), first, last)
    days = {on: one for on, one in gate_days(loads, zone).items() if first <= on <= last}
    sheet = gate_sheet(days.values())
    called = names(farm)
    towns = [
        TownLine(called.get(one.town, "?"), one.taken, one.yards_yd3, one.turned_back) for one in sheet.towns
    ]
    leaves = sorted(sums.leaves, key=lambda one: (-one.yards_yd3, one.name))
    moved = sorted(sums.moved, key=lambda one: (one.word == "can_not_say", one.measure != "weeds", one.name))
    counted = Counter((one.measure, one.word) for one in sums.moved)
    found_entries = looked_up(farm.id).filter(day__range=(first, last))
    found_entries = found_entries.exclude(outcome__in=("refused", "already"))
    return YearPage(
        sums=sums,
        gate=sheet,
        towns=_part(towns, TOWNS),
        leaves=_part(leaves, FIELDS),
        rest_of_leaves=_together(leaves[FIELDS:]),
        crops=_part(sums.crops, CROPS),
        jobs=_part(sums.jobs, JOBS),
        moved=_part([one for one in moved if one.word != "can_not_say"], MOVES),
        moves=tuple((measure, word, count) for (measure, word), count in sorted(counted.items())),
        odd=_part(sums.odd, STEPS),
        happened=_part(sums.happened, HAPPENED),
        reasons=_reasons(loads),
        papers=_part(_papers(farm, first, last), PAPERS),
        entries=found_entries.exclude(entry=None).count(),
        gaps=_gaps(farm, sums, first, last),
    )


def _part(rows: Sequence[T], most: int) -> Part[T]:
    return Part(rows[:most], max(0, len(rows) - most))


def _together(several: Sequence[FieldLeaves]) -> FieldLeaves | None:
    if not several:
        return None
    yards, spread = (sum(getattr(one, name) for one in several) for name in ("yards_yd3", "spread_yd3"))
    return FieldLeaves("", sum(one.acres or 0.0 for one in several), yards, spread, None, None)


def _reasons(facts: Sequence[Any]) -> list[tuple[str, int]]:
    """Why loads were turned back: what was seen in them, the most frequent first."""
    seen: Counter[str] = Counter()
    for one in facts:
        if isinstance(one.body, Load) and not one.body.is_taken and not one.struck:
            seen.update(one.body.trash_items or ("other",))
    return sorted(seen.items(), key=lambda item: (-item[1], item[0]))[:5]


def _papers(farm: Farm, first: date, last: date) -> list[Paper]:
    """Papers that were issued in the year, or run out in it."""
    found = []
    for fact in facts_of(farm, ("document",), date.min, date.max):
        body = fact.body
        if isinstance(body, Document) and not fact.struck:
            issued = body.issued_on or fact.day(ZoneInfo(farm.zone))
            if any(on is not None and first <= on <= last for on in (issued, body.expires_on)):
                found.append(Paper(body.title, body.what, body.issued_on, body.expires_on))
    return sorted(found, key=lambda one: (one.expires_on or date.max, one.title))


def _gaps(farm: Farm, sums: YearReport, first: date, last: date) -> list[Gap]:
    """What a reader would look for and does not find."""
    days = max(0, (last - first).days + 1)
    told = {
        on
        for (on, _), one in weather.known(farm, first).items()
        if first <= on <= last and (one.low_f is not None or one.high_f is not None)
    }
    found = [
        Gap("no_round", sums.fields - sums.walked, sums.fields),
        Gap("no_soil_test", sums.fields - sums.tested, sums.fields),
        Gap("no_weather", days - len(told), days),
        Gap("not_spread", len(sums.not_spread), len(sums.leaves)),
        Gap("no_acres", sums.unmeasured, sums.fields),
        Gap("doubtful", sums.doubtful, sums.doubtful),
    ]
    return [one for one in found if one.count > 0]


def years_told(farm: UUID, today: date) -> list[int]:
    """The years of which there is anything to tell, the newest first; this one always."""
    found = looked_up(farm).filter(day__lte=today).exclude(day=None).order_by()
    years = {on.year for on in found.dates("day", "year")}
    legs = {leg.starts_on.year for legs in land.legs(farm).values() for leg in legs}
    return sorted({today.year, *years, *(one for one in legs if one <= today.year)}, reverse=True)
