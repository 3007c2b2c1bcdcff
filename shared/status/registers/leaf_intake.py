"""*Leaf intake and spreading* and *Turned-back loads*: every load that came to the gate, one row for each
place it went.

After N.J.A.C. 7:26A-3.17(a) (date, material, municipality, amount) and OAC 3745-560-04(A)(7) (refused loads:
date and time, plate, hauler, reason), both as read in 2026; the farm's own columns beside them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, time
from decimal import Decimal
from uuid import UUID
from zoneinfo import ZoneInfo

from shared.status.fact import Fact
from shared.status.leaf_room import work_in_clocks
from shared.status.registers.register import Ground, Register, Word, words
from shared.words.bodies.gate import Load
from shared.words.moment import in_zone

LEAF_INTAKE = Register(
    "leaf_intake",
    (
        "number",
        "on",
        "at",
        "ticket",
        "slip",
        "town",
        "hauler",
        "truck",
        "carried_yd3",
        "yards_yd3",
        "packing",
        "bags",
        "trash",
        "trash_items",
        "outcome",
        "reason",
        "to",
        "spread_on",
        "worked_in_on",
        "by",
        "change",
        "change_why",
        "initialled_by",
        "sheets",
    ),
)
TURNED_BACK = Register(
    "turned_back",
    (
        "number",
        "on",
        "at",
        "ticket",
        "town",
        "hauler",
        "truck",
        "plate",
        "driver",
        "carried_yd3",
        "trash",
        "trash_items",
        "reason",
        "residue_to",
        "photos",
        "again_of",
        "by",
        "change",
        "change_why",
        "initialled_by",
        "sheets",
    ),
)


@dataclass(frozen=True, slots=True)
class LoadRow:
    """One load, or its share for one place. ``carried_yd3`` is what was on the truck, ``yards_yd3`` what
    went to ``to`` (a field, part or pile; None for a load turned back, of 0 yards). ``change`` is
    *struck*, *corrected*, *from_paper* or None; ``was`` the row that a correction replaced. Yards are
    truck yards."""

    entry: UUID
    number: int | None
    on: date | None
    at: time | None
    ticket: str
    slip: str | None
    town: UUID
    hauler: UUID | None
    truck: UUID | str | None
    plate: str | None
    driver: str | None
    carried_yd3: Decimal
    yards_yd3: Decimal
    packing: Word
    bags: Word
    trash: Word
    trash_items: tuple[Word, ...]
    outcome: Word
    reason: str | None
    residue_to: str | None
    again_of: UUID | None
    to: UUID | None
    spread_on: date | None
    worked_in_on: date | None
    photos: int
    by: UUID
    change: Word | None
    change_why: str
    initialled_by: UUID | None
    sheets: tuple[str, ...]
    was: LoadRow | None = None

    @property
    def struck(self) -> bool:
        return self.change == STRUCK


Days = dict[tuple[UUID | None, date | None], tuple[date | None, date | None]]
STRUCK, CORRECTED, FROM_PAPER = Word("struck"), Word("corrected"), Word("from_paper")


def leaf_intake(facts: Iterable[Fact], fields: Sequence[Ground], zone: ZoneInfo) -> tuple[LoadRow, ...]:
    """The rows of all loads among the facts, struck ones too, by day and time. ``fields`` are those that
    loads went to, for the days on which they were spread and worked in."""
    days = _days(fields)
    found = [row for fact in _once(facts) for row in _rows(fact, days, zone)]
    return tuple(sorted(found, key=_order))


def turned_back(facts: Iterable[Fact], zone: ZoneInfo) -> tuple[LoadRow, ...]:
    """The rows of the loads that were turned back, struck ones too, by day and time."""
    return tuple(row for row in leaf_intake(facts, (), zone) if row.outcome.word == "turned_back")


def _once(facts: Iterable[Fact]) -> Iterable[Fact]:
    return {fact.id: fact for fact in facts}.values()


def _order(row: LoadRow) -> tuple[date, time, int, str, str]:
    never = 2**62
    number = never if row.number is None else row.number
    return (row.on or date.min, row.at or time.min, number, str(row.entry), str(row.to))


def _rows(fact: Fact, days: Days, zone: ZoneInfo) -> Iterator[LoadRow]:
    if not isinstance(fact.body, Load):
        return
    shares = _shares(fact.body)
    before = _shares(fact.before) if isinstance(fact.before, Load) else ()
    for place, (to, yards) in enumerate(shares):
        was = None
        if isinstance(fact.before, Load):
            to_before, yards_before = before[min(place, len(before) - 1)]
            was = _row(fact, fact.before, to_before, yards_before, days, zone, None)
        yield _row(fact, fact.body, to, yards, days, zone, was)


def _shares(load: Load) -> Sequence[tuple[UUID | None, Decimal]]:
    return load.to or ((None, Decimal(0)),)


def _row(
    fact: Fact,
    load: Load,
    to: UUID | None,
    yards: Decimal,
    days: Days,
    zone: ZoneInfo,
    was: LoadRow | None,
) -> LoadRow:
    on = fact.day(zone)
    spread_on, worked_in_on = days.get((to, on), (None, None))
    change, why = change_of(fact)
    return LoadRow(
        entry=fact.id,
        number=fact.number,
        on=on,
        at=time_of(fact, zone),
        ticket=load.ticket,
        slip=load.slip,
        town=load.town,
        hauler=load.hauler,
        truck=load.vehicle or load.plate,
        plate=load.plate,
        driver=load.driver,
        carried_yd3=load.carried_yd3,
        yards_yd3=yards,
        packing=Word(load.packing),
        bags=Word(f"bags_{load.bags}"),
        trash=Word(f"trash_{load.trash}"),
        trash_items=words(load.trash_items),
        outcome=Word(load.outcome),
        reason=load.reason,
        residue_to=load.residue_to,
        again_of=load.again_of,
        to=to,
        spread_on=spread_on,
        worked_in_on=worked_in_on,
        photos=len(fact.photos),
        by=fact.by,
        change=change,
        change_why=why,
        initialled_by=fact.initialled_by,
        sheets=fact.sheets,
        was=was,
    )


def change_of(fact: Fact) -> tuple[Word | None, str]:
    """What became of an entry, and why: *struck*, *corrected*, *from_paper*, or nothing."""
    if fact.struck:
        return STRUCK, fact.struck_why
    if fact.corrected_by is not None:
        return CORRECTED, fact.corrected_why
    return (FROM_PAPER, "") if fact.from_paper else (None, "")


def time_of(fact: Fact, zone: ZoneInfo) -> time | None:
    """The farm-local time; None where only a day was given."""
    utc = fact.moment().utc if not isinstance(fact.done_at, date) else None
    return in_zone(utc, zone).time().replace(microsecond=0) if utc else None


def _days(fields: Sequence[Ground]) -> Days:
    """For each place and day of arrival: when those leaves were spread, and when they were worked in."""
    days: Days = {}
    for ground in fields:
        runs = work_in_clocks(ground.status, ground.land)
        stops = {(spread.part, spread.on): run.worked_on for run in runs for spread in run.spreads}
        for one in ground.status.laid:
            place = one.part or ground.land.field
            if one.source == "load":
                days[place, one.on] = (one.spread_on, stops.get((str(place), one.since)))
    return days
