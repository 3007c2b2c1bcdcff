"""The span in which a figure that somebody types is believable. Outside it the phone refuses the key in the
person's language; on the server such an entry is kept and stands as unusual at the evening reading."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal


@dataclass(frozen=True, slots=True)
class Span:
    """From ``low`` to ``high``, both included, in ``unit``. Common practice, no source."""

    low: Decimal
    high: Decimal
    unit: str

    def holds(self, value: Decimal | int) -> bool:
        return self.low <= value <= self.high


def span(low: str, high: str, unit: str = "") -> Span:
    return Span(Decimal(low), Decimal(high), unit)
