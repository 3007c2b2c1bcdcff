"""Days as a rule counts them: farm-local calendar days, months that end where the month does, working days."""

from __future__ import annotations

from datetime import date, timedelta

from shared.units import Figure, Source

MONTHS_IN_YEAR = Figure(12, "months", Source("year", "a year has twelve months", None, "defined"))
FIRST_WEEKEND_DAY = Figure(
    5, "day of the week, Monday 0", Source("weekend", "Saturday and Sunday; holidays are not known", None, "practice")
)
ONE_DAY = timedelta(days=1)


def months_from(day: date, months: int) -> date:
    """The same day so many months on (or back, below 0); the month's last day where it has no such day."""
    twelve = int(MONTHS_IN_YEAR.value)
    year, month = divmod(day.year * twelve + day.month - 1 + months, twelve)
    first = date(year, month + 1, 1)
    return first + timedelta(days=min(day.day, _days_in(first)) - 1)


def _days_in(first: date) -> int:
    year, month = divmod(first.year * int(MONTHS_IN_YEAR.value) + first.month, int(MONTHS_IN_YEAR.value))
    return (date(year, month + 1, 1) - first).days


def years_from(day: date, years: int) -> date:
    """The same day so many years on; 28 February for a 29th where the year has none."""
    return months_from(day, years * int(MONTHS_IN_YEAR.value))


def days_taken(start: date, end: date, basis: str) -> int:
    """How many days lie from one event to the other, the last day included: by ``event_is_day_0`` (ruling R9) the
    same day is day 0, by ``event_is_day_1`` it is day 1."""
    return (end - start).days + (1 if basis == "event_is_day_1" else 0)


def last_day(start: date, days: int, basis: str) -> date:
    """The last day on which a limit of so many days is kept."""
    return start + timedelta(days=days - (1 if basis == "event_is_day_1" else 0))


def working_days_taken(start: date, end: date) -> int:
    """Mondays to Fridays after ``start``, up to and with ``end``. Holidays count as working days."""
    span = range(1, (end - start).days + 1)
    return sum((start + ONE_DAY * n).weekday() < FIRST_WEEKEND_DAY.value for n in span)
