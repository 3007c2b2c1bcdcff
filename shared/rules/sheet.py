"""A rule sheet as a value: one authority's limits, each with its source, its date and how it was read.

Every key is None where the sheet says nothing. None means *not found or not stated*, never *no limit*. What
each key may hold (shape, unit, range, bases) is ``sheets/keys.toml``; ``docs/reference/rule-sheets.md`` says
what each means.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Generic, Literal, TypeVar

from shared.words.finding import SheetStanding

Force = Literal["law", "local", "own", "guidance", "proposed"]
"""Whom a value binds: the ``law`` or a ``local`` one, the farm's ``own`` word; ``guidance`` covers advice and
rules written for somebody else's trade; ``proposed`` is not in force."""

Value = float | int | bool | str | tuple[str, ...]
T_co = TypeVar("T_co", bound=Value, covariant=True)


@dataclass(frozen=True, slots=True)
class Clause(Generic[T_co]):
    """One value of a sheet. ``basis`` says in which of its senses the value is meant (empty where there is
    but one), ``to`` who is to be told, ``note`` what the value alone doesn't say. ``read_on`` is a month or a
    day."""

    key: str
    value: T_co
    unit: str
    citation: str
    read_on: str
    standing: SheetStanding
    force: Force
    basis: str = ""
    to: tuple[str, ...] = ()
    note: str = ""

    @property
    def binds(self) -> bool:
        """Whether passing the value is a verdict: it was read, and it is in force for this work."""
        return self.standing != "unconfirmed" and self.force in ("law", "local", "own")


@dataclass(frozen=True, slots=True)
class Unfound:
    """A key that was looked for and not found in the authority's text. ``note`` says where was looked."""

    key: str
    note: str
    read_on: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """One authority's rules for leaves on farm ground, or a programme's records, or the farm's own limits."""

    name: str
    title: str
    authority: str
    edition: str
    unfound: tuple[Unfound, ...] = ()

    depth_in: Clause[float] | None = None
    target_depth_in: Clause[float] | None = None
    rate_tons_per_ac: Clause[float] | None = None
    applications: Clause[int] | None = None
    applications_farm_zone: Clause[int] | None = None
    applications_other_zone: Clause[int] | None = None
    spread_within_days: Clause[int] | None = None
    work_in_within_days: Clause[int] | None = None
    work_in_by: Clause[str] | None = None
    bags_off: Clause[bool] | None = None
    litter_off: Clause[bool] | None = None
    trash_weight_pct: Clause[float] | None = None
    trash_dry_weight_pct: Clause[float] | None = None
    trash_volume_pct: Clause[float] | None = None
    grass_pct: Clause[float] | None = None
    storage_days: Clause[int] | None = None
    storage_months: Clause[int] | None = None
    storage_yd3: Clause[float] | None = None
    setback_well_ft: Clause[float] | None = None
    setback_residence_ft: Clause[float] | None = None
    setback_water_ft: Clause[float] | None = None
    setback_wetland_ft: Clause[float] | None = None
    setback_line_ft: Clause[float] | None = None
    setback_drain_ft: Clause[float] | None = None
    barred_ground: Clause[tuple[str, ...]] | None = None
    windrow_yd3_per_year: Clause[float] | None = None
    windrow_area_ac: Clause[float] | None = None
    windrow_grass_pct: Clause[float] | None = None
    windrow_line_ft: Clause[float] | None = None
    windrow_residence_ft: Clause[float] | None = None
    windrow_residence_grass_ft: Clause[float] | None = None
    notice_fields: Clause[tuple[str, ...]] | None = None
    notice_days_before: Clause[int] | None = None
    report_due: Clause[str] | None = None
    report_ratio: Clause[bool] | None = None
    retention_years: Clause[int] | None = None
    load_fields: Clause[tuple[str, ...]] | None = None
    refused_fields: Clause[tuple[str, ...]] | None = None
    found_fields: Clause[tuple[str, ...]] | None = None
    complaint_fields: Clause[tuple[str, ...]] | None = None
    activity_fields: Clause[tuple[str, ...]] | None = None
    input_fields: Clause[tuple[str, ...]] | None = None
    made_when_done: Clause[bool] | None = None
    town_approval: Clause[bool] | None = None
    prohibited_free_years: Clause[int] | None = None
    manure_touching_days: Clause[int] | None = None
    manure_clear_days: Clause[int] | None = None
    tell_at_once: Clause[tuple[str, ...]] | None = None
    load_check_pct: Clause[float] | None = None
    load_check_trucks: Clause[int] | None = None
    farmland: Clause[bool] | None = None
    crop_within_months: Clause[int] | None = None
    plan_listing: Clause[bool] | None = None
    soil_test_rate: Clause[bool] | None = None
    rate_answer_working_days: Clause[int] | None = None
    analyses: Clause[tuple[str, ...]] | None = None
    nuisance_free: Clause[bool] | None = None

    def clauses(self) -> tuple[Clause[Value], ...]:
        """Every value that the sheet states, in the order of its keys."""
        stated = (getattr(self, key) for key in SHEET_KEYS)
        return tuple(clause for clause in stated if clause is not None)


SHEET_KEYS: tuple[str, ...] = tuple(
    name
    for name in Sheet.__dataclass_fields__
    if name not in ("name", "title", "authority", "edition", "unfound")
)
"""The keys a sheet may state, in the order in which they are shown."""
