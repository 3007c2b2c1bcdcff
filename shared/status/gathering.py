"""Facts in force gathered into a field's years."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator
from dataclasses import fields, replace
from datetime import date
from decimal import Decimal
from typing import Any
from zoneinfo import ZoneInfo

from shared.status.fact import Fact
from shared.status.field_year import (
    Answered,
    Bagged,
    Event,
    FieldYear,
    GroundSeen,
    LegSaid,
    RoundWalked,
    SentHere,
    When,
    together,
)
from shared.status.holding import Holding
from shared.status.job_done import job_done
from shared.status.stops import cover_stop, depth_stop, firm_stop, round_key, weed_stop
from shared.words.bodies.desk import LegChange
from shared.words.bodies.gate import Load
from shared.words.bodies.laboratory import Result, Sample
from shared.words.bodies.told import Occurrence
from shared.words.bodies.walked import Cover, Firmness, Ground, LeafDepth, Spade, Weeds
from shared.words.bodies.work import Work
from shared.words.span import outside

MOST_LOAD_YD3 = Decimal(10_000)
"""More than any truck holds (the span of a load's yards): such a figure is doubtful."""

EXACT = Decimal("0.000000001")
"""As fine as a decimal travels; a share kept finer would make a sum depend on the order of adding."""


def gathered(facts: Iterable[Fact], land: Holding, zone: ZoneInfo) -> dict[int, FieldYear]:
    """A field's years from facts in force, by year. Facts of other fields, struck ones and ones without a
    day are passed over; a fact that is fed twice counts once."""
    years: dict[int, list[FieldYear]] = defaultdict(list)
    for fact in {one.id: one for one in facts if not one.struck}.values():
        on = fact.day(zone)
        if on is not None:
            for year in _told(fact, on, land):
                years[year.year].append(year)
    return {number: together(those) for number, those in sorted(years.items())}


def merged_years(ours: dict[int, FieldYear], theirs: dict[int, FieldYear]) -> dict[int, FieldYear]:
    """Two gatherings of a field, of different facts, as one."""
    both = sorted({*ours, *theirs})
    return {number: together([one[number] for one in (ours, theirs) if number in one]) for number in both}


def _told(fact: Fact, on: date, land: Holding) -> Iterator[FieldYear]:
    """What one fact tells of the field: nothing, or a year with it alone."""
    if isinstance(fact.body, Load):
        yield from _load(fact, fact.body, on, land)
        return
    if not (land.holds(fact.field) or land.holds(fact.part)):
        if isinstance(fact.body, Work) and _moves_here(fact.body, land):
            yield _work(fact, fact.body, on, land)
        return
    tell = _TELLERS.get(type(fact.body))
    if type(fact.body) in _MEASURED and outside(fact.body):
        yield FieldYear(on.year, 1, doubtful=(fact.id,))
    elif tell is not None:
        yield tell(fact, fact.body, on, land)
    else:
        yield FieldYear(on.year, 1)


def _moves_here(body: Work, land: Holding) -> bool:
    return land.holds(body.to) or any(land.holds(source) for source in body.from_ or ())


def _load(fact: Fact, body: Load, on: date, land: Holding) -> Iterator[FieldYear]:
    """What of a load came to this field: its share of the truck less its share of what was taken off
    again."""
    if not body.is_taken:
        return
    total = sum((yards for _, yards in body.to), Decimal(0))
    removed = body.removed_yd3 or Decimal(0)
    here = [(place, yards) for place, yards in body.to if land.holds(place)]
    for count, (place, yards) in enumerate(here):
        first = int(count == 0)
        if not 0 <= yards <= MOST_LOAD_YD3 or not 0 <= removed <= MOST_LOAD_YD3:
            yield FieldYear(on.year, first, doubtful=(fact.id,))
            continue
        off = (removed * yards / total).quantize(EXACT) if total > 0 else Decimal(0)
        share = max(Decimal(0), yards - off)
        sent = SentHere(land.part(place), on, body.town, first, share)
        yield FieldYear(on.year, first, sent=(sent,))


def _round(fact: Fact, on: date, land: Holding, **stops: tuple[Any, ...]) -> FieldYear:
    part = land.part(fact.part)
    walked = RoundWalked(
        key=round_key(fact.round, on),
        last=_when(fact, on),
        parts=(part,) if part is not None else (),
        **stops,
    )
    return FieldYear(on.year, 1, rounds=(walked,))


def _when(fact: Fact, on: date) -> When:
    return (on, fact.order, str(fact.id))


def _cover(fact: Fact, body: Cover, on: date, land: Holding) -> FieldYear:
    year = _round(fact, on, land, cover=(cover_stop(fact.stop, body),))
    frost = body.frost if body.frost in ("light", "killing") else None
    return (
        together((year, FieldYear(on.year, 0, events=(Event(fact.id, on, "frost", frost),))))
        if frost
        else year
    )


def _weeds(fact: Fact, body: Weeds, on: date, land: Holding) -> FieldYear:
    return _round(fact, on, land, weeds=(weed_stop(fact.stop, body),))


def _firmness(fact: Fact, body: Firmness, on: date, land: Holding) -> FieldYear:
    return _round(fact, on, land, firmness=(firm_stop(fact.stop, body),))


def _leaf_depth(fact: Fact, body: LeafDepth, on: date, land: Holding) -> FieldYear:
    return _round(fact, on, land, leaf_depth=(depth_stop(fact.stop, body),))


def _ground(fact: Fact, body: Ground, on: date, land: Holding) -> FieldYear:
    told = {one.name: getattr(body, one.name) for one in fields(body)}
    said = {name: _said(value) for name, value in told.items() if value is not None}
    return FieldYear(on.year, 1, ground=GroundSeen(_when(fact, on), fact.moment().text, said))


def _said(value: object) -> str:
    return ("true" if value else "false") if isinstance(value, bool) else str(value)


def _work(fact: Fact, body: Work, on: date, land: Holding) -> FieldYear:
    """The job counts, a figure of it that can't be believed does not."""
    wrong = {one.key: None for one in outside(body)}
    sober: Work = replace(body, **wrong) if wrong else body  # type: ignore[arg-type]
    part = land.part(body.to) if not land.holds(fact.field) and not land.holds(fact.part) else fact.part
    job = job_done(fact, sober, on, land.part(part))
    return FieldYear(on.year, 1, jobs=(job,), doubtful=(fact.id,) if wrong else ())


def _leg(fact: Fact, body: LegChange, on: date, land: Holding) -> FieldYear:
    said = LegSaid(fact.id, body.leg, body.starts_on, fact.order, body.why, land.part(fact.part), body.crop)
    return FieldYear(body.starts_on.year, 1, legs=(said,))


def _spade(fact: Fact, body: Spade, on: date, land: Holding) -> FieldYear:
    return FieldYear(on.year, 1, events=(Event(fact.id, on, "spade", body.structure),))


def _sample(fact: Fact, body: Sample, on: date, land: Holding) -> FieldYear:
    bagged = Bagged(fact.id, on, body.of, body.grams, body.frame_m2)
    return FieldYear(on.year, 1, events=(Event(fact.id, on, "sample", body.of),), bagged=(bagged,))


def _result(fact: Fact, body: Result, on: date, land: Holding) -> FieldYear:
    answered = Answered(fact.id, on, body.sample, body.lab, body.method, body.values)
    return FieldYear(on.year, 1, answered=(answered,))


def _occurrence(fact: Fact, body: Occurrence, on: date, land: Holding) -> FieldYear:
    return FieldYear(on.year, 1, events=(Event(fact.id, on, body.what, body.name),))


_TELLERS: dict[type, Callable[..., FieldYear]] = {
    Cover: _cover,
    Weeds: _weeds,
    Firmness: _firmness,
    LeafDepth: _leaf_depth,
    Ground: _ground,
    Work: _work,
    LegChange: _leg,
    Spade: _spade,
    Sample: _sample,
    Result: _result,
    Occurrence: _occurrence,
}
_MEASURED = (Cover, Weeds, Firmness, LeafDepth)
