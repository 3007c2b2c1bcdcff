"""What each field and the farm need next, with earliest, best and last day, the why, and what would change
it.

A due follows from a status and the day; forecasts come in as arguments. It is met by the entries that change
the status, and its id stays the same until then, so that a job put to a person or put off can name it.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from shared.languages import say
from shared.rules.sheet import Sheet
from shared.status.fact import Fact
from shared.status.needs import covers, farm, leaves, lime, sowing, walks
from shared.status.needs.asked import FieldToday, Forecast, Foresight, SoilByAir
from shared.status.piles import PileStatus
from shared.words.bodies.desk import Job
from shared.words.due import Due
from shared.words.verdict import Asked

__all__ = [
    "DueWords",
    "FarmToday",
    "FieldToday",
    "Forecast",
    "Foresight",
    "SoilByAir",
    "due_words",
    "farm_dues",
    "field_dues",
    "in_order",
    "with_jobs",
]

OF_A_FIELD = (
    leaves.work_in,
    leaves.spread,
    leaves.depth_round,
    covers.mow,
    covers.cut_hay,
    covers.plant,
    sowing.seed,
    sowing.nitrate_test,
    walks.cover_round,
    walks.weed_round,
    walks.firmness_round,
    walks.sample_soil,
    lime.lime,
    farm.organic_end,
)


@dataclass(frozen=True, slots=True)
class FarmToday:
    """The farm on a day: its piles, its papers as facts, the years in which loads came, the queries that
    wait, the day on which it expects the season's first leaves (None: not set), the sheets in force."""

    today: date
    sheets: Sequence[Sheet] = ()
    piles: Sequence[PileStatus] = ()
    papers: Sequence[Fact] = ()
    years_with_loads: Collection[int] = ()
    asked: Sequence[Asked] = ()
    leaves_from: date | None = None


@dataclass(frozen=True, slots=True)
class DueWords:
    """A due in a language: the job, why, and what would change it."""

    job: str
    why: str
    change: str


def field_dues(ask: FieldToday) -> tuple[Due, ...]:
    """All that a field needs, in order; some of it may begin only later (``earliest``)."""
    return in_order(one for need in OF_A_FIELD for one in need(ask))


def farm_dues(ask: FarmToday) -> tuple[Due, ...]:
    """What the farm as a whole needs, in order."""
    found = [one for pile in ask.piles for one in farm.pile_check(pile, ask.today)]
    found += [one for pile in ask.piles for one in farm.spread_pile(pile, ask.sheets, ask.today)]
    found += farm.papers(ask.papers, ask.today)
    found += farm.reports(ask.sheets, ask.papers, ask.years_with_loads, ask.today)
    found += farm.notices(ask.sheets, ask.papers, ask.leaves_from, ask.today)
    found += farm.answers(ask.asked)
    return in_order(found)


def in_order(dues: Iterable[Due]) -> tuple[Due, ...]:
    """By last day; what has none by its best or earliest day after those; then by id, so that it never
    wavers."""
    return tuple(
        sorted(dues, key=lambda one: (one.last or date.max, one.best or one.earliest or date.max, one.id))
    )


def with_jobs(dues: Iterable[Due], facts: Iterable[Fact]) -> tuple[Due, ...]:
    """The dues with the person, day and place that the desk last put them to."""
    jobs: dict[str, Fact] = {}
    for fact in facts:
        if not fact.struck and isinstance(fact.body, Job):
            other = jobs.get(fact.body.due)
            if other is None or (other.order, str(other.id)) < (fact.order, str(fact.id)):
                jobs[fact.body.due] = fact
    return tuple(_put_to(one, jobs) for one in dues)


def _put_to(one: Due, jobs: Mapping[str, Fact]) -> Due:
    body = jobs[one.id].body if one.id in jobs else None
    if not isinstance(body, Job):
        return one
    return replace(one, person=body.person, on=body.on, place=body.place)


def due_words(one: Due, language: str) -> DueWords:
    """A due's sentences. Raises ``UnknownName`` for a reason that the language has no sentence for."""
    facts = {name: _fact(name, text) for name, text in one.facts.items()}
    change = one.why.replace("dues.", "dues_change.", 1)
    return DueWords(
        say(language, f"dues.title.{one.job}"),
        say(language, one.why, **facts),
        say(language, change, **facts),
    )


def _fact(name: str, text: str) -> Any:
    return date.fromisoformat(text) if name.endswith("_on") else text
