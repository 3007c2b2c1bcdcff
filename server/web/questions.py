"""Queries as the pages tell them: who was asked what of which entry, and what was answered."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from server.book import reads as book
from server.people import reads as people
from server.reading import queries
from server.reading.queries import Answered, Question
from server.reading.reads import all_read
from server.web.desk import Desk
from server.web.entries import Told, told_all
from shared.languages import has, say
from shared.words.moment import in_zone


@dataclass(frozen=True, slots=True)
class Asking:
    """A query in words. ``about`` None: what it asked about is not in the book."""

    id: UUID
    about: Told | None
    to: str
    words: str
    at: datetime
    answered: bool
    answers: tuple[tuple[str, str, datetime], ...]


def asked(desk: Desk, about: Collection[UUID], open_too: bool = True) -> list[Asking]:
    """The queries about these entries, and all that are open where asked for."""
    found = queries.questions(desk.farm.id, about, open_too)
    if not found:
        return []
    names = {one.id: one.name for one in people.people(desk.farm.id, retired=True)}
    rows = book.of_entries(desk.farm.id, {one.about for one in found})
    told = {one.read.id: one for one in told_all(desk, all_read(desk.farm, rows))}
    return [_asking(desk, one, names, told.get(one.about)) for one in found]


def _asking(desk: Desk, one: Question, names: dict[UUID, str], about: Told | None) -> Asking:
    stock = say(desk.language, f"asks.{one.ask}") if has(desk.language, f"asks.{one.ask}") else ""
    words = " ".join(part for part in (stock, one.text or "") if part)
    answers = tuple(
        (names.get(each.by, ""), _answer(desk.language, each), in_zone(each.at, desk.zone))
        for each in one.answers
    )
    return Asking(one.id, about, names.get(one.to, ""), words, one.asked_at, one.answered, answers)


def _answer(language: str, one: Answered) -> str:
    key = f"seal.answer.{one.ask}"
    stock = say(language, key) if has(language, key) else ""
    return ". ".join(part for part in (stock, one.text or "") if part)
