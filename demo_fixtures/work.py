"""Jobs in the fields: seeding, mowing, hay, killing lead-ins, planting and harvest, lime."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

from demo_fixtures import farm
from demo_fixtures.fact import Fact
from demo_fixtures.leaves import work
from demo_fixtures.people import ANA, TOBIN
from demo_fixtures.rotation import (
    COURSES,
    GARLIC,
    LEAD_IN,
    OATS,
    OFF_ON,
    SET_ON,
    SORGHUM,
    TIMOTHY,
)
from demo_fixtures.season import Season, on
from demo_fixtures.stands import HAYS, LEAD_INS, SMOTHERS, Stand
from demo_fixtures.weather import fair_day
from shared.words.bodies.work import Work

SEED_LB = {SORGHUM: "50", TIMOTHY: "10", "orchardgrass": "18", LEAD_IN: "85", OATS: "100"}
BALE_LB = Decimal(42)


def facts(season: Season) -> list[Fact]:
    out: list[Fact] = []
    for stand in (*SMOTHERS, *HAYS, *LEAD_INS):
        out.append(seeded(season, stand))
    for stand in SMOTHERS:
        out += [mowed(season, stand, season.day(*cut)) for cut in stand.cuts]
    for stand in HAYS:
        for cut in stand.cuts:
            out += _hay(season, stand, season.day(*cut))
    for stand in (*LEAD_INS, *SMOTHERS):
        out += _ended(season, stand)
    for plot in farm.PLOTS:
        out += _cash(season, plot.key)
    out += _lime(season)
    return [fact for fact in out if season.first_day <= fact.at.date() <= season.last_day]


def acres(plot: str) -> Decimal:
    return Decimal(str(round(farm.acres(farm.BY_KEY[plot]), 2)))


def seeded(season: Season, stand: Stand) -> Fact:
    """The sowing of a stand."""
    day = season.day(*stand.seeded)
    body = Work(
        job="seed",
        area_ac=acres(stand.plot),
        crop=stand.cover,
        machine="grain drill",
        seed_lb_per_ac=Decimal(SEED_LB[stand.cover]),
        seed_status="untreated",
        seed_lot=f"{stand.cover[:2].upper()}-{day.year % 100}-{len(stand.plot):02d}",
    )
    return work("seed", stand.plot, on(day, 16, 45), body)


def mowed(season: Season, stand: Stand, cut: date) -> Fact:
    """One mowing of a smother crop."""
    body = Work(
        job="mow", area_ac=acres(stand.plot), crop=stand.cover, machine="flail mower", stubble_in=Decimal(8)
    )
    return work("mow", stand.plot, on(cut, 14, 20), body)


def _hay(season: Season, stand: Stand, cut: date) -> list[Fact]:
    """Cut, raked two days later, baled the day after. A ton and a half an acre at the first cutting, less after."""
    if not season.first_day <= cut <= season.last_day:
        return []
    dice = season.dice("hay", stand.plot, cut.year - season.year, cut.month)
    cutting = sum(1 for one in stand.cuts if one[0] == cut.year - season.year and one[1] <= cut.month)
    cutting += stand.cover != TIMOTHY and cut.year < season.year and stand.plot == "quarry_side"
    tons = max(0.35, (1.5, 0.9, 0.6)[min(cutting, 3) - 1] * dice.uniform(0.85, 1.15))
    bales = round(float(acres(stand.plot)) * tons * 2000 / float(BALE_LB))
    mown = Work(job="cut_hay", area_ac=acres(stand.plot), crop=stand.cover, machine="mower-conditioner",
                stubble_in=Decimal(4), cutting=cutting)  # fmt: skip
    raked = Work(job="rake", area_ac=acres(stand.plot), crop=stand.cover, machine="rotary rake")
    baled = Work(
        job="bale",
        area_ac=acres(stand.plot),
        crop=stand.cover,
        machine="small square baler",
        people=(ANA.id, TOBIN.id),
        bales=bales,
        bale_lb=BALE_LB,
        moisture_pct=Decimal(dice.randint(13, 18)),
        cutting=cutting,
        lot=f"{stand.plot[:2].upper()}{cut.year % 100}-{cutting}",
    )
    return [
        work("cut_hay", stand.plot, on(cut, 11, 10), mown),
        work("rake", stand.plot, on(cut + timedelta(days=2), 11, 30), raked),
        work("bale", stand.plot, on(cut + timedelta(days=3), 17, 15), baled),
    ]


def _ended(season: Season, stand: Stand) -> list[Fact]:
    """A lead-in or a last smother is mown down and turned under."""
    if stand.ended is None:
        return []
    day = season.day(*stand.ended)
    killed = Work(job="kill", area_ac=acres(stand.plot), crop=stand.cover, machine="roller crimper")
    turned = Work(job="work_in", area_ac=acres(stand.plot), crop=stand.cover, machine="offset disk",
                  passes=2, depth_in=Decimal(6))  # fmt: skip
    first = work("kill", stand.plot, on(day, 10, 30), killed)
    return [first, work("turn under", stand.plot, on(day + timedelta(days=1), 15, 10), turned)]


def _cash(season: Season, plot: str) -> list[Fact]:
    """Planting, two cultivations and the harvests of the crops that stand in the season or the year around it."""
    out: list[Fact] = []
    for years, crop in COURSES[plot].cash:
        if years not in (-1, 0, 1):
            continue
        set_years, month, day = SET_ON[crop]
        planted = season.day(years + set_years, month, day)
        body = Work(
            job="plant", area_ac=acres(plot), crop=crop, variety=_VARIETY[crop], seed_status="untreated"
        )
        out.append(work("plant", plot, on(planted, 16, 5), body, "red"))
        off = season.day(years, *OFF_ON[crop])
        first_hoeing = season.day(years, 4, 12) if crop == GARLIC else planted + timedelta(days=18)
        for gap in (0, 16):
            day_on = fair_day(season, first_hoeing + timedelta(days=gap))
            hoed = Work(job="cultivate", area_ac=acres(plot), crop=crop, machine="finger weeder")
            out.append(work(f"cultivate {gap}", plot, on(day_on, 11, 45), hoed))
        for part, back in enumerate((21, 10, 0) if crop != GARLIC else (3, 0), 1):
            picked = Work(
                job="harvest", crop=crop, people=(ANA.id, TOBIN.id), lot=f"{plot[:2].upper()}-{part}"
            )
            out.append(work(f"harvest {part}", plot, on(off - timedelta(days=back), 15, 30), picked, "red"))
    return out


_VARIETY = {
    GARLIC: "hardneck, own seed",
    "cabbage": "storage",
    "sweet corn": "late",
    "winter squash": "butternut",
}


def _lime(season: Season) -> list[Fact]:
    out = []
    for years, plot, rate in ((-1, "two_stones", "1500"), (0, "crow_bank", "2000")):
        body = Work(
            job="lime",
            area_ac=acres(plot),
            material="calcitic lime",
            material_lb_per_ac=Decimal(rate),
            cce_pct=Decimal(94),
            machine="spinner",
        )
        out.append(work("lime", plot, on(season.day(years, 10, 20), 13, 35), body))
    return out
