"""Twelve years of legs and the ten-year plan: cash, leaf, hay or smother, lead-in, and cash again.

Each field grows a cash crop every fifth year, so that about a fifth of the land does in any year, and each
time one of another family. Hedge Strip breaks that on purpose: winter squash three years after winter squash
leaves two years without a host, where three to five are advised for Phytophthora capsici (Rutgers; the check
names it).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from shared.words.leg import Leg, LegName

YEARS_BACK = 11
YEARS_AHEAD = 10
"""Twelve years of legs, this one among them, and ten of plan."""

GARLIC, CABBAGE, CORN, SQUASH = "garlic", "cabbage", "sweet corn", "winter squash"
FAMILY: Mapping[str, str] = {GARLIC: "allium", CABBAGE: "brassica", CORN: "corn", SQUASH: "cucurbit"}

SORGHUM, ORCHARDGRASS, TIMOTHY = "sorghum-sudan", "orchardgrass", "timothy"
LEAD_IN = "rye-vetch"
OATS = "oats"
BUCKWHEAT = "buckwheat"

CashYears = tuple[tuple[int, str], ...]


@dataclass(frozen=True, slots=True)
class Course:
    """A field's cash crops, each with its year counted from the season's, and what it rests under after."""

    cash: CashYears
    rests: tuple[str, ...]


def _course(*steps: tuple[int, str, str]) -> Course:
    return Course(tuple((year, crop) for year, crop, _ in steps), tuple(rest for _, _, rest in steps))


COURSES: Mapping[str, Course] = {
    "quarry_side": _course((-15, SQUASH, TIMOTHY), (-10, CABBAGE, TIMOTHY), (-5, CORN, ORCHARDGRASS),
                           (0, GARLIC, SORGHUM), (5, SQUASH, TIMOTHY), (10, CABBAGE, ORCHARDGRASS)),
    "mill_flat": _course((-15, CORN, SORGHUM), (-10, SQUASH, SORGHUM), (-5, GARLIC, TIMOTHY),
                         (0, CABBAGE, ORCHARDGRASS), (5, CORN, SORGHUM), (10, SQUASH, TIMOTHY)),
    "saddle": _course((-15, CABBAGE, TIMOTHY), (-10, GARLIC, ORCHARDGRASS), (-5, SQUASH, SORGHUM),
                      (0, CORN, SORGHUM), (5, CABBAGE, TIMOTHY), (10, GARLIC, ORCHARDGRASS)),
    "long_twelve": _course((-16, CABBAGE, SORGHUM), (-11, GARLIC, TIMOTHY), (-6, SQUASH, TIMOTHY),
                           (-1, CORN, SORGHUM), (4, CABBAGE, TIMOTHY), (9, GARLIC, SORGHUM)),
    "pond_field": _course((-16, SQUASH, TIMOTHY), (-11, CORN, ORCHARDGRASS), (-6, GARLIC, SORGHUM),
                          (-1, CABBAGE, TIMOTHY), (4, SQUASH, SORGHUM), (9, CORN, ORCHARDGRASS)),
    "spring_piece": _course((-12, CABBAGE, TIMOTHY), (-7, CORN, ORCHARDGRASS), (-2, GARLIC, SORGHUM),
                            (3, CABBAGE, TIMOTHY), (8, SQUASH, SORGHUM)),
    "kiln_corner": _course((-12, GARLIC, SORGHUM), (-7, CABBAGE, SORGHUM), (-2, SQUASH, ORCHARDGRASS),
                           (3, CORN, SORGHUM), (8, CABBAGE, TIMOTHY)),
    "upper_rest": _course((-12, CORN, TIMOTHY), (-7, SQUASH, SORGHUM), (-2, CORN, TIMOTHY),
                          (3, GARLIC, SORGHUM), (8, SQUASH, TIMOTHY)),
    "lower_rest": _course((-13, CABBAGE, TIMOTHY), (-8, CORN, SORGHUM), (-3, GARLIC, ORCHARDGRASS),
                          (2, SQUASH, TIMOTHY), (7, CORN, SORGHUM)),
    "crow_bank": _course((-13, SQUASH, SORGHUM), (-8, GARLIC, TIMOTHY), (-3, CABBAGE, SORGHUM),
                         (2, CORN, TIMOTHY), (7, SQUASH, ORCHARDGRASS)),
    "hedge_strip": _course((-13, GARLIC, ORCHARDGRASS), (-8, CORN, ORCHARDGRASS), (-3, SQUASH, SORGHUM),
                           (0, SQUASH, TIMOTHY), (5, GARLIC, ORCHARDGRASS), (10, CABBAGE, TIMOTHY)),
    "two_stones": _course((-14, CORN, TIMOTHY), (-9, SQUASH, SORGHUM), (-4, CABBAGE, TIMOTHY),
                          (1, CORN, ORCHARDGRASS), (6, SQUASH, SORGHUM)),
    "plum_lot": _course((-14, CABBAGE, SORGHUM), (-9, CORN, TIMOTHY), (-4, SQUASH, SORGHUM),
                        (1, GARLIC, TIMOTHY), (6, CABBAGE, SORGHUM)),
    "far_meadow": _course((-14, SQUASH, ORCHARDGRASS), (-9, CABBAGE, TIMOTHY), (-4, CORN, ORCHARDGRASS),
                          (1, SQUASH, TIMOTHY), (6, CABBAGE, ORCHARDGRASS)),
}  # fmt: skip

SET_ON: Mapping[str, tuple[int, int, int]] = {
    GARLIC: (-1, 10, 12), CABBAGE: (0, 6, 24), CORN: (0, 5, 9), SQUASH: (0, 6, 3),
}  # fmt: skip
"""When each crop goes in: years from its crop year (the year it is lifted in), month, day."""
OFF_ON: Mapping[str, tuple[int, int]] = {GARLIC: (7, 15), CABBAGE: (10, 28), CORN: (8, 30), SQUASH: (9, 26)}
"""When the last of each crop is off."""
LEAF_ON: Mapping[str, tuple[int, int]] = {GARLIC: (10, 1), CABBAGE: (11, 2), CORN: (10, 3), SQUASH: (10, 5)}
"""When the ground is open to leaves."""
SMOTHER_SEEDED, HAY_SEEDED = (6, 4), (8, 26)
LEAD_IN_SEEDED, OATS_SEEDED = (9, 16), (8, 10)


def is_hay(rest: str) -> bool:
    return rest in (ORCHARDGRASS, TIMOTHY)


def legs(key: str, year: int) -> tuple[Leg, ...]:
    """A field's legs from the first day of the twelve years up to the next cash crop that is in the ground or
    foreseen within the season's year, each with the day it starts on."""
    course, out = COURSES[key], []
    for (at, crop), rest in zip(course.cash, course.rests, strict=True):
        later = [one for one in course.cash if one[0] > at]
        out += _cycle(year + at, crop, rest, (year + later[0][0], later[0][1]) if later else None)
    first, last = date(year - YEARS_BACK, 1, 1), date(year, 12, 31)
    before = [leg for leg in out if leg.starts_on < first][-1:]
    opening = [Leg(leg.leg, first, leg.crop, why=leg.why) for leg in before]
    return (*opening, *(leg for leg in out if first <= leg.starts_on <= last))


