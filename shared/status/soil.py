"""What laboratories answered on a field's samples, joined to the day of the sample; and the lime that they ask for."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from uuid import UUID

from shared.reckoning.lime_asked import How, lime_asked
from shared.status.field_year import Answered, Bagged, FieldYear


@dataclass(frozen=True, slots=True)
class Tested:
    """A sample with its answer. ``on`` is the day of the sample, not that of the answer."""

    on: date
    bagged: Bagged
    answered: Answered


@dataclass(frozen=True, slots=True)
class LimeTold:
    """The lime that the newest soil test with a word on it asks for, tons of calcium carbonate equivalent an acre (0:
    none), how that was come by, the pH found and the pH meant (None where not told), the answer it is from."""

    on: date
    answer: UUID
    lab: str
    tons_per_ac: float
    how: How
    ph: float | None = None
    target: float | None = None


def tested(years: Iterable[FieldYear], of: str) -> tuple[Tested, ...]:
    """The answers on samples of a sort, the oldest sample first. One whose sample is not here is left out."""
    several = list(years)
    samples = {one.id: one for year in several for one in year.bagged if one.of == of}
    found = [
        Tested(samples[one.sample].on, samples[one.sample], one)
        for year in several
        for one in year.answered
        if one.sample in samples
    ]
    return tuple(sorted(found, key=lambda one: (one.on, one.answered.on, str(one.answered.id))))


def lime_told(years: Iterable[FieldYear]) -> LimeTold | None:
    """What the newest soil test that says anything of lime asks for, None where none does."""
    for one in reversed(tested(years, "soil")):
        answer = one.answered
        asked = lime_asked(answer.method, plain_figures(answer.values))
        if asked is not None:
            return LimeTold(
                one.on, answer.id, answer.lab, asked.tons_per_ac, asked.how, asked.ph, asked.target
            )
    return None


def plain_figures(values: Iterable[tuple[str, Decimal, str]]) -> tuple[tuple[str, float, str], ...]:
    return tuple((name, float(number), unit) for name, number, unit in values)
