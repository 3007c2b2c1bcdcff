"""A field's soil answers as lines a laboratory, with the level that the laboratory prints for the last of them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from uuid import UUID

from server.ahead.soil_lines import SoilFigure, SoilLine, season_of_year, soil_lines
from server.registers import laboratory
from server.registers.laboratory import Answer
from server.web.desk import Desk
from server.web.measures import worded
from server.web.terms import symbol
from shared.reckoning.bands import graded_as, soil_bands
from shared.reckoning.trend import Kind, Reading


@dataclass(frozen=True, slots=True)
class ToldLine:
    """A line with the last reading's level in words; empty where the laboratory prints none for it."""

    line: SoilLine
    level: str


@dataclass(frozen=True, slots=True)
class SoilOfField:
    """A field's lines by figure, in the order of the page's columns."""

    field: UUID
    name: str
    figures: tuple[tuple[str, tuple[ToldLine, ...]], ...]


def soil_of_fields(desk: Desk, names: dict[UUID, str], figures: tuple[str, ...]) -> list[SoilOfField]:
    """Every field that a laboratory answered on, by name; a figure that was never answered stands empty."""
    told: dict[UUID, list[ToldLine]] = {}
    for line in soil_lines(one for answer in laboratory.known(desk.farm) for one in _figures(answer)):
        told.setdefault(line.field, []).append(ToldLine(line, _level(desk.language, line)))
    return [
        SoilOfField(
            field,
            name,
            tuple((one, tuple(t for t in told[field] if t.line.figure == one)) for one in figures),
        )
        for field, name in sorted(names.items(), key=lambda one: one[1])
        if field in told
    ]


def _figures(answer: Answer) -> Iterator[SoilFigure]:
    if answer.field is None or answer.of != "soil":
        return
    top, bottom = float(answer.top_in or 0), float(answer.bottom_in or 0)
    kind = Kind(answer.lab, answer.method, top, bottom, season_of_year(answer.on))
    for name, number, unit in answer.values:
        yield SoilFigure(answer.field, symbol(name), unit, Reading(answer.on, kind, float(number)))


def _level(language: str, line: SoilLine) -> str:
    """By the levels of the laboratory that the answer itself names, never by another's."""
    bands = soil_bands(graded_as(f"{line.kind.lab} {line.kind.method}"), line.figure, line.unit)
    if bands is None:
        return ""
    value = line.last.value
    return next(
        (word for band, word in worded(language, bands) if band.high is None or value < band.high), ""
    )
