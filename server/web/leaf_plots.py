"""What a field's leaves are expected to do to nitrogen, year by year, as a plot of ranges for the field's page."""

from __future__ import annotations

from datetime import date
from uuid import UUID

from server.ahead.leaf_ahead import leaves_ahead
from server.web.desk import Desk
from server.web.measures import Drawing
from server.web.plots import Frame, plot
from shared.languages import say


def leaf_plots(desk: Desk, field: UUID, factor: float | None) -> list[Drawing]:
    """One plot, or none where no leaves were spread in the last years or the acres aren't known."""
    out = []
    for one in leaves_ahead(desk.farm.id, desk.today, factor, only=field):
        ranges = [(date(year, 7, 1), *told.free_lb) for year, told in one.by_year]
        if not ranges:
            continue
        lowest, highest = min(low for _, low, _, _ in ranges), max(high for *_, high in ranges)
        made = plot(
            [(on, middle, low, high) for on, low, middle, high in ranges],
            Frame(level=0.0, least_top=highest, floor_at=min(0.0, lowest) * 1.06),
        )
        if made is not None:
            words = (say(desk.language, f"forecasts.plot.{key}") for key in ("nitrogen", "level", "by"))
            title, level, by = words
            out.append(Drawing(title, made, level, by))
    return out
