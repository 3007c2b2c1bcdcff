"""A plot as what is drawn: points in a box, all in hundredths of its width and height, ticks with their days.

Lines and points are drawn in a stretched drawing, words beside it as text: so they keep their size on a phone.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from math import floor, log10

MOST_TICKS = 12
FEW_TICKS = 5
"""So many words have room beside each other on a desk, and on a phone."""
A_YEAR, A_YEAR_AND_A_HALF = 365, 550
STEPS = (1.0, 2.0, 2.5, 5.0, 10.0)


@dataclass(frozen=True, slots=True)
class Point:
    """A figure on a day, with its interval where it has one; ``x``, ``y``, ``low`` and ``high`` per cent of the
    box, from the left and from the top."""

    x: float
    y: float
    low: float | None
    high: float | None
    on: date
    value: float
    series: int = 0


@dataclass(frozen=True, slots=True)
class Tick:
    """A day along the foot. ``month``: told by its month, else by its year; ``minor``: left out on a phone."""

    x: float
    on: date
    month: bool
    minor: bool


@dataclass(frozen=True, slots=True)
class Plot:
    """Points over days, ticks along both sides, a level where one is judged by."""

    points: tuple[Point, ...]
    across: tuple[Tick, ...]
    up: tuple[tuple[float, float], ...]
    level: float | None
    series: tuple[str, ...] = ()


Measured = tuple[date, float, float | None, float | None]
"""Day, figure, low and high of its interval (None without one)."""


def plot(
    measured: Sequence[Measured],
    level: float | None = None,
    least_top: float = 1.0,
    floor_at: float = 0.0,
    series: Sequence[int] = (),
    names: Sequence[str] = (),
) -> Plot | None:
    """Figures over days from ``floor_at`` up; None where there is none. ``series`` says of which series each is."""
    if not measured:
        return None
    days = [one[0] for one in measured]
    first, last = _from_to(min(days), max(days))
    span = (last - first).days
    tops = [value if high is None else high for _, value, _, high in measured]
    top = floor_at + (max(least_top, *tops, *([] if level is None else [level])) - floor_at) * 1.06

    def across(on: date) -> float:
        return 98.5 * (on - first).days / span + 0.5

    def up(value: float) -> float:
        return 100 * (1 - (min(top, max(floor_at, value)) - floor_at) / (top - floor_at))

    of = list(series) or [0] * len(measured)
    points = tuple(_point(one, across, up, number) for one, number in zip(measured, of, strict=True))
    drawn_level = None if level is None else up(level)
    return Plot(points, _ticks(first, last, across), _steps(floor_at, top, up), drawn_level, tuple(names))


def _from_to(first: date, last: date) -> tuple[date, date]:
    """From the first of a month; figures of less than a year stand in whole years, or they seem to lie far apart."""
    if (last - first).days < A_YEAR:
        return date(first.year, 1, 1), date(last.year, 12, 31)
    return date(first.year, first.month, 1), last


def _point(
    one: Measured, across: Callable[[date], float], up: Callable[[float], float], series: int
) -> Point:
    on, value, low, high = one
    ends = (None if low is None else up(low), None if high is None else up(high))
    return Point(across(on), up(value), *ends, on, value, series)


def _ticks(first: date, last: date, across: Callable[[date], float]) -> tuple[Tick, ...]:
    """Months where the plot spans up to a year and a half, else years; as many as have room."""
    by_month = (last - first).days <= A_YEAR_AND_A_HALF
    if by_month:
        firsts = [date(y, m, 1) for y in range(first.year, last.year + 1) for m in range(1, 13)]
    else:
        firsts = [date(y, 1, 1) for y in range(first.year, last.year + 1)]
    shown = [on for on in firsts if first <= on <= last]
    shown = shown[:: -(-len(shown) // MOST_TICKS) or 1]
    every = -(-len(shown) // FEW_TICKS) or 1
    return tuple(Tick(across(on), on, by_month, place % every != 0) for place, on in enumerate(shown))


def _steps(bottom: float, top: float, up: Callable[[float], float]) -> tuple[tuple[float, float], ...]:
    """About four round steps."""
    rough = (top - bottom) / 4
    size = 10.0 ** floor(log10(rough))
    step = next(size * factor for factor in STEPS if size * factor >= rough * 0.8)
    start = -(-bottom // step)
    count = int((top - start * step) / step + 1e-9)
    return tuple((up(step * (start + place)), step * (start + place)) for place in range(count + 1))
