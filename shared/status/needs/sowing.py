"""Ground that waits to be sown, and a nitrate test where leaves may still tie nitrogen up."""

from __future__ import annotations

from collections.abc import Iterator

from shared.reckoning.cover import SEED_SOIL_F
from shared.status.needs.asked import FieldToday, Told, after, due
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
    """Leafed ground that was worked in and carries nothing: a smother crop by mid July, after that hay grass
    by mid September. What is not sown in one window waits for the next."""
    leg = ask.status.leg
    worked = ask.status.last_done("work_in", "disk", "plow")
    if leg is None or leg.leg not in ("leaf", "idle") or worked is None or worked.on < leg.starts_on:
        return
    if leg.leg == "idle" and leg.crop:
        return
    year = ask.today.year
    for why, *window in (
        ("smother", SMOTHER_FROM, SMOTHER_BEST, SMOTHER_UNTIL),
        ("grass", GRASS_FROM, GRASS_BEST, GRASS_UNTIL),
    ):
        earliest, best, last = (in_year(one, year) for one in window)
        if ask.today <= last:
            facts: dict[str, Told] = {"worked_on": worked.on, "soil": SEED_SOIL_F.value}
            yield due(
                "seed",
                why,
                f"{leg.starts_on.isoformat()}:{year}",
                (earliest, best, last),
                facts,
                field=ask.field,
            )
            return


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
