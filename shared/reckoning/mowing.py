"""When to mow a smother crop, when to cut hay, and how long frost makes sorghums dangerous to feed.

Orchardgrass and timothy want opposite things: orchardgrass is cut at boot to early head, timothy only from
early bloom on, or it thins. What is said here about feed is a caution, never a clearance.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from shared.reckoning.computation import Computation, Input, checked, cite
from shared.reckoning.cover import SORGHUMS
from shared.units import Figure, Source

Heads = Literal["none", "few", "many"]
GrassStage = Literal["vegetative", "jointing", "boot", "heading", "bloom", "past_bloom"]

CORNELL_MOW = Source(
    "cornell_ssg", "Cornell cover crop guide, sudangrass: mow at 20-30 in, leave 6 in", None, "read"
)
ONTARIO = Source("ontario_ssg", "Ontario, sorghum-sudan as cover: cut above 6-8 in", None, "read")
PENN_STATE_HAY = Source(
    "psu_orchardgrass", "Penn State on orchardgrass: 3 in, 4 better; every 4-6 weeks", 2020, "summary"
)
PENN_STATE_TIMOTHY = Source(
    "psu_timothy", "Penn State forages, timothy harvest management: early to late bloom", None, "read"
)
NEBRASKA = Source(
    "unl_prussic", "Univ. of Nebraska 2024, prussic acid: heights, and 7 days after frost", 2024, "read"
)

MOW_AT_IN = Figure(30.0, "in", CORNELL_MOW)
LEAVE_LOW_IN = Figure(6.0, "in", CORNELL_MOW)
LEAVE_HIGH_IN = Figure(8.0, "in", ONTARIO)
HAY_LEAVE_LOW_IN = Figure(3.0, "in", PENN_STATE_HAY)
HAY_LEAVE_HIGH_IN = Figure(4.0, "in", PENN_STATE_HAY)
REGROWTH_DAYS = Figure(28.0, "days", PENN_STATE_HAY)
REGROWTH_LATE_DAYS = Figure(42.0, "days", PENN_STATE_HAY)
FEED_LEAST_IN: dict[str, Figure] = {
    "sorghum_sudan": Figure(24.0, "in", NEBRASKA),
    "sudan": Figure(18.0, "in", NEBRASKA),
}
FROST_WAIT_DAYS = Figure(7.0, "days", NEBRASKA)
"""The longest of the waits in print (5 to 7 days), for a killing and for a light frost alike."""

MOW_VERDICT = (
    Input("cover", "choice", choices=SORGHUMS, example="sorghum_sudan"),
    Input("height_in", unit="in", low=0.0, high=180.0, example="31"),
    Input("heads", "choice", choices=("none", "few", "many"), optional=True, default="none", example="none"),
    Input("boot_reached", "flag", optional=True, default=False, example="false"),
)
HAY_VERDICT = (
    Input("cover", "choice", choices=("orchardgrass", "timothy"), example="timothy"),
    Input(
        "stage",
        "choice",
        choices=("vegetative", "jointing", "boot", "heading", "bloom", "past_bloom"),
        example="heading",
    ),
    Input("days_since_cut", "count", unit="days", low=0.0, high=366.0, optional=True, example="36"),
)
PRUSSIC_ACID = (
    Input("cover", "choice", choices=SORGHUMS, example="sorghum_sudan"),
    Input("height_in", unit="in", low=0.0, high=180.0, example="20"),
    Input("days_since_frost", "count", unit="days", low=0.0, high=366.0, optional=True, example="3"),
)


@dataclass(frozen=True, slots=True)
class MowVerdict:
    """``verdict`` *mow_now* (heads or boot: before seed sets), *mow* (tall enough for weeds and regrowth)
    or *wait*; ``why`` *heads*, *boot*, *height* or *short*; the inches ``to_go_in``; the stubble to leave."""

    verdict: Literal["mow_now", "mow", "wait"]
    why: Literal["heads", "boot", "height", "short"]
    to_go_in: float
    leave_low_in: float
    leave_high_in: float


@dataclass(frozen=True, slots=True)
class HayVerdict:
    """``verdict`` *cut*, *wait* or *late*, with ``why``; the stubble to leave in inches, None for timothy,
    for which no figure was found."""

    verdict: Literal["cut", "wait", "late"]
    why: str
    leave_low_in: float | None
    leave_high_in: float | None


@dataclass(frozen=True, slots=True)
class PrussicAcid:
    """``short``: below the least height in print for feeding, ``least_in``. ``wait_days``: how many more days
    after the last frost. Neither says that the feed is fit: nitrate and other dangers stay."""

    short: bool
    least_in: float
    wait_days: int


def mow_verdict(
    cover: str, height_in: float, heads: Heads = "none", boot_reached: bool = False
) -> MowVerdict:
    """Mow at 30 in for weeds, before heads: whichever comes first of heads seen, boot by heat units, height.

    Sources: Cornell cover crop guide (20 to 30 in, leave 6 in), Ontario (leave 6 to 8 in; clumps smother
    regrowth).
    """
    given = checked(
        MOW_VERDICT,
        {"cover": cover, "height_in": height_in, "heads": heads, "boot_reached": boot_reached},
    )
    to_go = max(0.0, MOW_AT_IN.value - given["height_in"])
    leave = (LEAVE_LOW_IN.value, LEAVE_HIGH_IN.value)
    if heads != "none":
        return MowVerdict("mow_now", "heads", to_go, *leave)
    if boot_reached:
        return MowVerdict("mow_now", "boot", to_go, *leave)
    if to_go == 0.0:
        return MowVerdict("mow", "height", to_go, *leave)
    return MowVerdict("wait", "short", to_go, *leave)


def hay_verdict(cover: str, stage: GrassStage, days_since_cut: int | None = None) -> HayVerdict:
    """Whether the stand is at the stage to cut. ``days_since_cut`` judges orchardgrass regrowth, which seldom
    heads again: not before four weeks, late after six.

    Sources: Penn State on timothy harvest (early to late bloom kept the stand; jointing and early heading
    harmed it) and on orchardgrass (late boot to early head; every 4-6 weeks, ideally 35-40 days).
    """
    given = checked(HAY_VERDICT, {"cover": cover, "stage": stage, "days_since_cut": days_since_cut})
    days_since_cut = given["days_since_cut"]
    if cover == "timothy":
        verdict, why = TIMOTHY[stage]
        return HayVerdict(verdict, why, None, None)
    verdict, why = ORCHARDGRASS[stage] if days_since_cut is None else _regrowth(days_since_cut)
    return HayVerdict(verdict, why, HAY_LEAVE_LOW_IN.value, HAY_LEAVE_HIGH_IN.value)


Judged = tuple[Literal["cut", "wait", "late"], str]

ORCHARDGRASS: dict[str, Judged] = {
    "vegetative": ("wait", "before_boot"),
    "jointing": ("wait", "before_boot"),
    "boot": ("cut", "boot_to_early_head"),
    "heading": ("cut", "boot_to_early_head"),
    "bloom": ("late", "past_early_head"),
    "past_bloom": ("late", "past_early_head"),
}
TIMOTHY: dict[str, Judged] = {
    "vegetative": ("wait", "before_bloom"),
    "jointing": ("wait", "cut_now_harms"),
    "boot": ("wait", "cut_now_harms"),
    "heading": ("wait", "cut_now_harms"),
    "bloom": ("cut", "bloom"),
    "past_bloom": ("late", "past_bloom"),
}


def _regrowth(days: int) -> Judged:
    if days < REGROWTH_DAYS.value:
        return ("wait", "under_four_weeks")
    if days > REGROWTH_LATE_DAYS.value:
        return ("late", "over_six_weeks")
    return ("cut", "four_to_six_weeks")


def prussic_acid(cover: str, height_in: float, days_since_frost: int | None = None) -> PrussicAcid:
    """Whether a sorghum is under the least height, and the days to wait after frost. Every frost, light or
    killing, starts the seven days again; one whose day isn't known is 0 days ago, and None is no frost yet.

    Source: Univ. of Nebraska 2024. A caution, not a clearance: ask a veterinarian.
    """
    kind, height, since = checked(PRUSSIC_ACID, locals()).values()
    least = FEED_LEAST_IN[kind].value
    wait = 0 if since is None else max(0, int(FROST_WAIT_DAYS.value) - since)
    return PrussicAcid(height < least, least, wait)


COMPUTATIONS: tuple[Computation, ...] = (
    Computation(
        "mow_verdict",
        mow_verdict,
        MOW_VERDICT,
        {"to_go_in": "in", "leave_low_in": "in", "leave_high_in": "in"},
        "heads or boot: mow now; 30 in or more: mow; else wait",
        cite(CORNELL_MOW, ONTARIO),
        "reckoner.caution.mow",
    ),
    Computation(
        "hay_verdict",
        hay_verdict,
        HAY_VERDICT,
        {"leave_low_in": "in", "leave_high_in": "in"},
        "orchardgrass: boot to early head, then every 4 to 6 weeks; timothy: bloom only",
        cite(PENN_STATE_TIMOTHY, PENN_STATE_HAY),
        "reckoner.caution.hay",
    ),
    Computation(
        "prussic_acid",
        prussic_acid,
        PRUSSIC_ACID,
        {"least_in": "in", "wait_days": "days"},
        "height against 24 in (sudangrass 18); 7 days less the days since the last frost",
        cite(NEBRASKA),
        "reckoner.caution.feed",
    ),
)
