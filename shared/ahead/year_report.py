"""A year of the farm as sums: land, leaves, work, hay, rounds and what moved, findings. No rule judges here."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from dataclasses import field as made
from datetime import date
from decimal import Decimal
from uuid import UUID

from shared.ahead.crops import crop_year
from shared.ahead.moved import Moved, seen_round
from shared.status.field_year import FieldYear, RoundWalked
from shared.status.job_done import JobDone
from shared.status.laid import Laid, Worked
from shared.status.legs import OddStep
from shared.words.leg import Leg

LB_PER_TON = 2000
MID_YEAR = (7, 1)
NOT_OCCURRENCES = ("sample", "spade", "frost")
NO_YARDS = Decimal(0)


@dataclass(frozen=True, slots=True)
class FieldBook:
    """One field as its report is made from it: its legs, its gathered years, what was laid and worked in, and the
    steps that don't fit. ``acres`` None for a field that is known by name only."""

    id: UUID
    name: str
    acres: float | None
    legs: tuple[Leg, ...] = ()
    years: Mapping[int, FieldYear] = made(default_factory=dict)
    laid: tuple[Laid, ...] = ()
    worked: tuple[Worked, ...] = ()
    odd: tuple[OddStep, ...] = ()

    def jobs(self, year: int) -> tuple[JobDone, ...]:
        return self.years[year].jobs if year in self.years else ()

    def rounds(self, year: int) -> tuple[RoundWalked, ...]:
        return self.years[year].rounds if year in self.years else ()


@dataclass(frozen=True, slots=True)
class Cropped:
    """A cash crop of the year: acres of the fields that carried it, with those that carried another as well."""

    crop: str
    acres: float
    fields: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class FieldLeaves:
    """A field's leaves of the year: truck yards laid, those of them spread, the last day of the year on which ground
    was worked after that."""

    name: str
    acres: float | None
    yards_yd3: Decimal
    spread_yd3: Decimal
    spread_on: date | None
    worked_on: date | None


@dataclass(frozen=True, slots=True)
class JobSum:
    """A job over the year: how often, on how many acres (as typed, else the whole field's), and in how many of
    these no acres could be told."""

    job: str
    times: int
    acres: float
    untold: int


@dataclass(frozen=True, slots=True)
class Hay:
    """Hay of the year: cuttings, acres cut, bales, and the tons of those bales whose weight was written."""

    cuttings: int = 0
    acres: float = 0.0
    bales: int = 0
    tons: float = 0.0
    unweighed: int = 0


@dataclass(frozen=True, slots=True)
class RoundSum:
    """Rounds of one measure: how many, their stops, in how many fields."""

    measure: str
    rounds: int
    stops: int
    fields: int


@dataclass(frozen=True, slots=True)
class YearReport:
    """All of it. ``legs``: acres by leg on the year's last day told. ``walked`` and ``tested``: fields with a round,
    and with a soil sample, in the year, of all ``fields``. ``happened`` are occurrences by their word."""

    year: int
    last: date
    fields: int
    acres: float
    unmeasured: int
    cash_ac: float
    crops: tuple[Cropped, ...]
    legs: tuple[tuple[str, float], ...]
    leaves: tuple[FieldLeaves, ...]
    jobs: tuple[JobSum, ...]
    hay: Hay
    rounds: tuple[RoundSum, ...]
    moved: tuple[Moved, ...]
    odd: tuple[tuple[str, OddStep], ...]
    happened: tuple[tuple[str, int], ...]
    doubtful: int
    walked: int
    tested: int

    @property
    def cash_pct(self) -> float:
        return 100.0 * self.cash_ac / self.acres if self.acres else 0.0

    @property
    def laid_yd3(self) -> Decimal:
        return sum((one.yards_yd3 for one in self.leaves), NO_YARDS)

    @property
    def not_spread(self) -> tuple[FieldLeaves, ...]:
        return tuple(one for one in self.leaves if one.spread_yd3 < one.yards_yd3)


def year_report(books: Iterable[FieldBook], year: int, last: date) -> YearReport:
    """The year up to ``last``, its last day or today. ``books``: every field that the farm has."""
    fields = sorted(books, key=lambda one: (one.name, str(one.id)))
    cropped = {one.id: cash_crops(one.legs, year, last) for one in fields}
    jobs = [(one, job) for one in fields for job in one.jobs(year) if job.on <= last]
    happened = Counter(
        event.what
        for one in fields
        if year in one.years
        for event in one.years[year].events
        if event.what not in NOT_OCCURRENCES
    )
    return YearReport(
        year=year,
        last=last,
        fields=len(fields),
        acres=sum(one.acres or 0.0 for one in fields),
        unmeasured=sum(not one.acres for one in fields),
        cash_ac=sum(one.acres or 0.0 for one in fields if cropped[one.id]),
        crops=_crops(fields, cropped),
        legs=_legs(fields, last),
        leaves=tuple(found for one in fields if (found := _leaves(one, year)) is not None),
        jobs=_jobs(jobs),
        hay=_hay(jobs),
        rounds=_rounds(fields, year),
        moved=tuple(found for one in fields for found in _moves(one, year)),
        odd=tuple((one.name, step) for one in fields for step in one.odd if step.on.year == year),
        happened=tuple(sorted(happened.items(), key=lambda item: (-item[1], item[0]))),
        doubtful=sum(len(one.years[year].doubtful) for one in fields if year in one.years),
        walked=sum(bool(one.rounds(year)) for one in fields),
        tested=sum(_tested(one, year) for one in fields),
    )


