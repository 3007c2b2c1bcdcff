"""What laboratories answered of a field over the years: a plot a figure, a series a laboratory, method and depth.

Answers that go by different laboratories' printed levels are never in one plot: each stands over its own levels.
"""

from __future__ import annotations

from uuid import UUID

from server.registers import laboratory
from server.registers.laboratory import Answer
from server.web.desk import Desk
from server.web.measures import Drawing, told_by, worded
from server.web.plots import PLAIN, Frame, plot
from server.web.terms import symbol
from shared.languages import say
from shared.reckoning.bands import Bands, graded_as, nitrate_bands, soil_bands

MOST_PLOTS = 16
FIRST = ("nitrate", "leaves", "hay")
"""Of what little is asked, but for nitrogen and potash: never crowded out by what every soil test has."""
Drawn = tuple[str, str, str, str]
"""What was tested, the figure, its unit, and the laboratory whose levels it goes by."""


def laboratory_plots(desk: Desk, field: UUID) -> list[Drawing]:
    """Figures that were measured most often first; figures in two units are two plots."""
    by: dict[Drawn, list[tuple[Answer, float]]] = {}
    for one in laboratory.known(desk.farm, field):
        graded = graded_as(f"{one.lab} {one.method}") if one.of == "soil" else ""
        for name, number, unit in one.values:
            key = (one.of, symbol(name), unit, graded if _bands(one.of, name, unit, graded) else "")
            by.setdefault(key, []).append((one, float(number)))
    ordered = sorted(by.items(), key=lambda item: (item[0][0] not in FIRST, -len(item[1]), item[0]))
    drawn = (_drawn(desk.language, *key, several) for key, several in ordered[:MOST_PLOTS])
    return [one for one in drawn if one is not None]


def _bands(of: str, name: str, unit: str, graded: str) -> Bands | None:
    if of == "nitrate":
        return nitrate_bands(name, unit)
    return soil_bands(graded, name, unit) if of == "soil" else None


def _drawn(
    language: str, of: str, name: str, unit: str, graded: str, several: list[tuple[Answer, float]]
) -> Drawing | None:
    names = list(dict.fromkeys(_series(language, one) for one, _ in several))
    bands = _bands(of, name, unit, graded)
    made = plot(
        [(one.on, value, None, None) for one, value in several],
        Frame(bands=worded(language, bands)) if bands else PLAIN,
        series=[names.index(_series(language, one)) for one, _ in several],
        names=names,
    )
    told_unit = "" if unit == symbol(name) else unit
    key = "laboratory.plot" if told_unit else "plots.no_unit"
    title = say(language, key, name=name, unit=told_unit, of=say(language, f"entries.choice.{of}"))
    by = told_by(language, bands.source) if bands else say(language, "plots.no_band")
    return Drawing(title, made, by=by) if made is not None else None


def _series(language: str, one: Answer) -> str:
    facts = {"lab": one.lab, "method": one.method}
    if one.bottom_in is None:
        return say(language, "laboratory.plot_series", **facts)
    return say(language, "laboratory.plot_depth", top=one.top_in or 0, bottom=one.bottom_in, **facts)
