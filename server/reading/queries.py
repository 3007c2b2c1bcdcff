"""Queries to those who made an entry, with what was answered."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db import transaction
from django.db.models import Q

from server.book import reads as book
from server.book.models import Row
from server.intake.desk import Draft, write_one
from server.people.models import Farm
from server.status.following import followed
from server.status.models import Asked
from shared.errors import GoodgroundError
from shared.words.bodies.reading import Answer


class NoSuchQuery(GoodgroundError):
    """No query waits under this id: it was answered meanwhile, or taken back."""

    code = "no_such_query"


@dataclass(frozen=True, slots=True)
class Answered:
    """An answer: by whom it was written down, whose word it is, and when."""

    ask: str | None
    text: str | None
    by: UUID
    at: datetime


@dataclass(frozen=True, slots=True)
class Question:
    """A query with its answers in the order of the book."""

    id: UUID
    about: UUID
    to: UUID
    ask: str | None
    text: str | None
    asked_at: datetime
    answers: tuple[Answered, ...]
    answered: bool


def questions(farm: UUID, about: Collection[UUID], open_too: bool = True) -> list[Question]:
    """The queries about these entries, and all that are open where asked for; the open ones first, then by time."""
    followed(farm)
    wanted = Q(about__in=list(about)) | (Q(answered=False) if open_too else Q())
    if not about and not open_too:
        return []
    found = list(Asked.objects.filter(wanted, farm_id=farm).order_by("answered", "asked_at"))
    answers = _answers(farm, [one.id for one in found if one.answered])
    return [
        Question(
            one.id, one.about, one.to, one.ask, one.text, one.asked_at,
            tuple(answers.get(one.id, ())), one.answered,
        )
        for one in found
    ]  # fmt: skip


def _answers(farm: UUID, queries: list[UUID]) -> dict[UUID, list[Answered]]:
    out: dict[UUID, list[Answered]] = {}
    for row in book.naming(farm, queries) if queries else ():
        entry = book.entry_of(row)
        if entry is not None and row.names is not None and isinstance(entry.body, Answer):
            by = entry.done_by if isinstance(entry.done_by, UUID) else entry.by
            told = Answered(entry.body.ask, entry.body.text, by, row.made_at or row.arrived_at)
            out.setdefault(row.names, []).append(told)
    return out


def answer(farm: Farm, person: UUID, query: UUID, text: str, now: datetime) -> Row:
    """Write down at the desk what somebody answered by word of mouth. Raises ``NoSuchQuery``."""
    with transaction.atomic():
        Farm.objects.select_for_update().only("id").get(id=farm.id)
        followed(farm.id, now)
        asked = Asked.objects.filter(farm_id=farm.id, id=query, answered=False).first()
        if asked is None:
            raise NoSuchQuery
        row = book.of_entry(farm.id, asked.about)
        draft = Draft(
            Answer(None, text),
            field=row.field if row is not None else None,
            names=query,
            done_by=asked.to,
        )
        return write_one(farm.id, person, draft, now)
