"""Where a field's soil tests go: a line for each figure within one laboratory, method, depth and season (R14), never
from one laboratory to another."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from uuid import UUID

from shared.errors import OutOfRange
from shared.reckoning.trend import Kind, Line, Reading, soil_trend

LEAST_READINGS = 4
"""Fewer than this make no line that could say anything."""
FIGURES = ("pH", "OM", "P", "K")
SEASONS = ((3, "spring"), (6, "summer"), (9, "autumn"), (12, "winter"))
SHARE = 0.90


@dataclass(frozen=True, slots=True)
class SoilFigure:
    """One figure that a laboratory answered on a field."""

    field: UUID
    figure: str
    unit: str
    reading: Reading


@dataclass(frozen=True, slots=True)
class SoilLine:
    """A figure's readings of one kind, oldest first; ``line`` is its unit a year, None while there are too few."""

    field: UUID
    figure: str
    unit: str
    kind: Kind
    readings: tuple[Reading, ...]
    line: Line | None

    @property
    def word(self) -> str:
        if self.line is None:
            return "too_few"
        return {True: "rises", False: "falls", None: "can_not_say"}[self.line.rises]

    @property
    def last(self) -> Reading:
        return self.readings[-1]


def season_of_year(on: date) -> str:
    """Spring from March, summer from June, autumn from September, winter from December."""
    return next((word for month, word in reversed(SEASONS) if on.month >= month), SEASONS[-1][1])


def soil_lines(figures: Iterable[SoilFigure]) -> list[SoilLine]:
    """A line for each field, figure, unit and kind, of pH, organic matter, phosphorus and potassium."""
    by: dict[tuple[UUID, str, str, Kind], list[Reading]] = {}
    for one in figures:
        if one.figure in FIGURES:
            by.setdefault((one.field, one.figure, one.unit, one.reading.kind), []).append(one.reading)
    ordered = sorted(
        by.items(), key=lambda item: (FIGURES.index(item[0][1]), item[0][3].lab, repr(item[0][3]))
    )
    return [_line(*key, sorted(several, key=lambda one: one.on)) for key, several in ordered]


def _line(field: UUID, figure: str, unit: str, kind: Kind, readings: Sequence[Reading]) -> SoilLine:
    line = None
    if len(readings) >= LEAST_READINGS:
        try:
            line = soil_trend(readings, SHARE)
        except OutOfRange:
            line = None
    return SoilLine(field, figure, unit, kind, tuple(readings), line)
