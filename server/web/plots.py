"""A plot as what is drawn: points in a box, all in hundredths of its width and height, ticks with their days.

Lines and points are drawn in a stretched drawing, words beside it as text: so they keep their size on a phone.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import floor, log10

from shared.reckoning.bands import Band

MOST_TICKS = 12
FEW_TICKS = 5
"""So many words have room beside each other on a desk, and on a phone."""
LEAST_DAYS = 31
A_YEAR, A_YEAR_AND_A_HALF = 365, 550
STEPS = (1.0, 2.0, 2.5, 5.0, 10.0)


@dataclass(frozen=True, slots=True)
class Point:
    """A figure on a day, with its interval where it has one; ``x``, ``y``, ``low`` and ``high`` per cent of the
    box, from the left and from the top; ``ends`` are the interval's own figures."""

    x: float
    y: float
    low: float | None
    high: float | None
    on: date
    value: float
    series: int = 0
    ends: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class Tick:
    """A day along the foot. ``month``: told by its month, else by its year; ``minor``: left out on a phone."""

    x: float
    on: date
    month: bool
    minor: bool


@dataclass(frozen=True, slots=True)
class Stripe:
    """A band behind the points, from ``top`` to ``bottom`` per cent of the box. ``shade``: how dark, 0 for paper;
    ``told``: it is tall enough to carry its word."""

    top: float
    bottom: float
    word: str
    shade: int
    told: bool


@dataclass(frozen=True, slots=True)
class Curve:
    """What was looked for: a middle line and the area between low and high, as a drawing's own points."""

    line: str
    area: str


Expected = tuple[date, float, float, float]
"""Day, low, middle and high of what is looked for."""


@dataclass(frozen=True, slots=True)
class Frame:
    """What the points stand in: from ``floor_at`` to ``least_top`` at the least, or with ``down`` from the top to the
    foot; the level or the bands (by their words in the reader's language) that they are judged by, and the curves
    that were looked for."""

    level: float | None = None
    least_top: float = 1.0
    floor_at: float = 0.0
    down: bool = False
    bands: Sequence[tuple[Band, str]] = ()
    curves: Sequence[Sequence[Expected]] = ()


@dataclass(frozen=True, slots=True)
class Plot:
    """Points over days, ticks along both sides, a level where one is judged by, bands and curves behind."""

    points: tuple[Point, ...]
    across: tuple[Tick, ...]
    up: tuple[tuple[float, float], ...]
    level: float | None
    series: tuple[str, ...] = ()
    stripes: tuple[Stripe, ...] = ()
    curves: tuple[Curve, ...] = ()


Measured = tuple[date, float, float | None, float | None]
"""Day, figure, low and high of its interval (None without one)."""
PLAIN = Frame()
SHADES = 3
LEAST_TOLD = 11.0
"""A band of less than so many per cent of the box has no room for its word."""


def plot(
    measured: Sequence[Measured],
    frame: Frame = PLAIN,
    series: Sequence[int] = (),
    names: Sequence[str] = (),
) -> Plot | None:
    """Figures over days in their frame; None where there is none. ``series`` says of which series each is."""
    if not measured:
        return None
    looked_for = [one for curve in frame.curves for one in curve]
    days = [one[0] for one in (*measured, *looked_for)]
    first, last = _from_to(min(days), max(days), whole=not frame.curves)
    span = (last - first).days
    bottom, top = frame.floor_at, _top(measured, looked_for, frame)

    def across(on: date) -> float:
        return 98.5 * (on - first).days / span + 0.5

    def up(value: float) -> float:
        share = (min(top, max(bottom, value)) - bottom) / (top - bottom)
        return 100 * (share if frame.down else 1 - share)

    of = list(series) or [0] * len(measured)
    return Plot(
        tuple(_point(one, across, up, number) for one, number in zip(measured, of, strict=True)),
        _ticks(first, last, across),
        _steps(bottom, top, up),
        None if frame.level is None else up(frame.level),
        tuple(names),
        _stripes(frame.bands, bottom, top, up),
        tuple(_curve(one, across, up) for one in frame.curves if len(one) > 1),
    )


def _top(measured: Sequence[Measured], looked_for: Sequence[Expected], frame: Frame) -> float:
    """Over every figure, interval and curve, over the level, and up to the end of the band that the highest is in."""
    tops = [value if high is None else high for _, value, _, high in measured]
    bounds = sorted(band.high for band, _ in frame.bands if band.high is not None)
    next_bound = [bound for bound in bounds if bound >= max(tops)][:1]
    level = [] if frame.level is None else [frame.level]
    most = max(frame.least_top, *tops, *level, *next_bound, *(high for _, _, _, high in looked_for))
    return frame.floor_at + (most - frame.floor_at) * 1.06


def _stripes(
    bands: Sequence[tuple[Band, str]], bottom: float, top: float, up: Callable[[float], float]
) -> tuple[Stripe, ...]:
    """The bands that lie in the box, no two that meet of one shade."""
    out = []
    for place, (band, word) in enumerate(bands):
        low = bottom if band.low is None else band.low
        high = top if band.high is None else band.high
        if low < top and high > bottom:
            ends = sorted((up(low), up(high)))
            out.append(Stripe(ends[0], ends[1], word, place % SHADES, ends[1] - ends[0] >= LEAST_TOLD))
    return tuple(out)


def _curve(
    looked_for: Sequence[Expected], across: Callable[[date], float], up: Callable[[float], float]
) -> Curve:
    def drawn(points: Iterable[tuple[date, float]]) -> str:
        return " ".join(f"{across(on):.2f},{up(value):.2f}" for on, value in points)

    there = [(on, low) for on, low, _, _ in looked_for]
    back = [(on, high) for on, _, _, high in reversed(looked_for)]
    return Curve(drawn((on, middle) for on, _, middle, _ in looked_for), drawn([*there, *back]))


def _from_to(first: date, last: date, whole: bool) -> tuple[date, date]:
    """From the first of a month; figures of less than a year stand in whole years, or they seem to lie far apart (those
    of one season over its curve do not)."""
    if whole and (last - first).days < A_YEAR:
        return date(first.year, 1, 1), date(last.year, 12, 31)
    return date(first.year, first.month, 1), max(last, first + timedelta(days=LEAST_DAYS))


def _point(
    one: Measured, across: Callable[[date], float], up: Callable[[float], float], series: int
) -> Point:
    on, value, low, high = one
    drawn = (None if low is None else up(low), None if high is None else up(high))
    ends = None if low is None or high is None else (low, high)
    return Point(across(on), up(value), *drawn, on, value, series, ends)


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
