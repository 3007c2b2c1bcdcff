"""How fields and entries stand, as the pages and the phones read it."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any
from uuid import UUID

from server.status import models
from server.status.following import followed
from shared.status.piles import PileStatus
from shared.words.due import Due
from shared.words.verdict import Asked


def standings(farm: UUID) -> dict[UUID, dict[str, Any]]:
    """How each field stands, as the plain object that phones pull too, by field."""
    followed(farm)
    return {one.field: one.standing for one in models.Standing.objects.filter(farm_id=farm, what="field")}


def piles(farm: UUID) -> list[PileStatus]:
    """What stands of each pile that anything was ever written about."""
    followed(farm)
    found = models.Standing.objects.filter(farm_id=farm, what="pile").order_by("field")
    return [PileStatus.from_tree(one.standing) for one in found]


def standing(farm: UUID, field: UUID) -> dict[str, Any] | None:
    followed(farm)
    found = models.Standing.objects.filter(farm_id=farm, field=field, what="field").first()
    return found.standing if found else None


def dues(farm: UUID, field: UUID | None = None) -> list[Due]:
    """The dues in the order of their last days, those without one at the end."""
    followed(farm)
    found = models.Due.objects.filter(farm_id=farm)
    rows = [one.value() for one in (found if field is None else found.filter(field=field))]
    return sorted(rows, key=lambda due: (due.last is None, due.last, str(due.id)))


def verdicts(farm: UUID, entries: Iterable[UUID]) -> dict[UUID, models.Verdict]:
    """How these entries stand at the desk; one that is not in the answer is *unread*."""
    followed(farm)
    found = models.Verdict.objects.filter(farm_id=farm, entry__in=list(entries))
    return {one.entry: one for one in found}


def open_queries(farm: UUID) -> list[Asked]:
    """Queries that nobody has answered, oldest first."""
    followed(farm)
    found = models.Asked.objects.filter(farm_id=farm, answered=False).order_by("asked_at")
    return [one.value() for one in found]
