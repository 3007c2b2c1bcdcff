"""Queries to those who made an entry, and whether they are answered."""

from __future__ import annotations

from collections.abc import Sequence
from uuid import UUID

from server.book import reads as book
from server.book.news import News
from server.people import turns
from server.people.models import Farm
from server.status.models import Asked
from shared.words.bodies.reading import Query
from shared.words.entry import Written


def fold(farm: Farm, news: Sequence[News]) -> None:
    """A query asks whoever made the entry that it names; an answer that names the query closes it; a strike of
    the query takes it back."""
    for one in news:
        if one.kind not in ("query", "answer", "strike") or one.names is None or one.outcome != "kept":
            continue
        written = one.written()
        if written is None:
            continue
        if one.kind == "query":
            _ask(farm, written, one.names)
        elif one.kind == "answer":
            _answered(farm.id, one.names)
        else:
            _taken_back(farm.id, one.names)


def _ask(farm: Farm, written: Written, about: UUID) -> None:
    row = book.of_entry(farm.id, about)
    body = written.entry.body
    # A phone's query has no force: asking is the desk's.
    if row is None or row.by is None or not isinstance(body, Query) or written.entry.boot is not None:
        return
    asked_at = written.entry.made_at.utc or written.arrived_at.utc  # type: ignore[union-attr]
    query = Asked(
        id=written.entry.id,
        farm_id=farm.id,
        about=about,
        to=row.by,
        ask=body.ask,
        text=body.text,
        asked_at=asked_at,
    )
    turns.put(farm.id, [query])
    turns.back(farm.id, "queries", [str(query.id)])


def _answered(farm: UUID, query: UUID) -> None:
    for one in Asked.objects.filter(farm_id=farm, id=query, answered=False):
        one.answered = True
        turns.put(farm, [one])


def _taken_back(farm: UUID, query: UUID) -> None:
    gone = Asked.objects.filter(farm_id=farm, id=query)
    turns.remove(farm, "queries", [(one, str(one.id)) for one in gone])


def rebuild(farm: Farm) -> int:
    """Make the queries again from the whole book."""
    Asked.objects.filter(farm_id=farm.id).delete()
    rows = list(book.of_kinds(farm.id, ("query", "answer", "strike")))
    fold(farm, [book.news_of(row) for row in rows])
    return Asked.objects.filter(farm_id=farm.id).count()
