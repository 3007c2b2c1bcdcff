"""What a rest was worth to a field: what was measured over it, and apart from that what is only modelled.

A change of two soil tests is told beside the measuring error and never called a gain of the rest: the trial that
was read found one layer of leaves to add less organic matter than two tests can tell apart.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from itertools import pairwise
from typing import Literal

from shared.ahead.fertilizer_amount import Amount
from shared.ahead.fertilizer_shifts import TRI_STATE_K2O, TRI_STATE_P2O5
from shared.ahead.moved import Moved, seen_round
from shared.ahead.year_report import FieldBook
from shared.errors import OutOfRange
from shared.reckoning.litter import leaf_dry_matter, leaf_left_range, leaf_nutrients
from shared.reckoning.organic_matter import OM_UNSURE_PCT
from shared.reckoning.rotation import K2O_PER_TON, P2O5_PER_TON
from shared.reckoning.trend import DAYS_PER_YEAR, Line, theil_sen
from shared.status.laid import Laid
from shared.words.leg import Leg

LEAST_FOR_A_LINE = 4
"""Fewer readings make no line that could say anything."""
SHARE = 0.90
BEFORE = timedelta(days=730)
"""A soil test up to two years before the rest began may be its beginning (common practice, no source)."""
YOUNG = timedelta(days=365)
MONTHS_A_YEAR = 12
LB_PER_TON = 2000
MEASURES = ("weeds", "firmness")
FIGURES = ("om", "ph", "p", "k", "mg", "ca")
"""What is told of a soil test, in this order."""
Word = Literal["rises", "falls", "can_not_say", "too_few"]
Lack = Literal[
    "no_rest", "no_soil_test", "one_soil_test", "no_weeds", "no_firmness", "no_leaves", "no_hay", "no_acres"
]


@dataclass(frozen=True, slots=True)
class SoilRead:
    """One figure of one answer: the laboratory with its method, depth and season, within which alone it compares."""

    on: date
    name: str
    unit: str
    value: float
    lab: str
    depth: str = ""

    @property
    def kind(self) -> tuple[str, str, str, str, str]:
        return (self.name, self.unit, self.lab, self.depth, season(self.on))


def season(on: date) -> str:
    """The season of a sample: figures of two seasons are not compared (R14)."""
    return ("winter", "spring", "summer", "fall")[on.month % MONTHS_A_YEAR // 3]


@dataclass(frozen=True, slots=True)
class SoilMove:
    """A soil figure at the beginning of the rest and at its end, by one laboratory, method, depth and season; the
    ``line`` through all between, in its unit a year with a 90 % interval, None while there are too few."""

    name: str
    unit: str
    lab: str
    was_on: date
    was: float
    now_on: date
    now: float
    tests: int
    line: Line | None

    @property
    def change(self) -> float:
        return self.now - self.was

    @property
    def within_error(self) -> bool | None:
        """Whether two tests of the same soil may differ as much; None where no measuring error was read."""
        return abs(self.change) <= OM_UNSURE_PCT.value if self.name == "om" and self.unit == "%" else None

    @property
    def word(self) -> Word:
        """How the line goes; nothing is said of organic matter that two tests could not tell apart."""
        word = _word(self.line)
        return "can_not_say" if self.within_error and word in ("rises", "falls") else word


@dataclass(frozen=True, slots=True)
class RoundsMove:
    """Weeds or hard points over the rest: the first round beside the last (None with fewer than two), and the line
    through all, % a year with a 90 % interval."""

    measure: str
    rounds: int
    ends: Moved | None
    line: Line | None

    @property
    def word(self) -> Word:
        return _word(self.line)


@dataclass(frozen=True, slots=True)
class Modelled:
    """What follows from published figures and not from a measurement of this soil, an acre: dry tons of leaves laid,
    lb of nutrients that were in them (not what a crop gets), the share of them left by now in %, and lb of nutrients
    that hay carried off."""

    leaf_tons: Amount
    leaf_n: Amount
    leaf_p2o5: Amount
    leaf_k2o: Amount
    left_pct: Amount
    hay_p2o5: Amount
    hay_k2o: Amount


@dataclass(frozen=True, slots=True)
class Worth:
    """A field's last rest, from ``since`` to ``until`` (None: it goes on). ``leaves_yd3`` and ``hay_tons`` as the book
    has them; ``hay_unweighed`` bales without a weight."""

    name: str
    acres: float | None
    since: date | None
    until: date | None
    soil: tuple[SoilMove, ...] = ()
    rounds: tuple[RoundsMove, ...] = ()
    leaves_yd3: Decimal = Decimal(0)
    hay_tons: float = 0.0
    hay_unweighed: int = 0
    modelled: Modelled | None = None
    lacks: tuple[Lack, ...] = ()

    def soil_of(self, name: str) -> tuple[SoilMove, ...]:
        return tuple(one for one in self.soil if one.name == name)

    def of(self, measure: str) -> RoundsMove | None:
        return next((one for one in self.rounds if one.measure == measure), None)


def last_rest(legs: Sequence[Leg], today: date) -> tuple[date, date | None] | None:
    """The last rest after a cash crop, its first day and the day on which the next cash crop began (None: it goes
    on). One that began within a year says little yet: then the one before it, where there is one."""
    known = [one for one in legs if one.starts_on <= today]
    found: list[tuple[date, date | None]] = []
    for before, leg in pairwise(known):
        if before.leg == "cash" and leg.leg != "cash":
            found.append((leg.starts_on, None))
        elif leg.leg == "cash" and found and found[-1][1] is None:
            found[-1] = (found[-1][0], leg.starts_on)
    old = [one for one in found if today - one[0] >= YOUNG]
    several = old or found
    return several[-1] if several else None


def worth_of(book: FieldBook, soil: Iterable[SoilRead], today: date) -> Worth:
    """What a field's last rest comes to by ``today``."""
    rest = last_rest(book.legs, today)
    if rest is None:
        return Worth(book.name, book.acres, None, None, lacks=("no_rest",))
    since, until = rest
    last = min(until or today, today)
    reads = [one for one in soil if since - BEFORE <= one.on <= last]
    moves = _soil_moves(reads, since)
    rounds = tuple(_rounds_move(book, measure, since, last) for measure in MEASURES)
    laid = [one for one in book.laid if since - timedelta(days=1) <= one.on <= last]
    hay = _hay(book, since, last)
    lacks: list[Lack] = []
    if not moves:
        lacks.append("one_soil_test" if reads else "no_soil_test")
    lacks += [f"no_{one.measure}" for one in rounds if one.ends is None]  # type: ignore[misc]
    lacks += ["no_leaves"] if not laid else []
    lacks += ["no_acres"] if not book.acres else []
    return Worth(
        book.name,
        book.acres,
        since,
        until,
        moves,
        rounds,
        sum((one.yards_yd3 for one in laid), Decimal(0)),
        hay[0],
        hay[1],
        _modelled(book.acres, laid, hay[0], last) if book.acres and (laid or hay[0]) else None,
        tuple(lacks),
    )


