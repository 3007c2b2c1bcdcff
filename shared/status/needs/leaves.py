"""Leaves: to be worked in, to be spread, to be measured while they are fresh."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from uuid import UUID

from shared.reckoning.ground import ground_fitness
from shared.rules.spreading import spread_by
from shared.rules.work_in import work_in_last_day
from shared.status.field_year import GroundSeen
from shared.status.laid import Laid, overlaps
from shared.status.leaf_room import work_in_clocks
from shared.status.needs.asked import FieldToday, Told, after, due
from shared.status.needs.practice import DEPTH_ROUND_DAYS, FRESH_DAYS, SEEN_WITHIN_DAYS
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
    """Leaves that lie as they were tipped: by the last day that a sheet sets from arrival, and while the
    ground is fit, which somebody must have seen in the last days."""
    lying: dict[tuple[date, UUID | None], Decimal] = {}
    for one in ask.status.laid:
        if one.spread_on is None and not _worked_since(one, ask):
            lying[one.on, one.part] = lying.get((one.on, one.part), Decimal(0)) + one.yards_yd3
    by_sheet = {key: spread_by(ask.sheets, key[0]) for key in lying}
    for (on, part), last in by_sheet.items():
        if last is not None:
            facts: dict[str, Told] = {"came_on": on, "yards": lying[on, part]}
            yield due("spread", "by_day", on.isoformat(), (on, on, last), facts, field=ask.field, part=part)
    free = [key for key, last in by_sheet.items() if last is None]
    for part in sorted({part for _, part in free}, key=str):
        days = [on for on, each in free if each == part]
        yield _while_fit(ask, min(days), part, sum((lying[on, part] for on in days), Decimal(0)))


def _while_fit(ask: FieldToday, since: date, part: UUID | None, yards: Decimal) -> Due:
    """No sheet sets a day: the ground does. One due a part, whatever number of days they came on."""
    why, seen_on = bearing(ask.status.ground, ask.today)
    facts: dict[str, Told] = {"came_on": since, "yards": yards}
    facts |= {} if seen_on is None else {"seen_on": seen_on}
    best = seen_on if why == "fit" and seen_on is not None else None
    days = (since, max(since, best) if best else None, None)
    return due("spread", f"while_{why}", since.isoformat(), days, facts, field=ask.field, part=part)


def bearing(seen: GroundSeen | None, today: date) -> tuple[str, date | None]:
    """*fit*, *light* or *stay_off* by what was seen of the ground in the last days and when; *unseen* where
    that is longer ago, or nothing was."""
    if seen is None or today > after(seen.when[0], SEEN_WITHIN_DAYS):
        return "unseen", None
    told = seen.body
    figures = {name: _figure(told.get(name)) for name in ("frost_in", "snow_in", "tire_psi")}
    axle = _figure(told.get("axle_tons"))
    packed = {"true": True, "false": False}.get(told.get("snow_packed", ""))
    found = ground_fitness(
        told["state"],  # type: ignore[arg-type]
        told.get("thread"),  # type: ignore[arg-type]
        figures["frost_in"],
        figures["snow_in"],
        packed,
        **({} if axle is None else {"axle_tons": axle}),
        tire_psi=figures["tire_psi"],
    )
    return found.verdict, seen.when[0]


def _figure(text: str | None) -> float | None:
    return None if text is None else float(text)


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
