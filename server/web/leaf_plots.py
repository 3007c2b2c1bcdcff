"""What a field's leaves are expected to do to nitrogen, year by year, as a plot of ranges for the field's page."""

from __future__ import annotations

from datetime import date

from server.ahead.leaf_ahead import of_field
from server.web.desk import Desk
from server.web.measures import Drawing
from server.web.plots import Frame, plot
from shared.languages import say
from shared.status.field_status import FieldStatus
from shared.words.field import Field

ROUND_IT = 1.06
"""Room below the lowest end, as there is above the highest."""


def leaf_plots(desk: Desk, field: Field, stands: FieldStatus, factor: float | None) -> list[Drawing]:
    """One plot, or none where no leaves were spread in the last years or the acres aren't known."""
    one = of_field(field, stands, desk.today, factor)
    if one is None or not one.years:
        return []
    ranges = [(date(year, 7, 1), told.free_lb) for year, told in one.by_year]
    lowest, highest = min(free[0] for _, free in ranges), max(free[2] for _, free in ranges)
    frame = Frame(level=0.0, least_top=highest, floor_at=min(0.0, lowest) * ROUND_IT)
    made = plot([(on, middle, low, high) for on, (low, middle, high) in ranges], frame)
    title, level, by = (say(desk.language, f"forecasts.plot.{key}") for key in ("nitrogen", "level", "by"))
    return [Drawing(title, made, level, by)] if made is not None else []
