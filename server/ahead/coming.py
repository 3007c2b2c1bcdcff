"""Which yards each town still brings this season, against the room left: from the loads in the farm's own book."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from functools import lru_cache
from typing import Literal
from uuid import UUID
from zoneinfo import ZoneInfo

from server.ahead.arriving import DAYS, Coming, coming, curve_of, fills
from server.book import reads as book
from server.book.reads import looked_up
from server.land import reads as land
from server.people.models import Farm
from server.people.reads import hands
from server.status.family import BINDING, family_of
from shared.status.leaf_season import season_of, span_of
from shared.status.standing import standing
from shared.words.bodies.gate import Load
from shared.words.town import Town

Lack = Literal["past", "one_season", "nothing"]
Came = Mapping[UUID, Mapping[int, float]]
"""By town yards by day of a season, counted from its first day."""
SEASONS_BACK = 4
BEGINS_BY = 106
"""A season in which the book began after mid October is cut off at its start and says nothing of the next."""


@dataclass(frozen=True, slots=True)
class TownComing:
    """A town's season: what came, how many seasons before speak of it, what was agreed, what is still looked for (5,
    10, 50, 90, 95 %; None where nothing can be said) and what is lacking for it."""

    town: UUID
    name: str
    came_yd3: float
    seasons: int
    cap_yd3: float | None
    yards: tuple[float, ...] | None
    lacks: tuple[Lack, ...]


@dataclass(frozen=True, slots=True)
class SeasonAhead:
    """All towns together. ``full``: the days on which the room runs out, at 5, 10, 50, 90 and 95 %, None: not this
    season. ``unsaid``: towns of which nothing can be said yet are not in it."""

    season: int
    towns: tuple[TownComing, ...]
    yards: tuple[float, ...] | None
    full: tuple[date | None, ...]
    unsaid: bool

    @property
    def came_yd3(self) -> float:
        return sum(one.came_yd3 for one in self.towns)

    @property
    def runs_out(self) -> list[tuple[str, date | None]]:
        """The days at 10, 50 and 90 %, each with its word's key."""
        return list(zip(("early", "middle", "late"), self.full[1:4], strict=True))


def season_ahead(farm: Farm, today: date, room_yd3: float) -> SeasonAhead | None:
    """What is still to come after ``today``; None when no leaf season is on."""
    season = season_of(today)
    begins, _ = span_of(season)
    day = (today - begins).days
    if day >= DAYS - 1:
        return None
    now = came(farm, season)
    past = [found for back in range(1, SEASONS_BACK + 1) if (found := _whole_season(farm, season - back))]
    told = [_of_town(one, place, now, past, day) for place, one in enumerate(land.towns(farm.id))]
    known = [draws for _, draws in told if draws is not None]
    towns = tuple(one for one, _ in told if one.came_yd3 or one.yards or one.seasons)
    days = fills(known, room_yd3)
    return SeasonAhead(
        season,
        towns,
        _together(known),
        tuple(None if one is None else today + timedelta(days=one) for one in days),
        any(one.yards is None for one in towns),
    )


def _of_town(
    town: Town, place: int, now: Came, past: Sequence[Came], day: int
) -> tuple[TownComing, Coming | None]:
    own = [one[town.id] for one in past if sum(one.get(town.id, {}).values()) > 0]
    others = [curve_of(one[each]) for one in past for each in one if sum(one[each].values()) > 0]
    mine = now.get(town.id, {})
    cap = float(town.season_cap_yd3) if town.season_cap_yd3 is not None else None
    shapes = [curve_of(one) for one in own] or others
    draws = coming([sum(one.values()) for one in own], shapes, mine, day, cap, place)
    so_far = sum(yards for on, yards in mine.items() if on <= day)
    lacks: list[Lack] = [] if len(own) > 1 else ["one_season"] if own else ["past"]
    lacks += [] if draws is not None else ["nothing"]
    yards = draws.yards if draws is not None else None
    return TownComing(town.id, town.name, so_far, len(own), cap, yards, tuple(lacks)), draws


def _together(several: Sequence[Coming]) -> tuple[float, ...] | None:
    if not several:
        return None
    return Coming(sum((one.by_day for one in several[1:]), several[0].by_day)).yards


def _whole_season(farm: Farm, season: int) -> Came:
    begins, _ = span_of(season)
    days = looked_up(farm.id).exclude(day=None).order_by("day").values_list("day", flat=True)
    first = days.first()
    if first is None or (first - begins).days > BEGINS_BY:
        return {}
    return came(farm, season)


def came(farm: Farm, season: int) -> Came:
    """The yards taken in a season by town and day, as they are in force: corrected, less what was removed."""
    begins, ends = span_of(season)
    loads = book.of_kinds(farm.id, ("load",)).filter(day__range=(begins, ends))
    edition = (
        loads.order_by("-number").values_list("number", "sha").first(),
        looked_up(farm.id).filter(kind__in=BINDING).order_by("-number").values_list("number").first(),
    )
    return _came(farm.id, farm.zone, season, edition)


@lru_cache(maxsize=32)
def _came(farm: UUID, zone: str, season: int, edition: object) -> Came:
    begins, ends = span_of(season)
    rows = book.of_kinds(farm, ("load",)).filter(day__range=(begins, ends)).exclude(entry=None)
    family = family_of(farm, rows.values_list("entry", flat=True))
    written = [value for row in family if (value := book.written(row)) is not None]
    out: dict[UUID, dict[int, float]] = {}
    for fact in standing(written, hands(farm)).in_force:
        body, on = fact.body, fact.day(ZoneInfo(zone))
        if not isinstance(body, Load) or not body.is_taken or on is None or not begins <= on <= ends:
            continue
        yards = sum((one for _, one in body.to), Decimal(0)) - (body.removed_yd3 or Decimal(0))
        days = out.setdefault(body.town, {})
        days[(on - begins).days] = days.get((on - begins).days, 0.0) + float(max(yards, Decimal(0)))
    return out
