"""The farm's lines: every entry's exact bytes, by phone, in the order in which they were written."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time
from functools import cache

from demo_fixtures import (
    cover,
    desk,
    firmness,
    gate,
    history,
    leaves,
    marks,
    soil,
    told,
    weather,
    weeds,
    work,
    wrong,
)
from demo_fixtures.fact import Fact
from demo_fixtures.farm import ZONE
from demo_fixtures.people import DESK, PHONES
from demo_fixtures.season import Season
from demo_fixtures.seed import SEED

SUBJECTS = (desk, weather, cover, weeds, firmness, gate, leaves, work, soil, told, history)
LAST_NIGHT = datetime(2026, 11, 24, 23, 59, 59, tzinfo=ZONE)
"""The end of the day on which the demo's own figures (``expected.json``) are taken."""


@dataclass(frozen=True, slots=True)
class Line:
    """One entry as a phone holds it: whose, when in truth, what it tells of, its bytes."""

    phone: str
    at: datetime
    fact: Fact
    raw: bytes


@cache
def all_facts(season: Season) -> tuple[Fact, ...]:
    """The whole season to its last day, with what is wrong in it, before any evening reading."""
    drawn = [fact for subject in SUBJECTS for fact in subject.facts(season)]
    spoiled = wrong.spoiled(season, drawn)
    out = spoiled + marks.asked(season, spoiled)
    keys = {fact.key for fact in out}
    assert len(keys) == len(out), "two facts of one name"
    return tuple(sorted(out, key=_order))


def _order(fact: Fact) -> tuple[datetime, str, str]:
    return fact.at, fact.phone, repr(fact.key)


def season_of(until: datetime, seed: int = SEED) -> Season:
    """The season of a visitor's day: its year is that day's."""
    return Season(until.astimezone(ZONE).year, seed)


def end_of(day: date) -> datetime:
    return datetime.combine(day, time(23, 59, 59), tzinfo=ZONE)


@cache
def facts(until: datetime = LAST_NIGHT, seed: int = SEED) -> tuple[Fact, ...]:
    """All that was written up to a moment, the desk's readings among it, in order of time."""
    season = season_of(until, seed)
    written = [fact for fact in all_facts(season) if fact.at <= until]
    return tuple(sorted(written + marks.readings(season, written, until), key=_order))


@cache
def book(until: datetime = LAST_NIGHT, seed: int = SEED) -> tuple[Line, ...]:
    """Every line up to a moment, in order of time."""
    season = season_of(until, seed)
    return tuple(Line(fact.phone, fact.at, fact, fact.line(season)) for fact in facts(until, seed))


def lately(lines: tuple[Line, ...], since: date) -> tuple[Line, ...]:
    """The lines from a day on, and before it only those that the desk laid the land, legs and sheets with."""
    ground = ("land", "leg", "sheet")
    return tuple(line for line in lines if line.at.date() >= since or line.fact.key[0] in ground)


def by_phone(lines: tuple[Line, ...]) -> dict[str, list[Line]]:
    """Each phone's own unbroken sequence, the desk's among them."""
    out: dict[str, list[Line]] = {one.key: [] for one in PHONES} | {DESK: []}
    for line in lines:
        out[line.phone].append(line)
    return out
