"""Days as a rule counts them: farm-local calendar days by a sheet's own way of counting, and working days."""

from __future__ import annotations

from datetime import date, timedelta

from shared.reckoning.deadlines import worked_in_by
from shared.units import Figure, Source

FIRST_WEEKEND_DAY = Figure(
    5,
    "day of the week, Monday 0",
    Source("weekend", "Saturday and Sunday; holidays are not known", None, "practice"),
)
ONE_DAY = timedelta(days=1)


def _first(basis: str) -> int:
    return 1 if basis == "event_is_day_1" else 0


def days_taken(start: date, end: date, basis: str) -> int:
    """How many days lie from one event to the other, the last day included: by ``event_is_day_0`` (ruling R9)
    the same day is day 0, by ``event_is_day_1`` it is day 1."""
    return (end - start).days + _first(basis)


def last_day(start: date, days: int, basis: str) -> date:
    """The last day on which a limit of so many days is kept. Raises ``OutOfRange`` for a year that the
    reckoner does not reckon with."""
    return worked_in_by(start, days=days).last_day - ONE_DAY * _first(basis)


def working_days_taken(start: date, end: date) -> int:
    """Mondays to Fridays after ``start``, up to and with ``end``. Holidays count as working days."""
    span = range(1, (end - start).days + 1)
    return sum((start + ONE_DAY * n).weekday() < FIRST_WEEKEND_DAY.value for n in span)