def _word(line: Line | None) -> Word:
    if line is None:
        return "too_few"
    return {True: "rises", False: "falls", None: "can_not_say"}[line.rises]  # type: ignore[return-value]


def _line(readings: Sequence[tuple[date, float]]) -> Line | None:
    if len(readings) < LEAST_FOR_A_LINE:
        return None
    first = readings[0][0]
    years = [(on - first).days / DAYS_PER_YEAR.value for on, _ in readings]
    try:
        return theil_sen(years, [value for _, value in readings], SHARE)
    except OutOfRange:
        return None


def _soil_moves(reads: Iterable[SoilRead], since: date) -> tuple[SoilMove, ...]:
    """From the test nearest to the beginning of the rest to the last one, each laboratory, depth and season apart."""
    by: dict[tuple[str, str, str, str, str], list[SoilRead]] = defaultdict(list)
    for one in reads:
        by[one.kind].append(one)
    out = []
    for several in by.values():
        ordered = sorted(several, key=lambda one: one.on)
        first = min(ordered, key=lambda one: (abs((one.on - since).days), one.on))
        between = [one for one in ordered if one.on >= first.on]
        if len(between) > 1 and first.name in FIGURES:
            last = between[-1]
            line = _line([(one.on, one.value) for one in between])
            out.append(
                SoilMove(
                    first.name,
                    first.unit,
                    first.lab,
                    first.on,
                    first.value,
                    last.on,
                    last.value,
                    len(between),
                    line,
                )
            )
    return tuple(sorted(out, key=lambda one: (FIGURES.index(one.name), one.lab, one.unit, one.was_on)))


def _rounds_move(book: FieldBook, measure: str, since: date, last: date) -> RoundsMove:
    found = (seen_round(walked, measure) for year in book.years for walked in book.rounds(year))
    seen = sorted(one for one in found if one is not None and since <= one[0] <= last)
    ends = None
    if len(seen) > 1:
        ends = Moved(book.name, measure, seen[0][0], seen[0][1], seen[-1][0], seen[-1][1])
    return RoundsMove(measure, len(seen), ends, _line([(on, value[0]) for on, value in seen]))


def _hay(book: FieldBook, since: date, last: date) -> tuple[float, int]:
    jobs = [job for year in book.years for job in book.jobs(year) if since <= job.on <= last]
    baled = [job for job in jobs if job.job in ("bale", "cut_hay") and job.bales]
    pounds = sum((job.bales or 0) * float(job.bale_lb) for job in baled if job.bale_lb)
    return pounds / LB_PER_TON, sum(job.bales or 0 for job in baled if not job.bale_lb)


def _modelled(acres: float, laid: Sequence[Laid], hay_tons: float, last: date) -> Modelled:
    dry = leaf_dry_matter(float(sum((one.yards_yd3 for one in laid), Decimal(0))) / acres)
    low, high = leaf_nutrients(dry.low_tons), leaf_nutrients(dry.high_tons)
    return Modelled(
        Amount(dry.low_tons, dry.high_tons),
        Amount(low.n_lb, high.n_lb),
        Amount(low.p2o5_lb, high.p2o5_lb),
        Amount(low.k2o_lb, high.k2o_lb),
        _left(laid, last),
        _carried_off(hay_tons / acres, TRI_STATE_P2O5.value, P2O5_PER_TON.value),
        _carried_off(hay_tons / acres, TRI_STATE_K2O.value, K2O_PER_TON.value),
    )


def _carried_off(tons_per_ac: float, low: float, high: float) -> Amount:
    return Amount(tons_per_ac * min(low, high), tons_per_ac * max(low, high))


def _left(laid: Sequence[Laid], last: date) -> Amount:
    """The share of all leaves laid that is left, from the fastest to the slowest rotting, each layer by its age."""
    whole = float(sum((one.yards_yd3 for one in laid), Decimal(0)))
    if not whole:
        return Amount(0.0, 0.0)
    low = high = 0.0
    for one in laid:
        months = max(0.0, (last - one.since).days / DAYS_PER_YEAR.value * MONTHS_A_YEAR)
        left = leaf_left_range(months)
        low += float(one.yards_yd3) * left.low_left_pct / whole
        high += float(one.yards_yd3) * left.high_left_pct / whole
    return Amount(low, high)
