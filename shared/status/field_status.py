"""Where a field stands: its leg, the last of each measure with its meaning, what lies on it, what was done.

A status is a pure function of the facts in force of the field and of its parts and piles (``touches`` says
which an entry has), whatever order they are fed in. It holds no day of its own: what depends on today or on
the rule sheets in force (room, dues) is made from it with those as arguments.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from dataclasses import field as made
from datetime import date, timedelta
from decimal import Decimal
from typing import Any, TypeVar
from uuid import UUID
from zoneinfo import ZoneInfo

from shared.status.fact import Fact
from shared.status.field_year import Event, FieldYear, GroundSeen, RoundWalked, SentHere, merged_rounds
from shared.status.gathering import gathered
from shared.status.holding import Holding
from shared.status.job_done import JobDone
from shared.status.laid import Laid, Worked, laid, worked
from shared.status.legs import OddStep, ladder
from shared.status.rounds import (
    CoverRound,
    DepthRound,
    FirmRound,
    WeedRound,
    cover_round,
    depth_round,
    firm_round,
    weed_round,
)
from shared.status.soil import LimeTold, lime_told
from shared.status.tree import tree_of, value_from
from shared.words.finding import Finding, in_order
from shared.words.leg import Leg

ROUNDS_KEPT = 3
"""How many of the last rounds of each measure a status tells of; all of them are in the field's years."""
KEPT_ALWAYS = ("disease", "nematode")
R = TypeVar("R")


@dataclass(frozen=True, slots=True)
class TownSent:
    """Truck yards of one town on a field since it last went into leaves, with the loads and the last day."""

    town: UUID
    loads: int
    yards_yd3: Decimal
    last_on: date


@dataclass(frozen=True, slots=True)
class Wait:
    """A day before which something must not be done, as it was typed off a label, and the entry it is
    from."""

    until: date
    entry: UUID


@dataclass(frozen=True, slots=True)
class FieldStatus:
    """``legs`` oldest first; ``part_legs`` of the parts that have a history of their own. Rounds are
    newest first. ``last_jobs`` the last of each job by its name. ``events``: of each sort the last, of
    disease and nematode all. ``lime``: as the newest soil test asks for it. ``doubtful``: entries with a
    figure that can't be believed, of which nothing here is made."""

    field: UUID
    entries: int = 0
    legs: tuple[Leg, ...] = ()
    part_legs: Mapping[UUID, tuple[Leg, ...]] = made(default_factory=dict)
    cover: tuple[CoverRound, ...] = ()
    weeds: tuple[WeedRound, ...] = ()
    firmness: tuple[FirmRound, ...] = ()
    leaf_depth: tuple[DepthRound, ...] = ()
    ground: GroundSeen | None = None
    laid: tuple[Laid, ...] = ()
    worked: tuple[Worked, ...] = ()
    towns: tuple[TownSent, ...] = ()
    last_jobs: Mapping[str, JobDone] = made(default_factory=dict)
    events: tuple[Event, ...] = ()
    plantback: Wait | None = None
    preharvest: Wait | None = None
    lime: LimeTold | None = None
    odd: tuple[OddStep, ...] = ()
    doubtful: tuple[UUID, ...] = ()

    @property
    def leg(self) -> Leg | None:
        """The leg it is in now, None before any entry has said one."""
        return self.legs[-1] if self.legs else None

    def leg_on(self, day: date) -> Leg | None:
        """The leg it was in on a day."""
        return next((one for one in reversed(self.legs) if one.starts_on <= day), None)

    def last_done(self, *jobs: str) -> JobDone | None:
        """The last of any of these jobs, None where none was done."""
        done = [self.last_jobs[job] for job in jobs if job in self.last_jobs]
        return max(done, key=lambda one: one.rank, default=None)

    def last_event(self, what: str, name: str | None = None) -> Event | None:
        """The last event of a sort (a *sample* of *soil*)."""
        those = [one for one in self.events if one.what == what and name in (None, one.name)]
        return max(those, key=lambda one: (one.on, str(one.id)), default=None)

    def findings(self) -> tuple[Finding, ...]:
        """What doesn't fit in the field's history."""
        return in_order(one.finding(str(self.field)) for one in self.odd)

    def to_tree(self) -> dict[str, Any]:
        """As JSON takes it: for the server's row and for the phone's ``standings``. ``id`` is the field's."""
        tree: dict[str, Any] = {"id": str(self.field)} | tree_of(self)
        return tree

    @staticmethod
    def from_tree(tree: Mapping[str, Any]) -> FieldStatus:
        """The status that ``to_tree`` told; unknown keys are passed over."""
        status: FieldStatus = value_from(FieldStatus, tree)
        return status


def fold(facts: Iterable[Fact], land: Holding, zone: ZoneInfo) -> FieldStatus:
    """A field's status from facts (those of other fields and struck ones are passed over), in any order."""
    return of_years(gathered(facts, land, zone).values(), land)


