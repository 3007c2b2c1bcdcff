"""Leaves: to be worked in, to be spread, to be measured while they are fresh."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from uuid import UUID

from shared.rules.spreading import spread_by
from shared.rules.work_in import work_in_last_day
from shared.status.laid import Laid, overlaps
from shared.status.leaf_room import work_in_clocks
from shared.status.needs.asked import FieldToday, Told, after, due
from shared.status.needs.practice import DEPTH_ROUND_DAYS, FRESH_DAYS
from shared.units import FT2_PER_ACRE
from shared.words.due import Due


def work_in(ask: FieldToday) -> Iterator[Due]:
    """One for each running clock of the field (R9). Without a date for the next season, or without any
    sheet that sets one, it has no last day."""
    for run in work_in_clocks(ask.status, ask.land):
        if run.worked_on is not None:
            continue
        last = work_in_last_day(ask.sheets, run.started, ask.next_season_on)
        by_season = any(sheet.work_in_by for sheet in ask.sheets)
        why = "by_day" if last else "no_date" if by_season else "no_rule"
        place = UUID(run.part)
        left_ac = max(0.0, run.covered_ft2 - run.worked_ft2) / FT2_PER_ACRE.value
        yield due(
            "work_in",
            why,
            run.started.isoformat(),
            (run.started, None, last),
            {"spread_on": run.started, "yards": sum(one.yards_yd3 for one in run.spreads), "acres": left_ac},
            field=ask.field,
            part=place if place != ask.field else None,
        )


def spread(ask: FieldToday) -> Iterator[Due]:
    """Leaves that lie as they were tipped, where a sheet sets days from arrival to spreading."""
    lying: dict[tuple[date, UUID | None], Decimal] = {}
    for one in ask.status.laid:
        if one.spread_on is None and not _worked_since(one, ask):
            lying[one.on, one.part] = lying.get((one.on, one.part), Decimal(0)) + one.yards_yd3
    for (on, part), yards in lying.items():
        last = spread_by(ask.sheets, on)
        if last is not None:
            facts: dict[str, Told] = {"came_on": on, "yards": yards}
            yield due("spread", "by_day", on.isoformat(), (on, on, last), facts, field=ask.field, part=part)


def _worked_since(one: Laid, ask: FieldToday) -> bool:
    return any(one.on <= each.on and overlaps(one.part, each.part, ask.land) for each in ask.status.worked)


def depth_round(ask: FieldToday) -> Iterator[Due]:
    """The layer spread last, unmeasured: two days while it is fresh, then it can only prove too deep (R7)."""
    spread_on = max((one.spread_on for one in ask.status.laid if one.spread_on), default=None)
    if spread_on is None or ask.today > after(spread_on, DEPTH_ROUND_DAYS):
        return
    measured = any(one.on >= spread_on for one in ask.status.leaf_depth)
    worked = any(one.on >= spread_on for one in ask.status.worked)
    if measured or worked:
        return
    last = after(spread_on, FRESH_DAYS)
    why = "fresh" if ask.today <= last else "settled"
    days = (spread_on, spread_on, last)
    yield due("depth_round", why, spread_on.isoformat(), days, {"spread_on": spread_on}, field=ask.field)