def _cycle(crop_year: int, crop: str, rest: str, following: tuple[int, str] | None) -> list[Leg]:
    set_year, month, day = SET_ON[crop]
    out = [Leg("cash", date(crop_year + set_year, month, day), crop, why="planted")]
    if crop == GARLIC:
        out.append(Leg("idle", date(crop_year, *OFF_ON[crop]) + timedelta(days=5), BUCKWHEAT, why="lifted"))
    out.append(Leg("leaf", date(crop_year, *LEAF_ON[crop]), None, why="open to leaves"))
    name: LegName = "hay" if is_hay(rest) else "smother"
    out.append(
        Leg(name, date(crop_year + 1, *(HAY_SEEDED if is_hay(rest) else SMOTHER_SEEDED)), rest, why="seeded")
    )
    if following is not None:
        cover, seeded = (OATS, OATS_SEEDED) if following[1] == GARLIC else (LEAD_IN, LEAD_IN_SEEDED)
        out.append(Leg("lead_in", date(following[0] - 1, *seeded), cover, why="seeded"))
    return out


def leg_on(key: str, day: date, year: int) -> Leg:
    """The leg that a field is in on a day."""
    return [leg for leg in legs(key, year) if leg.starts_on <= day][-1]


def cash_crop(key: str, crop_year: int, year: int) -> str | None:
    """The cash crop that a field carries in a crop year, None while it rests."""
    return dict(COURSES[key].cash).get(crop_year - year)


def planned(key: str, year: int) -> tuple[tuple[int, LegName, str], ...]:
    """The next ten years, a leg each: the one that fills most of the year."""
    course, out = COURSES[key], []
    for ahead in range(1, YEARS_AHEAD + 1):
        past = [
            (at, crop, rest)
            for (at, crop), rest in zip(course.cash, course.rests, strict=True)
            if at <= ahead
        ]
        at, crop, rest = past[-1]
        upcoming = [one for one in course.cash if one[0] > ahead]
        if at == ahead:
            out.append((year + ahead, "cash", crop))
        elif at == ahead - 1:
            out.append((year + ahead, "leaf", ""))
        elif upcoming and upcoming[0][0] == ahead + 1:
            out.append((year + ahead, "lead_in", OATS if upcoming[0][1] == GARLIC else LEAD_IN))
        else:
            out.append((year + ahead, "hay" if is_hay(rest) else "smother", rest))
    return tuple(out)  # type: ignore[return-value]
