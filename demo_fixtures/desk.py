"""What the owner wrote at the desk: the land, the legs of twelve years, the plan, papers, the rule sheet."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from decimal import Decimal

from demo_fixtures import farm, ground
from demo_fixtures.fact import Fact
from demo_fixtures.farm import Plan as Corners
from demo_fixtures.people import DESK, OWNER
from demo_fixtures.rotation import legs, planned
from demo_fixtures.season import Season, on
from demo_fixtures.seed import identity
from demo_fixtures.towns import TOWNS
from shared.words.bodies.desk import Document, Land, LegChange, Plan, SheetChoice

SHEETS = ("new_jersey", "farm")


def opened(season: Season) -> datetime:
    """The evening on which the farm's book was opened, six springs before the season."""
    return on(season.day(-6, 3, 1), 18, 30)


def facts(season: Season) -> list[Fact]:
    return [
        *_land(season),
        *_sheets(season),
        *(fact for plot in farm.PLOTS for fact in _legs(season, plot.key)),
        *_papers(season),
        *_plan(season),
    ]


def _pieces(plot: farm.Plot) -> tuple[tuple[tuple[tuple[Decimal, Decimal], ...], ...], ...]:
    return tuple((_ring(outer), *(_ring(hole) for hole in holes)) for outer, holes in plot.pieces)


def _ring(corners: Corners) -> tuple[tuple[Decimal, Decimal], ...]:
    return ground.written(ground.ring(corners))


def _land(season: Season) -> list[Fact]:
    out = []
    for place, plot in enumerate(farm.PLOTS):
        body = Land(
            what="field",
            subject=plot.id,
            version=1,
            name=plot.name,
            why="walked with a receiver",
            pieces=_pieces(plot),
            drainage=plot.drainage,
            slope_pct=Decimal(plot.slope_pct),
            cap_in=farm.cap_in(plot),
            organic_from=farm.organic_from(plot, season.year),
            lease_end=farm.lease_end(plot, season.year),
        )
        out.append(_at_desk(("land", plot.key), opened(season) + timedelta(minutes=place), body))
    pile = farm.LANE_PILE
    heap = Land(
        what="pile",
        subject=pile.id,
        version=1,
        name=pile.name,
        why="hard standing",
        pieces=((_ring(pile.ring),),),
    )
    out.append(_at_desk(("land", pile.key), opened(season) + timedelta(minutes=20), heap))
    for place, off in enumerate(farm.KEEP_OFF):
        body = Land(
            what="buffer",
            subject=off.id,
            version=1,
            name=off.name,
            why="setback agreed with the neighbours",
            pieces=((_ring(off.ring),),),
            around=off.around,
            setback_ft=Decimal(off.setback_ft),
        )
        out.append(_at_desk(("land", off.key), opened(season) + timedelta(minutes=21 + place), body))
    return out


def _at_desk(
    key: tuple[object, ...],
    at: datetime,
    body: Land | LegChange | Plan | Document | SheetChoice,
    **more: object,
) -> Fact:
    return Fact(key, at, DESK, OWNER, body, **more)  # type: ignore[arg-type]


def _sheets(season: Season) -> list[Fact]:
    starts = season.day(-6, 3, 1)
    return [
        _at_desk(
            ("sheet", name),
            opened(season) + timedelta(minutes=40 + place),
            SheetChoice(name, True, starts, "in force here; check with the authority"),
        )
        for place, name in enumerate(SHEETS)
    ]


def _legs(season: Season, plot: str) -> list[Fact]:
    """Each leg as it begins; those before the book was opened from the old notebooks, on the first evening."""
    out = []
    for place, leg in enumerate(legs(plot, season.year)):
        evening = on(leg.starts_on, 19, 5 + place)
        late = evening < opened(season)
        at = opened(season) + timedelta(minutes=50, seconds=place) if late else evening
        body = LegChange(leg.leg, leg.starts_on, leg.why or "from the notebooks", leg.crop)
        out.append(
            _at_desk(
                ("leg", plot, leg.starts_on.isoformat()),
                at,
                body,
                plot=plot,
                from_paper=late,
                done_at=leg.starts_on,
            )
        )
    return out


def _plan(season: Season) -> list[Fact]:
    """The plan that was made last winter, a line a field."""
    at = season.at(-1, 12, 28, 19, 30)
    plan = identity(at, "plan", season.year, seed=season.seed)
    return [
        _at_desk(
            ("plan", plot.key),
            at + timedelta(minutes=place),
            Plan(plan, "Ten years", planned(plot.key, season.year)),
            plot=plot.key,
        )
        for place, plot in enumerate(farm.PLOTS)
    ]


def _papers(season: Season) -> list[Fact]:
    out = []
    for place, town in enumerate(TOWNS):
        start: date = season.day(-1, 9, 1)
        body = Document(
            what="agreement",
            title=f"Leaves from {town.name}",
            town=town.id,
            issued_on=start,
            expires_on=season.day(1, 3, 31),
            season_cap_yd3=Decimal(town.season_cap_yd3) if town.season_cap_yd3 else None,
        )
        out.append(_at_desk(("paper", town.key), on(start, 20, place), body))
    for years in range(-5, 1):
        noticed, reported = season.day(years, 9, 12), season.day(years, 2, 17)
        notice = Document(what="notice", title="Notice of leaf mulching", issued_on=noticed)
        report = Document(what="report", title=f"Leaves taken in {reported.year - 1}", issued_on=reported)
        out.append(_at_desk(("paper", "notice", years), on(noticed, 20, 0), notice))
        out.append(_at_desk(("paper", "report", years), on(reported, 20, 0), report))
    return out
