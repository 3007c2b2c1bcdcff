"""The leaves laid on a field: what was sent, drawn from piles, moved and spread, day by day, and what worked
them in.

Loads count on the field from the day they were sent there (R8); what went to a pile counts where and when it
is spread. A spreading of more yards than were ever sent counts for the rest, so that room is never told too
large.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from typing import Literal
from uuid import UUID

from shared.status.field_year import SentHere
from shared.status.holding import Holding
from shared.status.job_done import JobDone

WORKS_IN = ("work_in", "plow", "disk")
LaidFrom = Literal["load", "pile", "move", "unsent"]
NONE = Decimal(0)


@dataclass(frozen=True, slots=True)
class Laid:
    """Truck yards on a part (None: on the field as a whole) since the day ``on``. ``spread_on`` None: not yet
    spread as far as the book says. ``area_ac`` is the ground covered as somebody typed it."""

    part: UUID | None
    on: date
    spread_on: date | None
    yards_yd3: Decimal
    loads: int
    source: LaidFrom
    area_ac: Decimal | None = None

    @property
    def since(self) -> date:
        """From when the work-in clock runs: from spreading, else (to be on the early side) from arrival."""
        return self.spread_on or self.on


@dataclass(frozen=True, slots=True)
class Worked:
    """Ground worked: all of the part (of the field where no part is named) unless an area was typed."""

    on: date
    part: UUID | None
    area_ac: Decimal | None
    entry: UUID


def worked(jobs: Iterable[JobDone]) -> tuple[Worked, ...]:
    """Every job that works leaves into the ground, by day. Plowing and disking do it too."""
    found = [Worked(one.on, one.part, one.area_ac, one.id) for one in jobs if one.job in WORKS_IN]
    return tuple(sorted(found, key=lambda one: (one.on, str(one.entry))))


def laid(sent: Iterable[SentHere], jobs: Iterable[JobDone], land: Holding) -> tuple[Laid, ...]:
    """All leaves laid on a field, by day; those of a part apart from the field's."""
    done = sorted(jobs, key=lambda one: one.rank)
    spreads = [one for one in done if one.job == "spread" and not land.holds(one.to)]
    direct = [one for one in spreads if not _drawn(one, land)]
    works = worked(done)
    rows = [
        *_sent(sent, direct, works, land),
        *_from_piles(spreads, land),
        *_moved_here(done, land),
    ]
    rows += _unsent(rows, direct, works)
    return _less_moved_off(_gathered(rows), done, land)


def _drawn(job: JobDone, land: Holding) -> bool:
    return any(source in land.piles for source in job.from_ or ())


def _sent(
    sent: Iterable[SentHere], direct: Sequence[JobDone], works: Sequence[Worked], land: Holding
) -> Iterator[Laid]:
    for one in sent:
        spread = _spread_of(one, direct, works, land)
        typed = spread.area_ac if spread and one.part is None else None
        yield Laid(one.part, one.on, spread.on if spread else None, one.yards_yd3, one.loads, "load", typed)


def _spread_of(
    sent: SentHere, direct: Sequence[JobDone], works: Sequence[Worked], land: Holding
) -> JobDone | None:
    """The first spreading of that ground after it was sent, unless the ground was worked in between."""
    for job in direct:
        if job.on < sent.on or not overlaps(sent.part, job.part, land):
            continue
        between = any(sent.on <= one.on < job.on and overlaps(sent.part, one.part, land) for one in works)
        return None if between else job
    return None


def overlaps(one: UUID | None, other: UUID | None, land: Holding) -> bool:
    """Whether two parts (None: the whole field) have ground in common."""
    return one is None or other is None or bool(land.ground(one) & land.ground(other))


def _from_piles(spreads: Iterable[JobDone], land: Holding) -> Iterator[Laid]:
    for one in spreads:
        if _drawn(one, land) and one.yards_yd3 is not None and one.yards_yd3 > 0:
            typed = one.area_ac if one.part is None else None
            yield Laid(one.part, one.on, one.on, one.yards_yd3, 0, "pile", typed)


def _moved_here(jobs: Iterable[JobDone], land: Holding) -> Iterator[Laid]:
    for one in jobs:
        here = one.job == "move" and land.holds(one.to)
        within = any(land.holds(source) for source in one.from_ or ())
        if here and not within and one.yards_yd3 is not None and one.yards_yd3 > 0:
            yield Laid(land.part(one.to), one.on, None, one.yards_yd3, 0, "move")


def _unsent(rows: Sequence[Laid], direct: Sequence[JobDone], works: Sequence[Worked]) -> list[Laid]:
    """What was spread over and above all that had been sent since the ground was last worked in."""
    more: list[Laid] = []
    steps: list[tuple[date, int, object]] = [
        *((one.on, 0, one) for one in rows if one.source != "pile"),
        *((one.on, 1, one) for one in direct if one.yards_yd3),
        *((one.on, 2, one) for one in works),
    ]
    sent = spread = NONE
    for on, _, step in sorted(steps, key=lambda item: item[:2]):
        if isinstance(step, Worked):
            sent = spread = NONE
        elif isinstance(step, Laid):
            sent += step.yards_yd3
        elif isinstance(step, JobDone):
            spread += step.yards_yd3 or NONE
            if spread > sent:
                typed = step.area_ac if step.part is None else None
                more.append(Laid(step.part, on, on, spread - sent, 0, "unsent", typed))
                sent = spread
    return more


def _gathered(rows: Iterable[Laid]) -> list[Laid]:
    """Rows alike but for yards and loads as one, by day."""
    sums: dict[tuple[object, ...], Laid] = {}
    for one in rows:
        key = (one.part, one.on, one.spread_on, one.source, one.area_ac)
        so_far = sums.get(key)
        sums[key] = (
            replace(one, yards_yd3=one.yards_yd3 + so_far.yards_yd3, loads=one.loads + so_far.loads)
            if so_far
            else one
        )
    return sorted(sums.values(), key=_order)


def _order(one: Laid) -> tuple[date, str, date, str, Decimal]:
    return (one.on, str(one.part), one.since, one.source, one.area_ac or NONE)


def _less_moved_off(rows: Sequence[Laid], jobs: Iterable[JobDone], land: Holding) -> tuple[Laid, ...]:
    """What was moved off again is taken from the latest that lay there."""
    left = list(rows)
    for one in jobs:
        source = next((place for place in one.from_ or () if land.holds(place)), None)
        if one.job != "move" or source is None or land.holds(one.to) or not one.yards_yd3:
            continue
        off = max(NONE, one.yards_yd3)
        for place in range(len(left) - 1, -1, -1):
            row = left[place]
            if row.on <= one.on and overlaps(row.part, land.part(source), land):
                taken = min(off, row.yards_yd3)
                off -= taken
                left[place] = replace(row, yards_yd3=row.yards_yd3 - taken)
    return tuple(row for row in left if row.yards_yd3 > 0)
