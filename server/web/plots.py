"""A plot as what is drawn: points in a box, ticks with their words. The template draws it; no script is needed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

WIDTH, HEIGHT = 900.0, 300.0
LEFT, RIGHT, TOP, BOTTOM = 60.0, 20.0, 16.0, 36.0


@dataclass(frozen=True, slots=True)
class Point:
    """A figure on a day, with its interval where it has one; ``x`` and ``y`` where it stands in the box."""

    x: float
    y: float
    low: float | None
    high: float | None
    on: date
    value: float


@dataclass(frozen=True, slots=True)
class Plot:
    """Points over days, ticks along both sides, a level line where one is judged by."""

    points: tuple[Point, ...]
    across: tuple[tuple[float, str], ...]
    up: tuple[tuple[float, str], ...]
    level: float | None
    width: float = WIDTH
    height: float = HEIGHT
    floor: float = HEIGHT - BOTTOM
    left: float = LEFT
    right: float = WIDTH - RIGHT


Measured = tuple[date, float, float | None, float | None]
"""Day, figure, low and high of its interval (None without one)."""


def plot(measured: Sequence[Measured], level: float | None = None, least_top: float = 1.0) -> Plot | None:
    """Figures over days from zero up; None where there is none."""
    if not measured:
        return None
    first, last = measured[0][0], measured[-1][0]
    days = max(1, (last - first).days)
    tops = [value if high is None else high for _, value, _, high in measured]
    top = max(least_top, *tops, *([level] if level is not None else [])) * 1.08

    def across(on: date) -> float:
        return LEFT + (WIDTH - LEFT - RIGHT) * (on - first).days / days

    def up(value: float) -> float:
        return HEIGHT - BOTTOM - (HEIGHT - TOP - BOTTOM) * value / top

    points = tuple(
        Point(
            across(on),
            up(value),
            None if low is None else up(low),
            None if high is None else up(high),
            on,
            value,
        )
        for on, value, low, high in measured
    )
    return Plot(points, _months(first, last, across), _steps(top, up), None if level is None else up(level))


def _months(first: date, last: date, across) -> tuple[tuple[float, str], ...]:  # type: ignore[no-untyped-def]
    """A tick at each January, or at each month where the plot spans less than two years."""
    spans_years = (last - first).days > 700
    firsts = [
        date(year, month, 1)
        for year in range(first.year, last.year + 1)
        for month in ((1,) if spans_years else range(1, 13))
    ]
    shown = [on for on in firsts if first <= on <= last]
    return tuple((across(on), str(on.year) if spans_years else f"{on.year}-{on.month:02d}") for on in shown)


def _steps(top: float, up) -> tuple[tuple[float, str], ...]:  # type: ignore[no-untyped-def]
    """Four or five round steps from zero."""
    rough = top / 4
    size = 10 ** len(str(int(rough))) / 10 if rough >= 1 else 0.1
    step = next(size * factor for factor in (1, 2, 2.5, 5, 10) if size * factor >= rough * 0.8)
    count = int(top / step)
    return tuple((up(step * place), f"{step * place:g}") for place in range(count + 1))
