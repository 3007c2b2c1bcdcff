"""The figures by which needs are timed, each with its source."""

from __future__ import annotations

from datetime import date

from shared.units import Figure, Source

HOUSE_RHYTHM = Source(
    "house_rhythm",
    "how often to look, a choice of this project, common practice, no source",
    None,
    "practice",
)
PILE_HEAT = Source(
    "pile_heat",
    "a city's alarm for leaf piles, 160 F (news, 2011); 140 F from a state's compost manual",
    2011,
    "summary",
)
PILE_CHECKS = Source(
    "ny_pile_checks", "6 NYCRR 361-4.3, November 2024: piles but fine-ground, twice a month", 2024, "read"
)
KILL_WAIT = Source(
    "kill_wait",
    "two to three weeks from killing a cover to planting, common practice, no source",
    None,
    "practice",
)
PENN_STATE_REGROWTH = Source(
    "psu_regrowth", "Penn State on orchardgrass, by way of the trade: ideally 35-40 days", 2020, "summary"
)
SEED_SET = Source(
    "seed_set", "summer annuals shed from late summer, common practice, no source", None, "practice"
)
SETTLING = Source(
    "settling", "a layer after rain or 48 hours can prove over, never within: a ruling", None, "practice"
)
SOIL_YEARLY = Source(
    "soil_yearly", "soil sampled once a year in the same season, common practice", None, "practice"
)

HOT_F = Figure(160.0, "F", PILE_HEAT)
"""Stay off, don't dig, call the fire service."""
WARM_F = Figure(140.0, "F", PILE_HEAT)
"""Over this, look every day."""
PILE_EVERY_DAYS = Figure(15, "days", PILE_CHECKS)
WARM_PILE_EVERY_DAYS = Figure(1, "days", HOUSE_RHYTHM)
KILL_TO_PLANT_EARLY = Figure(14, "days", KILL_WAIT)
KILL_TO_PLANT_LATE = Figure(21, "days", KILL_WAIT)
ROUND_EVERY_DAYS = Figure(7, "days", HOUSE_RHYTHM)
ROUND_SLACK_DAYS = Figure(3, "days", HOUSE_RHYTHM)
FIRST_ROUND_DAYS = Figure(21, "days after seeding", HOUSE_RHYTHM)
WEEDS_AGAIN_DAYS = Figure(28, "days", HOUSE_RHYTHM)
MOW_WITHIN_DAYS = Figure(7, "days after it stood tall enough", HOUSE_RHYTHM)
CUT_WITHIN_DAYS = Figure(7, "days after the stage was seen", HOUSE_RHYTHM)
REGROWTH_BEST_DAYS = Figure(35, "days", PENN_STATE_REGROWTH)
FRESH_DAYS = Figure(2, "days", SETTLING)
SEEN_WITHIN_DAYS = Figure(2, "days that a look at the ground holds", HOUSE_RHYTHM)
SAMPLE_EVERY_DAYS = Figure(365, "days", SOIL_YEARLY)
SAMPLE_EARLY_DAYS = Figure(30, "days", SOIL_YEARLY)
DEPTH_ROUND_DAYS = Figure(14, "days after spreading", HOUSE_RHYTHM)
WEEDS_FROM = Figure(601, "month and day", SEED_SET)
WEEDS_BEST = Figure(701, "month and day", SEED_SET)
WEEDS_UNTIL = Figure(731, "month and day", SEED_SET)
"""A round before the first seed of the year is shed."""
FIRM_FROM = Figure(315, "month and day", HOUSE_RHYTHM)
HAY_REGROWTH_UNTIL = Figure(930, "month and day", PENN_STATE_REGROWTH)
"""The last cut of the year is in September: the stand goes into winter with growth on it."""
COVER_SEASONS = {
    "smother": (Figure(601, "month and day", HOUSE_RHYTHM), Figure(930, "month and day", HOUSE_RHYTHM)),
    "hay": (Figure(501, "month and day", HOUSE_RHYTHM), Figure(930, "month and day", HOUSE_RHYTHM)),
    "lead_in": (Figure(401, "month and day", HOUSE_RHYTHM), Figure(531, "month and day", HOUSE_RHYTHM)),
}
"""When a cover grows so fast that it is looked at every week."""
PAPER_EARLY_DAYS = Figure(60, "days before", HOUSE_RHYTHM)
PAPER_BEST_DAYS = Figure(30, "days before", HOUSE_RHYTHM)
REPORT_BEST = Figure(201, "month and day", HOUSE_RHYTHM)
HUNDRED = 100


def in_year(month_day: Figure, year: int) -> date:
    """The day of a year that a figure in month and day (601: 1 June) means."""
    month, day = divmod(int(month_day.value), HUNDRED)
    return date(year, month, day)
