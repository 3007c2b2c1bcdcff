"""Last days and first days: working in, keeping records, organic and manure waits, applications in a window.

Day 0 is the event, days are the farm's own calendar days, and the last day still counts (R9).
"""

from __future__ import annotations

import calendar
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from shared.errors import MissingInput, OutOfRange
from shared.reckoning.computation import HOUSE, Computation, Input, checked, cite
from shared.units import Figure, Source

NOP_RECORDS = Source("nop_205_103", "7 CFR 205.103, records kept five years beyond creation", 2023, "read")
NOP_LAND = Source("nop_205_202", "7 CFR 205.202(b), three years before harvest", 2026, "read")
NOP_MANURE = Source("nop_205_203", "7 CFR 205.203(c)(1), raw manure worked in before harvest", 2026, "read")
PSR_RECORDS = Source("psr_112_164", "21 CFR 112.164, records kept two years", None, "memory")
OHIO_RECORDS = Source("ohio_3745_560", "OAC 3745-560, intake records kept three years", 2024, "read")
NEW_JERSEY_RECORDS = Source(
    "nj_7_26a_3_17",
    "N.J.A.C. 7:26A-3.17(b), three years after the reporting year, approval holders",
    None,
    "read",
)
WORK_IN_DAYS = Source(
    "work_in_days", "the rule sheet's own days or date; day 0 is the event", None, "practice"
)

ONE_APPLICATION = Source(
    "one_application", "spreads on one part are one until worked in or 30 idle days", None, "practice"
)

NOP_YEARS = Figure(5.0, "years", NOP_RECORDS)
PSR_YEARS = Figure(2.0, "years", PSR_RECORDS)
OHIO_YEARS = Figure(3.0, "years", OHIO_RECORDS)
NEW_JERSEY_YEARS = Figure(3.0, "calendar years", NEW_JERSEY_RECORDS)
ORGANIC_YEARS = Figure(3.0, "years", NOP_LAND)
MANURE_TOUCHING_DAYS = Figure(120.0, "days", NOP_MANURE)
MANURE_CLEAR_DAYS = Figure(90.0, "days", NOP_MANURE)
IDLE_DAYS = Figure(30.0, "days", ONE_APPLICATION)
"""As many days without spreading end an application (R5)."""
MONTHS_PER_YEAR = Figure(12, "months/year", HOUSE)
DECEMBER, LAST_OF_DECEMBER = Figure(12, "month", HOUSE), Figure(31, "day", HOUSE)
FIRST_YEAR, LAST_YEAR = Figure(1900, "year", HOUSE), Figure(2199, "year", HOUSE)
"""Days outside these are slips of the finger, and near the calendar's ends nothing can be added."""

SHEETS = ("nop", "produce_safety", "ohio_intake", "new_jersey", "farm")

WORKED_IN_BY = (
    Input("spread_on", "date", example="2024-11-09"),
    Input("days", "count", unit="days", low=0.0, high=3660.0, optional=True, example="5"),
    Input("next_season_date", "date", optional=True, example="2025-05-01"),
)
APPLICATIONS = (
    Input("dates", "dates", least=0, example="2024-11-01,2025-01-05"),
    Input("on", "date", example="2025-10-20"),
    Input(
        "window_months",
        "count",
        unit="months",
        low=1.0,
        high=240.0,
        optional=True,
        default=12,
        example="12",
    ),
)
KEEP_UNTIL = (
    Input("made_on", "date", example="2025-11-03"),
    Input("sheets", "choices", choices=SHEETS, example="nop,ohio_intake"),
    Input("farm_years", "count", unit="years", low=0.0, high=50.0, optional=True, example="7"),
)
ORGANIC_FROM = (Input("last_prohibited", "date", example="2023-06-15"),)
MANURE_WAIT = (
    Input("incorporated", "date", optional=True, example="2025-04-01"),
    Input("touches_soil", "flag", example="true"),
)


@dataclass(frozen=True, slots=True)
class WorkedInBy:
    """The last day on which working in is still in time."""

    last_day: date


@dataclass(frozen=True, slots=True)
class Applications:
    """How many applications lie in the window that ends on the day asked about."""

    count: int


@dataclass(frozen=True, slots=True)
class KeepUntil:
    """The longest of the sheets' days, and the sheet that asks for it; None where none of them names one."""

    until: date | None
    by_sheet: str | None


@dataclass(frozen=True, slots=True)
class OrganicFrom:
    """The first day of harvest as organic."""

    harvest_from: date


@dataclass(frozen=True, slots=True)
class ManureWait:
    """The first day of harvest, None while the manure is not worked in, and the days that it waits."""

    harvest_from: date | None
    days: int


def _dated(name: str, day: date) -> date:
    if not FIRST_YEAR.value <= day.year <= LAST_YEAR.value:
        allowed = f"a date from {FIRST_YEAR.value:g} to {LAST_YEAR.value:g}"
        raise OutOfRange(name, day.isoformat(), allowed)
    return day


def months_before(day: date, months: int) -> date:
    """The same day of the month ``months`` earlier; a day that month doesn't have becomes its last."""
    per_year = int(MONTHS_PER_YEAR.value)
    year, month = divmod(day.year * per_year + day.month - 1 - months, per_year)
    return date(year, month + 1, min(day.day, calendar.monthrange(year, month + 1)[1]))


def years_after(day: date, years: int) -> date:
    """The same day ``years`` later in full: 29 February becomes 1 March where there is none."""
    try:
        return day.replace(year=day.year + years)
    except ValueError:
        return date(day.year + years, day.month + 1, 1)