def of_years(years: Iterable[FieldYear], land: Holding) -> FieldStatus:
    """A field's status from its years, in any order."""
    ordered = sorted(years, key=lambda one: one.year)
    jobs = [job for one in ordered for job in one.jobs]
    sent = [each for one in ordered for each in one.sent]
    here = [job for job in jobs if not (job.job in ("move", "spread") and _only_passes(job, land))]
    legs = _ladders(ordered, here, sent, land)
    rounds = merged_rounds(each for one in ordered for each in one.rounds)
    return FieldStatus(
        field=land.field,
        entries=sum(one.entries for one in ordered),
        legs=legs[0],
        part_legs=legs[1],
        cover=_newest(cover_round, rounds),
        weeds=_newest(weed_round, rounds),
        firmness=_newest(firm_round, rounds),
        leaf_depth=_newest(depth_round, rounds),
        ground=max((one.ground for one in ordered if one.ground), key=lambda seen: seen.when, default=None),
        laid=laid(sent, jobs, land),
        worked=worked(here),
        towns=_towns(sent, legs[0]),
        last_jobs=_last_jobs(here),
        events=_events(ordered),
        plantback=_wait(here, lambda job: job.plantback_d),
        preharvest=_wait(here, lambda job: job.preharvest_d),
        lime=lime_told(ordered),
        odd=legs[2],
        doubtful=tuple(doubt for one in ordered for doubt in one.doubtful),
    )


def _only_passes(job: JobDone, land: Holding) -> bool:
    """A move that only brings leaves here or takes them off is no work of this field's."""
    return job.job == "move" and (land.holds(job.to) or any(land.holds(one) for one in job.from_ or ()))


Ladders = tuple[tuple[Leg, ...], dict[UUID, tuple[Leg, ...]], tuple[OddStep, ...]]


def _ladders(years: Iterable[FieldYear], jobs: list[JobDone], sent: list[SentHere], land: Holding) -> Ladders:
    """The field's own legs and those of parts with a history of their own. Where all that is known is by
    part, the field's legs are made from the parts together."""
    said = [each for one in years for each in one.legs]
    own = ladder(said, jobs, sent)
    named = {one.part for one in said} | {one.part for one in jobs} | {one.part for one in sent}
    parts = {part for part in named if part is not None}
    of_parts = {part: ladder(said, jobs, sent, part) for part in sorted(parts, key=str)}
    odd = {one for each in of_parts.values() for one in each.odd} | set(own.odd)
    if not own.legs and parts:
        own = ladder(
            [replace(one, part=None) for one in said],
            [replace(one, part=None) for one in jobs],
            [replace(one, part=None) for one in sent],
        )
    in_order_of_day = tuple(sorted(odd, key=lambda one: (one.on, one.code, str(one.entry))))
    return own.legs, {part: each.legs for part, each in of_parts.items() if each.legs}, in_order_of_day


def _newest(read: Callable[[RoundWalked], R | None], rounds: Iterable[RoundWalked]) -> tuple[R, ...]:
    """The last rounds that have this measure, newest first."""
    found: list[R] = []
    for walked in sorted(rounds, key=lambda one: one.last, reverse=True):
        told = read(walked)
        if told is not None:
            found.append(told)
        if len(found) == ROUNDS_KEPT:
            break
    return tuple(found)


def _towns(sent: Iterable[SentHere], legs: tuple[Leg, ...]) -> tuple[TownSent, ...]:
    leaf = next((one for one in reversed(legs) if one.leg == "leaf"), None)
    towns: dict[UUID, TownSent] = {}
    for one in sent:
        if leaf is None or one.on < leaf.starts_on:
            continue
        so_far = towns.get(one.town, TownSent(one.town, 0, Decimal(0), one.on))
        towns[one.town] = TownSent(
            one.town, so_far.loads + one.loads, so_far.yards_yd3 + one.yards_yd3, max(so_far.last_on, one.on)
        )
    return tuple(towns[town] for town in sorted(towns, key=str))


def _last_jobs(jobs: Iterable[JobDone]) -> dict[str, JobDone]:
    last: dict[str, JobDone] = {}
    for one in jobs:
        if one.job not in last or last[one.job].rank < one.rank:
            last[one.job] = one
    return dict(sorted(last.items()))


def _events(years: Iterable[FieldYear]) -> tuple[Event, ...]:
    kept: dict[tuple[str, ...], Event] = {}
    for one in (event for year in years for event in year.events):
        key = (one.what, one.name or "", str(one.id) if one.what in KEPT_ALWAYS else "")
        if key not in kept or (kept[key].on, str(kept[key].id)) < (one.on, str(one.id)):
            kept[key] = one
    return tuple(sorted(kept.values(), key=lambda one: (one.on, one.what, str(one.id))))


def _wait(jobs: Iterable[JobDone], days: Callable[[JobDone], int | None]) -> Wait | None:
    waits = [(one.on + timedelta(days=days(one) or 0), one.id) for one in jobs if days(one)]
    latest = max(waits, key=lambda one: (one[0], str(one[1])), default=None)
    return Wait(*latest) if latest else None
