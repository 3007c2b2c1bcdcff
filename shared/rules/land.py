"""What the land itself must be, and what must be on file, before leaves are spread on it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date

from shared.reckoning.deadlines import months_before
from shared.rules.calendar import working_days_taken
from shared.rules.judging import check, judged
from shared.rules.sheet import Sheet
from shared.words.finding import Finding


@dataclass(frozen=True, slots=True, kw_only=True)
class LandFacts:
    """One field on the day leaves go on it. ``farm_use``: it counts as land in farm use; ``last_harvest_on``:
    the last annual crop harvested there; ``has_soil_test_rate``: a rate from a soil test is on file;
    ``analyses``: what the material was analysed for; ``town_in_plan``: the town's county plan names this
    farm. None is *not known*."""

    field: str
    on: date
    farm_use: bool | None = None
    last_harvest_on: date | None = None
    has_soil_test_rate: bool = False
    analyses: frozenset[str] = frozenset()
    town_in_plan: bool | None = None


@check
def land(sheets: Iterable[Sheet], facts: LandFacts) -> Iterator[Finding]:
    """What a sheet wants of the land or on file before spreading, and is not there. What isn't known is told
    as a reminder."""
    for sheet in sheets:
        yield from _use(sheet, facts)
        yield from _crop(sheet, facts)
        yield from _on_file(sheet, facts)


def _use(sheet: Sheet, facts: LandFacts) -> Iterator[Finding]:
    for clause, known, code, cure in (
        (sheet.farmland, facts.farm_use, "not_farmland", "ask_assessor"),
        (sheet.plan_listing, facts.town_in_plan, "not_in_plan", "ask_county"),
    ):
        if clause and clause.value and not known:
            yield judged(sheet, clause, code, facts.field, cure=cure, value=False, firm=known is False)


def _crop(sheet: Sheet, facts: LandFacts) -> Iterator[Finding]:
    clause = sheet.crop_within_months
    if clause is None:
        return
    since = months_before(facts.on, clause.value)
    if facts.last_harvest_on is None:
        yield judged(
            sheet, clause, "no_crop_on_record", facts.field, cure="other_field", firm=False, since=since
        )
    elif not since < facts.last_harvest_on <= facts.on:
        yield judged(
            sheet,
            clause,
            "crop_too_long_ago",
            facts.field,
            cure="other_field",
            value=facts.last_harvest_on,
            since=since,
        )


def _on_file(sheet: Sheet, facts: LandFacts) -> Iterator[Finding]:
    if sheet.soil_test_rate and sheet.soil_test_rate.value and not facts.has_soil_test_rate:
        yield judged(
            sheet, sheet.soil_test_rate, "no_soil_test_rate", facts.field, cure="test_soil", value=False
        )
    if sheet.analyses:
        missing = tuple(one for one in sheet.analyses.value if one not in facts.analyses)
        if missing:
            yield judged(sheet, sheet.analyses, "no_analyses", facts.field, cure="analyse", value=missing)


@dataclass(frozen=True, slots=True)
class RateRequest:
    """An authority's request for a field's rate: when it came, and when it was answered (None: not yet)."""

    field: str
    asked_on: date
    answered_on: date | None = None


@check
def rate_answered(sheets: Iterable[Sheet], request: RateRequest, today: date) -> Iterator[Finding]:
    """A request answered later than the working days that a sheet gives, or still open after them."""
    for sheet in sheets:
        clause = sheet.rate_answer_working_days
        if clause is None:
            continue
        taken = working_days_taken(request.asked_on, request.answered_on or today)
        if taken > clause.value:
            yield judged(
                sheet,
                clause,
                "rate_answer_late",
                request.field,
                cure="answer_now" if request.answered_on is None else "note_why_late",
                value=taken,
                asked_on=request.asked_on,
            )
