"""Covers and hay: mow before seed, cut at the right stage, wait after a kill."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from uuid import UUID

from shared.reckoning.cover import SORGHUMS
from shared.reckoning.mowing import (
    LEAVE_HIGH_IN,
    LEAVE_LOW_IN,
    MOW_AT_IN,
    REGROWTH_DAYS,
    REGROWTH_LATE_DAYS,
    hay_verdict,
    mow_verdict,
)
from shared.status.job_done import JobDone
from shared.status.needs.asked import FieldToday, Forecast, Told, after, due
from shared.status.needs.practice import (
    CUT_WITHIN_DAYS,
    HAY_REGROWTH_UNTIL,
    KILL_TO_PLANT_EARLY,
    KILL_TO_PLANT_LATE,
    MOW_WITHIN_DAYS,
    REGROWTH_BEST_DAYS,
    in_year,
)
from shared.status.rounds import CoverRound
from shared.words.due import Due

LOWERS = ("mow", "cut_hay", "kill", "plow", "disk", "work_in", "seed")
"""Work after which a height that was measured before says nothing any more."""
MOST_IN = 180.0
"""No taller cover can be believed."""
GRASSES = ("orchardgrass", "timothy")
STAGES = ("vegetative", "jointing", "boot", "heading", "bloom", "past_bloom")


def mow(ask: FieldToday) -> Iterator[Due]:
    """A smother crop that is tall enough, boots, or shows heads: whichever is first. Late from the day
    that the first heads were seen. Not yet tall enough: by the height forecast or boot by heat units,
    whichever is first, where there is either."""
    leg = ask.status.leg
    if leg is None or leg.leg != "smother":
        return
    lowered = ask.status.last_done(*LOWERS)
    rounds = _since(ask, leg.starts_on, lowered)
    anchor = str(lowered.id) if lowered and lowered.on >= leg.starts_on else leg.starts_on.isoformat()
    if not rounds:
        yield from _forecast_mow(ask, anchor)
        return
    last, heads_on = rounds[0], min((one.on for one in rounds if one.headed), default=None)
    leave = {"low": LEAVE_LOW_IN.value, "high": LEAVE_HIGH_IN.value}
    if heads_on is not None:
        facts = leave | {"headed": last.headed, "stops": last.stops, "height": last.mean_in}
        yield due("mow", "heads", anchor, (heads_on, heads_on, heads_on), facts, field=ask.field)
        return
    if last.cover not in SORGHUMS:
        return
    boot = ask.foreseen.boot
    booted = boot is not None and boot.middle <= ask.today
    verdict = mow_verdict(last.cover, min(last.mean_in, MOST_IN), "none", booted)
    if verdict.why == "boot" and boot is not None:
        days = (boot.early, boot.middle, boot.middle)
        yield due("mow", "boot", anchor, days, leave | {"height": last.mean_in}, field=ask.field)
    elif verdict.why == "height":
        tall_on = min(one.on for one in rounds if one.mean_in >= MOW_AT_IN.value)
        late = after(tall_on, MOW_WITHIN_DAYS)
        late = min(late, boot.middle) if boot is not None and boot.middle >= tall_on else late
        days = (tall_on, tall_on, late)
        yield due(
            "mow",
            "height",
            anchor,
            days,
            leave | {"height": last.mean_in, "at": MOW_AT_IN.value},
            field=ask.field,
        )
    else:
        yield from _forecast_mow(ask, anchor)


def _forecast_mow(ask: FieldToday, anchor: str) -> Iterator[Due]:
    """By height or by boot, whichever is looked for first; never later than boot is as likely as not."""
    height, boot = ask.foreseen.mow, ask.foreseen.boot
    looked_for = [one for one in (height, boot) if one is not None]
    if not looked_for:
        return
    best = min(one.middle for one in looked_for)
    ends = [day for day in (height.late if height else None, boot.middle if boot else None) if day]
    why = _first_of(height, boot)
    facts: dict[str, Told] = {
        "at": MOW_AT_IN.value,
        "low": LEAVE_LOW_IN.value,
        "high": LEAVE_HIGH_IN.value,
        "likely_on": height.middle if height is not None else best,
        "boot_on": boot.middle if boot is not None else best,
    }
    days = (min(one.early for one in looked_for), best, min(ends, default=None))
    yield due("mow", why, anchor, days, facts, field=ask.field)


def _first_of(height: Forecast | None, boot: Forecast | None) -> str:
    if height is None:
        return "boots_about"
    if boot is None:
        return "forecast"
    return "forecast_boot" if boot.middle < height.middle else "forecast_height"


def _since(ask: FieldToday, start: date, lowered: JobDone | None) -> list[CoverRound]:
    """This year's cover rounds since the leg began and since it was last cut down or sown anew, newest
    first."""
    after_cut = lowered.on if lowered else date.min
    rounds = [one for one in ask.status.cover if one.on >= start and one.on > after_cut]
    return [one for one in rounds if one.on.year == ask.today.year]


def cut_hay(ask: FieldToday) -> Iterator[Due]:
    """Orchardgrass at boot to early head, then four to six weeks apart; timothy in bloom. By the stage
    that was seen, else by the days since the last cut, else as forecast."""
    leg = ask.status.leg
    if leg is None or leg.leg != "hay":
        return
    cut = ask.status.last_done("cut_hay")
    rounds = _since(ask, leg.starts_on, ask.status.last_done(*LOWERS))
    grass = _grass(leg.crop, rounds)
    this_year = cut is not None and cut.on.year == ask.today.year and cut.on >= leg.starts_on
    anchor = str(cut.id) if cut is not None and this_year else str(ask.today.year)
    seen = next((one for one in rounds if one.stage in STAGES and one.on.year == ask.today.year), None)
    if grass is None:
        return
    if seen is not None and not (this_year and grass == "orchardgrass"):
        verdict = hay_verdict(grass, seen.stage)  # type: ignore[arg-type]
        if verdict.verdict != "wait":
            late = seen.on if verdict.verdict == "late" else after(seen.on, CUT_WITHIN_DAYS)
            yield due(
                "cut_hay",
                verdict.why,
                anchor,
                (seen.on, seen.on, late),
                {"seen_on": seen.on},
                field=ask.field,
            )
    elif cut is not None and this_year:
        yield from _regrowth(ask, grass, cut, anchor)
    elif ask.foreseen.hay is not None and leg.starts_on.year < ask.today.year:
        hay = ask.foreseen.hay
        days = (hay.early, hay.middle, hay.late)
        facts = {"likely_on": hay.middle}
        yield due("cut_hay", f"forecast_{grass}", anchor, days, facts, field=ask.field)


def _grass(crop: str | None, rounds: list[CoverRound]) -> str | None:
    """The grass that decides when to cut: the one sown, else the one seen."""
    names = [(crop or "").lower(), *(one.cover for one in rounds)]
    return next((grass for name in names for grass in GRASSES if grass in name), None)


def _regrowth(ask: FieldToday, grass: str, cut: JobDone, anchor: str) -> Iterator[Due]:
    earliest = after(cut.on, REGROWTH_DAYS)
    last, until = after(cut.on, REGROWTH_LATE_DAYS), in_year(HAY_REGROWTH_UNTIL, ask.today.year)
    if grass != "orchardgrass" or earliest > until or ask.today > max(last, until):
        return
    days = (earliest, after(cut.on, REGROWTH_BEST_DAYS), last)
    yield due("cut_hay", "regrowth", anchor, days, {"cut_on": cut.on}, field=ask.field)


def plant(ask: FieldToday) -> Iterator[Due]:
    """Planting after a lead-in was killed: not before two weeks, nor before a label's plant-back is over."""
    leg, killed = ask.status.leg, ask.status.last_done("kill")
    sown = ask.status.last_done("plant", "seed")
    if leg is None or leg.leg != "lead_in" or killed is None or killed.on < leg.starts_on:
        return
    if sown is not None and sown.rank > killed.rank:
        return
    earliest, best = after(killed.on, KILL_TO_PLANT_EARLY), after(killed.on, KILL_TO_PLANT_LATE)
    wait = ask.status.plantback
    if wait is not None and wait.until > earliest:
        days = (wait.until, max(best, wait.until), None)
        yield due(
            "plant",
            "plantback",
            _id(killed.id),
            days,
            {"killed_on": killed.on, "until_on": wait.until},
            field=ask.field,
        )
    else:
        yield due(
            "plant",
            "after_kill",
            _id(killed.id),
            (earliest, best, None),
            {"killed_on": killed.on},
            field=ask.field,
        )


def _id(entry: UUID) -> str:
    return str(entry)
