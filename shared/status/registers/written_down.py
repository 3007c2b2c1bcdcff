"""Registers that print one line for each entry of some kinds: leaves spread and their depth, field history and
inputs, amendments, sprays, rotation, occurrences.

After 7 CFR 205.103 and 205.2 (what was applied to a field, and when), 21 CFR 112.161 (values, place, date and time,
who), 7 CFR 205.205 (rotation) and OAC 3745-560-04(A) (what happened on a day), all as read in 2026. The columns of
*Sprays* are those commonly kept off the label: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, time
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from shared.status.fact import Fact
from shared.status.registers.leaf_intake import STRUCK, change_of, time_of
from shared.status.registers.register import Cell, Choice, Register, Word
from shared.words.bodies import Body
from shared.words.bodies.work import Work

FIRST = ("number", "on", "at", "place")
LAST = ("by", "done_by", "change", "change_why", "initialled_by", "sheets")


@dataclass(frozen=True, slots=True)
class FactRow:
    """One entry as a line. ``cells`` are what its body says by column; ``place`` the field or part (None: none);
    ``was`` the line that a correction replaced."""

    entry: UUID
    number: int | None
    on: date | None
    at: time | None
    place: UUID | None
    by: UUID
    done_by: UUID | str | None
    change: Word | None
    change_why: str
    initialled_by: UUID | None
    sheets: tuple[str, ...]
    cells: Mapping[str, Cell] = field(default_factory=dict)
    was: FactRow | None = None

    @property
    def struck(self) -> bool:
        return self.change == STRUCK


@dataclass(frozen=True, slots=True)
class WrittenDown:
    """A register of entries. ``kinds`` are those that it prints; ``jobs`` which work (empty: all of it); ``said``
    the columns that their bodies say, each by the attribute of the same name."""

    register: Register
    kinds: tuple[str, ...]
    jobs: frozenset[str]
    said: tuple[str, ...]

    def prints(self, body: Body) -> bool:
        return not (isinstance(body, Work) and self.jobs) or (
            isinstance(body, Work) and body.job in self.jobs
        )


def _register(name: str, kinds: Sequence[str], jobs: Iterable[str], said: Sequence[str]) -> WrittenDown:
    columns = (*FIRST, *said, *LAST)
    return WrittenDown(Register(name, columns), tuple(kinds), frozenset(jobs), tuple(said))


LEAVES_LAID = _register(
    "leaves_laid",
    ("work", "leaf_depth"),
    ("spread", "move", "work_in", "pick_trash"),
    (
        *("job", "depth_in", "layer", "stop", "area_ac", "loads", "yards_yd3", "passes", "from_"),
        *("machine", "bags_off"),
    ),
)
FIELD_HISTORY = _register(
    "field_history",
    ("work",),
    (),
    (
        *("job", "area_ac", "crop", "variety", "seed_lb_per_ac", "seed_lot", "seed_status", "material"),
        *("material_lb_per_ac", "product_amount", "product_unit", "epa_number", "yards_yd3", "bales", "lot"),
        *("machine",),
    ),
)
AMENDMENTS = _register(
    "amendments",
    ("work",),
    ("lime", "fertilize", "manure", "compost"),
    (
        *("job", "area_ac", "material", "material_lb_per_ac", "n_pct", "p2o5_pct", "k2o_pct", "cce_pct"),
        *("yards_yd3", "lot", "machine", "applicator"),
    ),
)
SPRAYS = _register(
    "sprays",
    ("work",),
    ("spray", "kill"),
    (
        *("job", "crop", "area_ac", "material", "epa_number", "product_amount", "product_unit", "applicator"),
        *("reentry_h", "preharvest_d", "plantback_d", "machine"),
    ),
)
ROTATION = _register("rotation", ("leg",), (), ("starts_on", "leg", "crop", "why"))
OCCURRENCES = _register(
    "occurrences",
    ("occurrence",),
    (),
    ("what", "name", "temp_f", "trash_lb", "residue_to", "action", "cure_by"),
)
WRITTEN_DOWN: dict[str, WrittenDown] = {
    one.register.name: one for one in (LEAVES_LAID, FIELD_HISTORY, AMENDMENTS, SPRAYS, ROTATION, OCCURRENCES)
}
CHOSEN = frozenset(("job", "layer", "seed_status", "leg", "what"))
"""Columns that a closed list fills."""


def written_down(one: WrittenDown, facts: Iterable[Fact], zone: ZoneInfo) -> tuple[FactRow, ...]:
    """The lines of all facts that the register prints, struck ones too, by day and time."""
    once = {fact.id: fact for fact in facts if fact.kind in one.kinds}.values()
    rows = [_row(one, fact, zone) for fact in once if _is_printed(one, fact)]
    return tuple(sorted(rows, key=_order))


def _is_printed(one: WrittenDown, fact: Fact) -> bool:
    """A correction may have made it another job: it stays where its first words stood, ruled through."""
    return one.prints(fact.body) or (fact.before is not None and one.prints(fact.before))


def _order(row: FactRow) -> tuple[date, time, int, str]:
    number = 2**62 if row.number is None else row.number
    return (row.on or date.min, row.at or time.min, number, str(row.entry))


def _row(one: WrittenDown, fact: Fact, zone: ZoneInfo) -> FactRow:
    was = None if fact.before is None else _line(one, fact, fact.before, zone, None)
    return _line(one, fact, fact.body, zone, was)


def _line(one: WrittenDown, fact: Fact, body: Body, zone: ZoneInfo, was: FactRow | None) -> FactRow:
    change, why = change_of(fact)
    return FactRow(
        entry=fact.id,
        number=fact.number,
        on=fact.day(zone),
        at=time_of(fact, zone),
        place=fact.part or fact.field,
        by=fact.by,
        done_by=fact.done_by,
        change=change,
        change_why=why,
        initialled_by=fact.initialled_by,
        sheets=fact.sheets,
        cells={key: _cell(key, body, fact) for key in one.said},
        was=was,
    )


def _cell(key: str, body: Body, fact: Fact) -> Cell:
    if key == "stop":
        return fact.stop
    value: Any = getattr(body, key, None)
    if key == "job" and value is None:
        return Choice(fact.kind, "kind")
    if key in CHOSEN and value == "other":
        return getattr(body, "other_text", None) or Choice("other")
    if key in CHOSEN and value is not None:
        return Choice(value)
    if isinstance(value, bool):
        return Choice("yes" if value else "no", "word")
    cell: Cell = value
    return cell
