"""What laboratories answered of a field over the years: a plot a figure, a series a laboratory, method and depth."""

from __future__ import annotations

from uuid import UUID

from server.registers import laboratory
from server.registers.laboratory import Answer
from server.web.desk import Desk
from server.web.measures import Drawing
from server.web.plots import plot
from server.web.terms import symbol
from shared.languages import say

MOST_PLOTS = 12


def laboratory_plots(desk: Desk, field: UUID) -> list[Drawing]:
    """Figures that were measured most often first; figures in two units are two plots."""
    by: dict[tuple[str, str, str], list[tuple[Answer, float]]] = {}
    for one in laboratory.known(desk.farm, field):
        for name, number, unit in one.values:
            by.setdefault((one.of, name, unit), []).append((one, float(number)))
    ordered = sorted(by.items(), key=lambda item: (-len(item[1]), item[0]))
    drawn = (_drawn(desk.language, *key, several) for key, several in ordered[:MOST_PLOTS])
    return [one for one in drawn if one is not None]


def _drawn(
    language: str, of: str, name: str, unit: str, several: list[tuple[Answer, float]]
) -> Drawing | None:
    names = list(dict.fromkeys(_series(language, one) for one, _ in several))
    made = plot(
        [(one.on, value, None, None) for one, value in several],
        series=[names.index(_series(language, one)) for one, _ in several],
        names=names,
    )
    title = say(
        language, "laboratory.plot", name=symbol(name), unit=unit, of=say(language, f"entries.choice.{of}")
    )
    return Drawing(title, made) if made is not None else None


def _series(language: str, one: Answer) -> str:
    facts = {"lab": one.lab, "method": one.method}
    if one.bottom_in is None:
        return say(language, "laboratory.plot_series", **facts)
    return say(language, "laboratory.plot_depth", top=one.top_in or 0, bottom=one.bottom_in, **facts)