def cash_crops(legs: Sequence[Leg], year: int, last: date) -> tuple[str, ...]:
    """The cash crops that a field carried for the harvest of a year (R11, R12), each once; a stand of several years
    in each year whose middle it sees."""
    found: list[str] = []
    for place, leg in enumerate(legs):
        if leg.leg != "cash" or leg.starts_on > last:
            continue
        ends = legs[place + 1].starts_on if place + 1 < len(legs) else None
        through = ends is None or ends > date(year, *MID_YEAR)
        if crop_year(leg) == year or (crop_year(leg) < year and through):
            found.append(leg.crop or "")
    return tuple(dict.fromkeys(found))


def _crops(fields: Sequence[FieldBook], cropped: Mapping[UUID, tuple[str, ...]]) -> tuple[Cropped, ...]:
    acres: dict[str, float] = defaultdict(float)
    names: dict[str, list[str]] = defaultdict(list)
    for one in fields:
        for crop in cropped[one.id]:
            acres[crop] += one.acres or 0.0
            names[crop].append(one.name)
    found = [Cropped(crop, acres[crop], tuple(names[crop])) for crop in acres]
    return tuple(sorted(found, key=lambda one: (-one.acres, one.crop)))


def _legs(fields: Sequence[FieldBook], on: date) -> tuple[tuple[str, float], ...]:
    acres: dict[str, float] = defaultdict(float)
    for one in fields:
        leg = next((leg for leg in reversed(one.legs) if leg.starts_on <= on), None)
        acres[leg.leg if leg else "unknown"] += one.acres or 0.0
    return tuple(sorted(acres.items(), key=lambda item: (-item[1], item[0])))


def _leaves(one: FieldBook, year: int) -> FieldLeaves | None:
    mine = [row for row in one.laid if row.on.year == year]
    if not mine:
        return None
    spread = [row for row in mine if row.spread_on is not None]
    begun = min(row.since for row in mine)
    worked = max((row.on for row in one.worked if row.on.year == year and row.on >= begun), default=None)
    return FieldLeaves(
        one.name,
        one.acres,
        sum((row.yards_yd3 for row in mine), NO_YARDS),
        sum((row.yards_yd3 for row in spread), NO_YARDS),
        max((row.spread_on for row in spread if row.spread_on), default=None),
        worked,
    )


def _jobs(jobs: Sequence[tuple[FieldBook, JobDone]]) -> tuple[JobSum, ...]:
    by: dict[str, list[float | None]] = defaultdict(list)
    for field, job in jobs:
        by[job.job].append(_acres(field, job))
    found = [
        JobSum(job, len(acres), sum(one or 0.0 for one in acres), sum(one is None for one in acres))
        for job, acres in by.items()
    ]
    return tuple(sorted(found, key=lambda one: (-one.times, one.job)))


def _acres(field: FieldBook, job: JobDone) -> float | None:
    """The acres of a job as typed; without them the whole field's, unless a part was named."""
    if job.area_ac is not None:
        return float(job.area_ac)
    return field.acres if job.part is None else None


def _hay(jobs: Sequence[tuple[FieldBook, JobDone]]) -> Hay:
    cut = [(field, job) for field, job in jobs if job.job == "cut_hay"]
    baled = [job for _, job in jobs if job.job in ("bale", "cut_hay") and job.bales]
    weighed = [(job.bales or 0) * float(job.bale_lb) for job in baled if job.bale_lb]
    return Hay(
        cuttings=len(cut),
        acres=sum(_acres(field, job) or 0.0 for field, job in cut),
        bales=sum(job.bales or 0 for job in baled),
        tons=sum(weighed) / LB_PER_TON,
        unweighed=sum(job.bales or 0 for job in baled if not job.bale_lb),
    )


def _rounds(fields: Sequence[FieldBook], year: int) -> tuple[RoundSum, ...]:
    out = []
    for measure in ("cover", "weeds", "firmness", "leaf_depth"):
        stops = [
            [len(found) for one in field.rounds(year) if (found := getattr(one, measure))] for field in fields
        ]
        rounds = [count for several in stops for count in several]
        if rounds:
            out.append(RoundSum(measure, len(rounds), sum(rounds), sum(bool(several) for several in stops)))
    return tuple(out)


def _moves(one: FieldBook, year: int) -> Iterable[Moved]:
    """Weeds and hard points: the year's last round beside the last one of a year before it."""
    for measure in ("weeds", "firmness"):
        seen = sorted(
            found
            for at in one.years
            if at <= year
            for walked in one.rounds(at)
            if (found := seen_round(walked, measure)) is not None
        )
        now = [each for each in seen if each[0].year == year]
        before = [each for each in seen if each[0].year < year]
        if now and before:
            yield Moved(one.name, measure, before[-1][0], before[-1][1], now[-1][0], now[-1][1])


def _tested(one: FieldBook, year: int) -> bool:
    return year in one.years and any(sample.of == "soil" for sample in one.years[year].bagged)
