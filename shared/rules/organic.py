"""Organic ground: which towns' leaves may come, when it may be harvested, and what else the sheet wants."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date

from shared.reckoning.deadlines import joined_prohibited, years_after
from shared.rules.judging import check, judged
from shared.rules.sheet import Clause, Sheet
from shared.words.finding import Finding


@dataclass(frozen=True, slots=True)
class TownToGround:
    """A town's load on its way to ground: whether that ground is organic, and since when the certifier has
    approved the town (None: not). ``on`` is the day."""

    town: str
    to: str
    is_organic: bool
    approved_on: date | None
    on: date


@check
def town_approval(sheets: Iterable[Sheet], load: TownToGround) -> Iterator[Finding]:
    """Leaves for organic ground from a town that the certifier has not approved by that day: stop at the
    gate."""
    if not load.is_organic:
        return
    for sheet in sheets:
        clause = sheet.town_approval
        unapproved = load.approved_on is None or load.approved_on > load.on
        if clause and clause.value and unapproved:
            yield judged(
                sheet,
                clause,
                "town_not_approved",
                load.town,
                cure="other_field_or_ask",
                value=False,
                to=(load.to,),
            )


@dataclass(frozen=True, slots=True)
class OrganicHarvest:
    """A harvest sold as organic from one part. ``prohibited_on`` are the days of any prohibited substance on
    it or on ground joined to it, drift and treated seed among them: the latest decides (ruling R13)."""

    part: str
    harvest_on: date
    prohibited_on: tuple[date, ...]


@check
def organic_harvest(sheets: Iterable[Sheet], facts: OrganicHarvest) -> Iterator[Finding]:
    """A harvest before the full years since the last prohibited substance are over."""
    last = joined_prohibited(facts.prohibited_on)
    if last is None:
        return
    for sheet in sheets:
        clause = sheet.prohibited_free_years
        if clause is None:
            continue
        harvest_from = years_after(last, clause.value)
        if facts.harvest_on < harvest_from:
            yield judged(
                sheet,
                clause,
                "harvest_too_early",
                facts.part,
                cure="not_as_organic",
                value=facts.harvest_on,
                limit=harvest_from,
                years=clause.value,
                prohibited_on=last,
            )


@dataclass(frozen=True, slots=True)
class ManureHarvest:
    """A harvest from ground with raw manure. ``worked_in_on`` is the day it was worked in, None where it was
    not: then no day of harvest can be told (ruling R13). ``touches_soil``: the edible part touches the
    soil."""

    part: str
    harvest_on: date
    worked_in_on: date | None
    touches_soil: bool


@check
def manure_harvest(sheets: Iterable[Sheet], facts: ManureHarvest) -> Iterator[Finding]:
    """A harvest sooner after raw manure was worked in than a sheet allows, or with the manure never worked
    in."""
    for sheet in sheets:
        clause = _manure_clause(sheet, facts)
        if clause is None:
            continue
        if facts.worked_in_on is None:
            yield judged(sheet, clause, "manure_not_worked_in", facts.part, cure="work_manure_in")
            continue
        waited = (facts.harvest_on - facts.worked_in_on).days
        if waited < clause.value:
            yield judged(
                sheet, clause, "manure_too_near_harvest", facts.part, cure="harvest_later", value=waited
            )


def _manure_clause(sheet: Sheet, facts: ManureHarvest) -> Clause[int] | None:
    return sheet.manure_touching_days if facts.touches_soil else sheet.manure_clear_days
