"""The owner's evening reading: most days initialled, some never, the last one not yet; and what was asked back."""

from __future__ import annotations

from collections import defaultdict
from datetime import date, datetime, timedelta
from uuid import UUID

from demo_fixtures.fact import Fact
from demo_fixtures.people import ANA, DESK, OWNER, TOBIN
from demo_fixtures.season import Season, on
from shared.words.bodies.gate import Load
from shared.words.bodies.reading import Answer, Query, Reading
from shared.words.bodies.told import Occurrence
from shared.words.bodies.walked import LeafDepth

LEFT_UNREAD = 13
"""One day in so many was never read."""


def asked(season: Season, facts: list[Fact]) -> list[Fact]:
    """Two questions that were answered the next morning, and one that still waits."""
    thick = max(
        (one for one in facts if isinstance(one.body, LeafDepth) and one.plot == "saddle"),
        key=lambda one: one.body.depth_in,  # type: ignore[union-attr]
    )
    trash = next(one for one in facts if isinstance(one.body, Occurrence) and one.body.what == "trash_found")
    sick = next(one for one in facts if isinstance(one.body, Occurrence) and one.body.what == "disease")
    return [
        *_question(season, thick, "Over six inches here? How wide is it that thick?",
                   "Strip two spreader widths along the top. Pulled some down the slope after."),
        *_question(season, trash, "Which end of the field was it?", "East end, by the gap. Nothing since."),
        *_question(season, sick, "¿Cuántas cabezas, y en qué surcos?", None),
    ]  # fmt: skip


def _question(season: Season, about: Fact, text: str, answer: str | None) -> list[Fact]:
    at = on(about.at.date(), 21, 2)
    query = Fact(("query", *about.key), at, DESK, OWNER, Query(text=text), about.plot, names=about.id(season))
    if answer is None:
        return [query]
    morning = at + timedelta(hours=10, minutes=7)
    phone, hand = ("red", ANA) if about.by is ANA else ("yellow", TOBIN)
    told = Fact(
        ("answer", *about.key), morning, phone, hand, Answer(text=answer), about.plot, names=query.id(season)
    )
    return [query, told]


def readings(season: Season, facts: list[Fact], until: datetime) -> list[Fact]:
    """A reading an evening over the phones' entries of the day: those that had to be opened apart from the rest."""
    days: dict[date, list[Fact]] = defaultdict(list)
    for one in facts:
        if one.phone != DESK and one.scribble is None and one.at <= until:
            days[one.at.date()].append(one)
    out = []
    for day in sorted(days):
        evening = on(day, 21, 15)
        if (
            evening > until
            or day == until.date()
            or season.dice("read", day.year - season.year, day.month, day.day).randrange(LEFT_UNREAD) == 0
        ):
            continue
        opened = [one for one in days[day] if _unusual(one)]
        rest = [one for one in days[day] if not _unusual(one)]
        for place, (some, was_opened) in enumerate(((opened, True), (rest, False))):
            if some:
                ids: tuple[UUID, ...] = tuple(one.id(season) for one in some)
                key = ("reading", day.isoformat(), place)
                at = evening + timedelta(minutes=place)
                out.append(Fact(key, at, DESK, OWNER, Reading(ids, "initialled", was_opened)))
    return out


def _unusual(fact: Fact) -> bool:
    body = fact.body
    return (isinstance(body, Load) and body.outcome == "turned_back") or isinstance(body, Occurrence)
