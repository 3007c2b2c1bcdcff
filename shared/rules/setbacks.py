"""Distances kept from wells, houses, water, wetlands, lines and drains."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Literal, get_args

from shared.reckoning.computation import Input
from shared.rules.judging import check, judged
from shared.rules.sheet import Clause, Sheet
from shared.words.finding import Finding

Feature = Literal["well", "residence", "water", "wetland", "line", "drain"]
FEATURES: tuple[Feature, ...] = get_args(Feature)

_DISTANCE = Input("distance_ft", unit="ft", low=0)


@dataclass(frozen=True, slots=True)
class Reach:
    """How near something came: a stop, a load, a spreading or a planned edge, and the nearest feature of a
    kind.

    ``off_by_ft`` is how far the position may be wrong (0 for drawn ground): a distance short by less than
    that is a reminder. Raises ``OutOfRange`` for a distance below 0.
    """

    subject: str
    feature: Feature
    distance_ft: float
    off_by_ft: float = 0

    def __post_init__(self) -> None:
        _DISTANCE.check(self.distance_ft)
        _DISTANCE.check(self.off_by_ft)


@check
def setbacks(sheets: Iterable[Sheet], reaches: Iterable[Reach]) -> Iterator[Finding]:
    """Everything nearer to a feature than a sheet allows."""
    near = tuple(reaches)
    for sheet in sheets:
        for reach in near:
            clause = setback(sheet, reach.feature)
            if clause and reach.distance_ft < clause.value:
                yield judged(
                    sheet,
                    clause,
                    f"too_near_{reach.feature}",
                    reach.subject,
                    cure="keep_back",
                    value=reach.distance_ft,
                    firm=reach.distance_ft + reach.off_by_ft < clause.value,
                )


def setback(sheet: Sheet, feature: Feature) -> Clause[float] | None:
    """What a sheet says of one kind of feature, None where nothing."""
    clause: Clause[float] | None = getattr(sheet, f"setback_{feature}_ft")
    return clause


def widest_setback_ft(sheets: Iterable[Sheet], feature: Feature) -> float | None:
    """The widest distance in feet that any sheet sets for a feature, None where none does. What is advice or
    unconfirmed counts too: a buffer is drawn before anybody has asked."""
    return max((one.value for sheet in sheets if (one := setback(sheet, feature))), default=None)
