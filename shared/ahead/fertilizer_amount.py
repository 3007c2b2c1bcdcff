"""Pounds of a nutrient as a range, and the three nutrients that a bag is sold by."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import fsum, isfinite
from typing import Literal, get_args

Nutrient = Literal["N", "P2O5", "K2O"]
NUTRIENTS: tuple[Nutrient, ...] = get_args(Nutrient)


@dataclass(frozen=True, slots=True)
class Amount:
    """From ``low`` to ``high``, in the unit that its holder names (lb an acre, lb of a field, money). Raises
    ``ValueError`` where the ends are crossed or no numbers."""

    low: float
    high: float

    def __post_init__(self) -> None:
        if not (isfinite(self.low) and isfinite(self.high) and self.low <= self.high):
            raise ValueError(f"{self.low} to {self.high} is no range")

    @property
    def sure(self) -> bool:
        """Whether it is one figure and no range."""
        return self.low == self.high

    def __add__(self, other: Amount) -> Amount:
        return Amount(self.low + other.low, self.high + other.high)

    def __sub__(self, other: Amount) -> Amount:
        return Amount(self.low - other.high, self.high - other.low)

    def times(self, factor: float) -> Amount:
        """Scaled by a factor of 0 or more, as from an acre to a field."""
        return Amount(self.low * factor, self.high * factor)

    def not_under_0(self) -> Amount:
        return Amount(max(0.0, self.low), max(0.0, self.high))


NONE = Amount(0.0, 0.0)
Pounds = Mapping[Nutrient, Amount]


def exactly(value: float) -> Amount:
    return Amount(value, value)


def summed(amounts: Iterable[Amount]) -> Amount:
    """All of them together; 0 where there are none."""
    several = list(amounts)
    return Amount(fsum(one.low for one in several), fsum(one.high for one in several))
