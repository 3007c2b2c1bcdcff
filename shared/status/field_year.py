"""One field's facts of one calendar year, gathered so that two gatherings merge: what a field's status is
made of.

``gathered`` of all the facts equals the merge of ``gathered`` of any parts of them, in any order, so that a
push is folded in by merging its plain new facts into the years they fall in. Where a correction, strike or
reading speaks of a fact, the field's years are gathered again from what stands. A fact must not be merged in
twice.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any
from uuid import UUID

from shared.status.fact import Order
from shared.status.job_done import JobDone
from shared.status.stops import CoverStop, DepthStop, FirmStop, WeedStop
from shared.status.tree import tree_of, value_from
from shared.words.leg import LegName

When = tuple[date, Order, str]
"""A day, within it the book order, and the id: which of two is the later."""


@dataclass(frozen=True, slots=True)
class RoundWalked:
    """The stops of one round (or of one day, for stops that belong to none), each measure's apart."""

    key: str
    last: When
    parts: tuple[UUID, ...] = ()
    cover: tuple[CoverStop, ...] = ()
    weeds: tuple[WeedStop, ...] = ()
    firmness: tuple[FirmStop, ...] = ()
    leaf_depth: tuple[DepthStop, ...] = ()


@dataclass(frozen=True, slots=True)
class SentHere:
    """Loads of a day from one town to the field or (``part``) to a part of it: truck yards less what was
    removed."""

    part: UUID | None
    on: date
    town: UUID
    loads: int
    yards_yd3: Decimal


@dataclass(frozen=True, slots=True)
class LegSaid:
    """What the desk said of a field's leg from a day on."""

    id: UUID
    leg: LegName
    starts_on: date
    order: Order
    why: str
    part: UUID | None = None
    crop: str | None = None


@dataclass(frozen=True, slots=True)
class GroundSeen:
    """The last look at the ground: wet or frozen, with its time."""

    when: When
    at: str
    body: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Event:
    """Something that is remembered of a field: an occurrence, a frost, a spade check, a sample."""

    id: UUID
    on: date
    what: str
    name: str | None = None


@dataclass(frozen=True, slots=True)
class Bagged:
    """A sample taken here: of what, and of a cover how much was cut from how large a frame."""

    id: UUID
    on: date
    of: str
    grams: Decimal | None = None
    frame_m2: Decimal | None = None


@dataclass(frozen=True, slots=True)
class Answered:
    """What a laboratory answered on a sample: (name, number, unit) each, on the day that the answer is of."""

    id: UUID
    on: date
    sample: UUID
    lab: str
    method: str
    values: tuple[tuple[str, Decimal, str], ...]


@dataclass(frozen=True, slots=True)
class FieldYear:
    """All of a field's facts in one calendar year (farm days; of a leg, the day it was said to start)."""

    year: int
    entries: int = 0
    rounds: tuple[RoundWalked, ...] = ()
    sent: tuple[SentHere, ...] = ()
    jobs: tuple[JobDone, ...] = ()
    legs: tuple[LegSaid, ...] = ()
    events: tuple[Event, ...] = ()
    ground: GroundSeen | None = None
    bagged: tuple[Bagged, ...] = ()
    answered: tuple[Answered, ...] = ()
    doubtful: tuple[UUID, ...] = ()
    """Entries with a figure that can't be believed: no mean and no sum is made of it."""

    def to_tree(self) -> dict[str, Any]:
        tree: dict[str, Any] = tree_of(self)
        return tree

    @staticmethod
    def from_tree(tree: Mapping[str, Any]) -> FieldYear:
        year: FieldYear = value_from(FieldYear, tree)
        return year

    def merged(self, other: FieldYear) -> FieldYear:
        """Both together. Raises ``ValueError`` for another year."""
        if other.year != self.year:
            raise ValueError(f"{self.year} and {other.year} are two years")
        return together((self, other))


def together(years: Sequence[FieldYear]) -> FieldYear:
    """Gatherings of one year (one or more) as one."""
    if len(years) == 1:
        return years[0]
    return FieldYear(
        year=years[0].year,
        entries=sum(one.entries for one in years),
        rounds=merged_rounds(round_ for one in years for round_ in one.rounds),
        sent=_merged_sent(sent for one in years for sent in one.sent),
        jobs=_by_id(job for one in years for job in one.jobs),
        legs=_by_id(leg for one in years for leg in one.legs),
        events=tuple(sorted((event for one in years for event in one.events), key=_event_order)),
        ground=max((one.ground for one in years if one.ground), key=lambda seen: seen.when, default=None),
        bagged=_by_id(each for one in years for each in one.bagged),
        answered=_by_id(each for one in years for each in one.answered),
        doubtful=tuple(sorted((doubt for one in years for doubt in one.doubtful), key=str)),
    )


def _event_order(event: Event) -> tuple[date, str, str]:
    return (event.on, str(event.id), event.what)


def _by_id(values: Iterable[Any]) -> tuple[Any, ...]:
    return tuple(sorted(values, key=lambda one: str(one.id)))


def merged_rounds(rounds: Iterable[RoundWalked]) -> tuple[RoundWalked, ...]:
    """Each round once, its stops in one order whatever they were gathered in."""
    by_key: dict[str, list[RoundWalked]] = defaultdict(list)
    for one in rounds:
        by_key[one.key].append(one)
    return tuple(those[0] if len(those) == 1 else _one_round(those) for _, those in sorted(by_key.items()))


def _one_round(those: list[RoundWalked]) -> RoundWalked:
    return RoundWalked(
        key=those[0].key,
        last=max(one.last for one in those),
        parts=tuple(sorted({part for one in those for part in one.parts}, key=str)),
        cover=_in_order(stop for one in those for stop in one.cover),
        weeds=_in_order(stop for one in those for stop in one.weeds),
        firmness=_in_order(stop for one in those for stop in one.firmness),
        leaf_depth=_in_order(stop for one in those for stop in one.leaf_depth),
    )


def _in_order(stops: Iterable[Any]) -> tuple[Any, ...]:
    return tuple(sorted(stops, key=lambda stop: (stop.stop or 0, repr(stop))))


def _merged_sent(sent: Iterable[SentHere]) -> tuple[SentHere, ...]:
    sums: dict[tuple[UUID | None, date, UUID], tuple[int, Decimal]] = {}
    for one in sent:
        loads, yards = sums.get((one.part, one.on, one.town), (0, Decimal(0)))
        sums[one.part, one.on, one.town] = (loads + one.loads, yards + one.yards_yd3)
    ordered = sorted(sums.items(), key=lambda item: (item[0][1], str(item[0][0]), str(item[0][2])))
    return tuple(SentHere(*key, loads, yards) for key, (loads, yards) in ordered)