def worked_in_by(
    spread_on: date, days: int | None = None, next_season_date: date | None = None
) -> WorkedInBy:
    """The last day to work in what was spread on ``spread_on`` (day 0): so many days on, or the date that the
    farm sets for *next season*, which no text confirms (R9).

    Raises ``MissingInput`` for neither, ``OutOfRange`` for both or for a season before the spreading.
    """
    since, within, season = checked(WORKED_IN_BY, locals()).values()
    _dated("spread_on", since)
    if within is None and season is None:
        raise MissingInput("days", None, f"{WORKED_IN_BY[1].allowed()}, or next_season_date")
    if season is None:
        return WorkedInBy(since + timedelta(days=within))
    if within is not None:
        raise OutOfRange("next_season_date", season.isoformat(), "one of days or next_season_date, not both")
    if season < since:
        raise OutOfRange("next_season_date", season.isoformat(), f"a date from {since.isoformat()}")
    return WorkedInBy(season)


def applications(
    dates: Sequence[date], on: date, window_months: int = int(MONTHS_PER_YEAR.value)
) -> Applications:
    """How many of ``dates`` lie in (on - months, on]: the day itself counts, its like a year ago does not
    (R4). Later dates are left out."""
    made, day, months = checked(APPLICATIONS, locals()).values()
    after = months_before(_dated("on", day), months)
    return Applications(sum(after < one <= day for one in made))


def keep_until(made_on: date, sheets: Sequence[str], farm_years: int | None = None) -> KeepUntil:
    """How long a record made on ``made_on`` is kept: the longest of the sheets wins.

    Organic five years and Ohio three from the day; New Jersey to the end of the third calendar year after
    (read for approval holders, not found for exempt farms); Produce Safety two, from memory, unconfirmed;
    the farm its own ``farm_years``, and nothing while it has set none. Check with the authority.
    """
    made, wanted, own = checked(KEEP_UNTIL, locals()).values()
    _dated("made_on", made)
    years = {"nop": NOP_YEARS.value, "produce_safety": PSR_YEARS.value, "ohio_intake": OHIO_YEARS.value}
    days = {sheet: years_after(made, int(kept)) for sheet, kept in years.items()}
    last = made.year + int(NEW_JERSEY_YEARS.value)
    days["new_jersey"] = date(last, int(DECEMBER.value), int(LAST_OF_DECEMBER.value))
    if own is not None:
        days["farm"] = years_after(made, own)
    # In the fixed order of the sheets, so that a tie does not hang on how they were listed.
    asked = [sheet for sheet in SHEETS if sheet in wanted and sheet in days]
    if not asked:
        return KeepUntil(None, None)
    longest = max(asked, key=days.__getitem__)
    return KeepUntil(days[longest], longest)


def organic_from(last_prohibited: date) -> OrganicFrom:
    """The first day of organic harvest: a full three years after the last prohibited substance, treated seed
    and drift among them (R13). Source: 7 CFR 205.202(b). The certifier decides."""
    (last,) = checked(ORGANIC_FROM, locals()).values()
    return OrganicFrom(years_after(_dated("last_prohibited", last), int(ORGANIC_YEARS.value)))


def joined_prohibited(parts: Sequence[date | None]) -> date | None:
    """The last prohibited date of fields that were joined: the latest of theirs (R13). A part split off
    inherits its field's unchanged."""
    return max((day for day in parts if day is not None), default=None)


def manure_wait(incorporated: date | None = None, touches_soil: bool = True) -> ManureWait:
    """When a crop may be harvested after raw manure: 120 days after it was worked in where the eaten part
    touches the soil, else 90; not worked in, no day (R13). Source: 7 CFR 205.203(c)(1)."""
    worked, touching = checked(MANURE_WAIT, locals()).values()
    days = int((MANURE_TOUCHING_DAYS if touching else MANURE_CLEAR_DAYS).value)
    if worked is None:
        return ManureWait(None, days)
    return ManureWait(_dated("incorporated", worked) + timedelta(days=days), days)


COMPUTATIONS: tuple[Computation, ...] = (
    Computation(
        "worked_in_by",
        worked_in_by,
        WORKED_IN_BY,
        {},
        "last_day = spread_on + days, or next_season_date",
        cite(WORK_IN_DAYS),
        "reckoner.caution.authority",
    ),
    Computation(
        "applications",
        applications,
        APPLICATIONS,
        {"count": "applications"},
        "dates after on - window_months and up to on",
        cite(HOUSE),
        "reckoner.caution.authority",
    ),
    Computation(
        "keep_until",
        keep_until,
        KEEP_UNTIL,
        {},
        "the latest of: nop + 5 years, ohio_intake + 3, produce_safety + 2, "
        "new_jersey end of the third year after, farm + farm_years",
        cite(NOP_RECORDS, OHIO_RECORDS, NEW_JERSEY_RECORDS, PSR_RECORDS),
        "reckoner.caution.authority",
    ),
    Computation(
        "organic_from",
        organic_from,
        ORGANIC_FROM,
        {},
        "harvest_from = last_prohibited + 3 full years (29 February gives 1 March)",
        cite(NOP_LAND),
        "reckoner.caution.certifier",
    ),
    Computation(
        "manure_wait",
        manure_wait,
        MANURE_WAIT,
        {"days": "days"},
        "harvest_from = incorporated + 120 days, 90 where the eaten part does not touch the soil",
        cite(NOP_MANURE),
        "reckoner.caution.certifier",
    ),
)
