"""A sampling round in progress: a draft that survives a kill, changed in the same commit as its entries."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any
from uuid import UUID

from mobile.ports import Draft, Phone
from mobile.trouble import NoRound

DRAFT = "round"
LatLon = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Round:
    """``stops`` are the planned points; ``done`` the stops that have been saved; ``skipped`` those passed by;
    ``asked`` what is asked once a round (cone, moisture, plant); ``since_line`` where its entries begin."""

    id: UUID
    field: UUID
    part: UUID | None
    measures: tuple[str, ...]
    stops: tuple[LatLon, ...]
    asked: Mapping[str, str]
    started_at: str
    since_line: int
    done: tuple[int, ...] = ()
    skipped: tuple[int, ...] = ()
    before: int = 0
    """So many of its first stops were made on another phone, which knows where."""

    @property
    def next_stop(self) -> int | None:
        """The first stop, from 1, that is neither done nor skipped; None once all planned ones are."""
        passed = {*self.done, *self.skipped}
        return next((n for n in range(1, len(self.stops) + 1) if n not in passed), None)

    def with_done(self, stop: int) -> Round:
        return self if stop in self.done else replace(self, done=(*self.done, stop))


def round_in_progress(phone: Phone, enrolment: int) -> Round | None:
    """The round that was begun and not finished, also before the app was closed or killed."""
    tree = phone.book.draft(enrolment, DRAFT)
    return None if tree is None else _from_tree(tree)


def the_round(phone: Phone, enrolment: int) -> Round:
    found = round_in_progress(phone, enrolment)
    if found is None:
        raise NoRound
    return found


def draft_of(round: Round | None) -> Draft:
    return Draft(DRAFT, None if round is None else _tree(round))


def _tree(round: Round) -> dict[str, Any]:
    return {
        "id": str(round.id),
        "field": str(round.field),
        "part": None if round.part is None else str(round.part),
        "measures": list(round.measures),
        "stops": [list(one) for one in round.stops],
        "asked": dict(round.asked),
        "started_at": round.started_at,
        "since_line": round.since_line,
        "done": list(round.done),
        "skipped": list(round.skipped),
        "before": round.before,
    }


def _from_tree(tree: Mapping[str, Any]) -> Round:
    return Round(
        id=UUID(tree["id"]),
        field=UUID(tree["field"]),
        part=None if tree["part"] is None else UUID(tree["part"]),
        measures=tuple(tree["measures"]),
        stops=tuple((lat, lon) for lat, lon in tree["stops"]),
        asked=tree["asked"],
        started_at=tree["started_at"],
        since_line=tree["since_line"],
        done=tuple(tree["done"]),
        skipped=tuple(tree["skipped"]),
        before=tree.get("before", 0),
    )
