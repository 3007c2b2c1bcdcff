"""Ground that waits to be sown, and a nitrate test where leaves may still tie nitrogen up."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from decimal import Decimal, InvalidOperation

from shared.reckoning.cover import SEED_SOIL_F
from shared.status.needs.asked import FieldToday, Told, after, before, due
from shared.status.needs.practice import in_year
from shared.units import Figure, Source
from shared.words.due import Due

SSG_WINDOW = Source(
    "ssg_window",
    "Penn State: two weeks after corn planting to the end of June, in an emergency to 15 July",
    None,
    "read",
)
GRASS_WINDOW = Source(
    "grass_window", "hay grass sown in late summer, common practice, no source", None, "practice"
)
SIDEDRESS = Source("sidedress", "a sidedress nitrate test three to six weeks after planting", None, "memory")
TIED_UP = Source(
    "tied_up", "Rutgers: leaves tie nitrogen up for one or two seasons at 10 to 20 tons", None, "read"
)
BEFORE_FROST = Source(
    "ssg_before_frost",
    "two months and more before the first frost (Vermont); 60 to 70 days (Cornell, sudangrass)",
    None,
    "read",
)
PROBE = Source("probe_age", "how long a probed temperature is believed, common practice", None, "practice")
DAYS_BEFORE_FROST = Figure(60, "days", BEFORE_FROST)
PROBED_WITHIN_DAYS = Figure(7, "days", PROBE)
ONE_DAY = Figure(1, "day", PROBE)
SMOTHER_FROM = Figure(525, "month and day", SSG_WINDOW)
SMOTHER_BEST = Figure(630, "month and day", SSG_WINDOW)
SMOTHER_UNTIL = Figure(715, "month and day", SSG_WINDOW)
GRASS_FROM = Figure(810, "month and day", GRASS_WINDOW)
GRASS_BEST = Figure(901, "month and day", GRASS_WINDOW)
GRASS_UNTIL = Figure(920, "month and day", GRASS_WINDOW)
TEST_FROM_DAYS = Figure(21, "days after planting", SIDEDRESS)
TEST_BEST_DAYS = Figure(28, "days after planting", SIDEDRESS)
TEST_LAST_DAYS = Figure(42, "days after planting", SIDEDRESS)
TIES_UP_DAYS = Figure(730, "days after working in", TIED_UP)
SUMMER_CROPS = range(4, 8)
"""Months of planting after which a sidedress comes: garlic set in October has none."""


def seed(ask: FieldToday) -> Iterator[Due]:
    """Leafed ground that was worked in and carries nothing: a smother crop by mid July, or sixty days before
    the earliest frost written down, once the soil is warm; after that hay grass by mid September. What is
    not sown in one window waits for the next."""
    leg = ask.status.leg
    worked = ask.status.last_done("work_in", "disk", "plow")
    if leg is None or leg.leg not in ("leaf", "idle") or worked is None or worked.on < leg.starts_on:
        return
    if leg.leg == "idle" and leg.crop:
        return
    anchor = f"{leg.starts_on.isoformat()}:{ask.today.year}"
    facts: dict[str, Told] = {"worked_on": worked.on, "soil": SEED_SOIL_F.value}
    last = _smother_until(ask)
    if ask.today <= last:
        why, earliest, warmth = _warmth(ask)
        best = min(max(earliest, in_year(SMOTHER_BEST, ask.today.year)), last)
        days = (min(earliest, last), best, last)
        yield due("seed", why, anchor, days, facts | warmth | {"last_on": last}, field=ask.field)
        return
    earliest, best, last = (in_year(one, ask.today.year) for one in (GRASS_FROM, GRASS_BEST, GRASS_UNTIL))
    if ask.today <= last:
        yield due("seed", "grass", anchor, (earliest, best, last), facts, field=ask.field)


def _smother_until(ask: FieldToday) -> date:
    """The last day of the window, or that which leaves sixty days before the earliest frost."""
    until, frost = in_year(SMOTHER_UNTIL, ask.today.year), ask.foreseen.frost_on
    return until if frost is None else min(until, before(frost, DAYS_BEFORE_FROST))


def _warmth(ask: FieldToday) -> tuple[str, date, dict[str, Told]]:
    """What is known of the soil's warmth, from which day it is warm enough, and the facts: a probe of the
    last week first, else the air's week, else nothing."""
    opens = in_year(SMOTHER_FROM, ask.today.year)
    probed = _probed(ask)
    if probed is not None:
        on, at_f = probed
        told: dict[str, Told] = {"probed_on": on, "at": at_f}
        if at_f >= SEED_SOIL_F.value:
            return "smother_warm", min(opens, on), told
        return "smother_cold", max(opens, after(on, ONE_DAY)), told
    air = ask.foreseen.soil
    if air is not None:
        return "smother_air", opens, {"air_on": air.on, "low": air.low_f, "high": air.high_f}
    return "smother", opens, {}


def _probed(ask: FieldToday) -> tuple[date, float] | None:
    """The soil's temperature as it was last measured here, where that was within a week."""
    seen = ask.status.ground
    said = seen.body.get("soil_f") if seen is not None else None
    if seen is None or said is None or ask.today > after(seen.when[0], PROBED_WITHIN_DAYS):
        return None
    try:
        return seen.when[0], float(Decimal(said))
    except InvalidOperation:
        return None


def nitrate_test(ask: FieldToday) -> Iterator[Due]:
    """A summer crop on ground where leaves were worked in within two years: whether they release nitrogen or
    still tie it up, a soil nitrate test shows before the sidedress. Never taken as released by itself."""
    leg = ask.status.leg
    if leg is None or leg.leg != "cash" or leg.starts_on.month not in SUMMER_CROPS:
        return
    leaves = [one.on for one in ask.status.worked if one.on <= leg.starts_on]
    if not leaves or after(max(leaves), TIES_UP_DAYS) < leg.starts_on:
        return
    days = tuple(after(leg.starts_on, one) for one in (TEST_FROM_DAYS, TEST_BEST_DAYS, TEST_LAST_DAYS))
    taken = ask.status.last_event("sample", "nitrate")
    if ask.today > days[2] or (taken is not None and taken.on >= leg.starts_on):
        return
    facts = {"planted_on": leg.starts_on, "worked_on": max(leaves)}
    yield due(
        "nitrate_test",
        "after_leaves",
        leg.starts_on.isoformat(),
        (days[0], days[1], days[2]),
        facts,
        field=ask.field,
    )
