"""What a need is reckoned from, and how it is put down as a due."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from uuid import UUID

from shared.rules.sheet import Sheet
from shared.status.field_status import FieldStatus
from shared.status.holding import Holding
from shared.units import Figure
from shared.words.due import Due, DueJob

Told = str | int | float | Decimal | date | UUID
DECIMALS = 1
"""A due's facts travel as text, figures to one decimal."""


@dataclass(frozen=True, slots=True)
class Forecast:
    """A day that is not certain: one in ten falls before ``early``, half before ``middle``, nine in ten
    before ``late`` (None: further off than anybody looked). It is reckoned elsewhere and handed in."""

    early: date
    middle: date
    late: date | None


@dataclass(frozen=True, slots=True)
class SoilByAir:
    """About how warm bare soil is by the air of the week up to ``on``, in F: no measurement."""

    on: date
    low_f: float
    high_f: float


@dataclass(frozen=True, slots=True)
class Foresight:
    """What was reckoned for a field elsewhere, each None where nobody could: ``mow`` the day the cover is
    tall enough, ``boot`` the day it boots, ``hay`` the window of the first cut, ``soil`` its warmth by the
    air, ``frost_on`` this year's day of the earliest autumn frost in the years written down."""

    mow: Forecast | None = None
    boot: Forecast | None = None
    hay: Forecast | None = None
    soil: SoilByAir | None = None
    frost_on: date | None = None


NOTHING_FORESEEN = Foresight()


@dataclass(frozen=True, slots=True)
class FieldToday:
    """A field on a farm day with the sheets in force. ``next_season_on`` is the date that the farm set
    for working leaves in, None where it set none."""

    status: FieldStatus
    land: Holding
    sheets: Sequence[Sheet]
    today: date
    next_season_on: date | None = None
    foreseen: Foresight = NOTHING_FORESEEN

    @property
    def field(self) -> UUID:
        return self.land.field


def due(
    job: DueJob,
    why: str,
    anchor: str,
    days: tuple[date | None, date | None, date | None],
    facts: Mapping[str, Told],
    *,
    field: UUID | None = None,
    part: UUID | None = None,
    person: UUID | None = None,
) -> Due:
    """A due whose id is its job, its place and ``anchor``: what the need came from, so that it stays the
    same until that is met. ``days`` are earliest, best and last; ``why`` is told by the key
    ``dues.<job>.<why>``."""
    place = part or field or person or "farm"
    return Due(
        id=f"{job}:{place}:{anchor}",
        job=job,
        field=field,
        part=part,
        earliest=days[0],
        best=days[1],
        last=days[2],
        why=f"dues.{job}.{why}",
        facts={name: _text(value) for name, value in sorted(facts.items())},
        person=person,
    )


def _text(value: Told) -> str:
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, (float, Decimal)):
        return f"{round(value, DECIMALS):f}".rstrip("0").rstrip(".") or "0"
    return str(value)


def after(day: date, days: Figure) -> date:
    """So many days later."""
    return day + timedelta(days=int(days.value))


def before(day: date, days: Figure) -> date:
    """So many days earlier."""
    return day - timedelta(days=int(days.value))
