"""A due: a job that a field needs, with its earliest day, best day and last day."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Literal
from uuid import UUID

DueJob = Literal[
    "work_in",
    "mow",
    "cut_hay",
    "seed",
    "cover_round",
    "weed_round",
    "firmness_round",
    "depth_round",
    "sample_soil",
    "lime",
    "spread",
    "plant",
    "pile_check",
    "organic_end",
    "notice",
    "report",
    "paper",
    "nitrate_test",
    "answer",
    "other",
]


@dataclass(frozen=True, slots=True)
class Due:
    """``id`` stays the same for the same need, so that a job put to a person or put off can name it. ``why``
    is a key of the languages, told with ``facts``. ``last`` None: no last day, only a reason (*when moist*).
    ``part`` may be a part of the field or, without a field, a pile."""

    id: str
    job: DueJob
    field: UUID | None
    part: UUID | None
    earliest: date | None
    best: date | None
    last: date | None
    why: str
    facts: Mapping[str, str]
    person: UUID | None = None
    on: date | None = None
    place: int | None = None
