"""Rows of a linear model as they are gathered, and the arrays that the solver takes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

import numpy as np
from scipy.optimize import LinearConstraint
from scipy.sparse import csr_array


@dataclass(slots=True)
class Rows:
    """Each row is low <= a·x <= high and belongs to a wish; one without a wish always holds."""

    wishes: list[str] = field(default_factory=list)
    low: list[float] = field(default_factory=list)
    high: list[float] = field(default_factory=list)
    _row: list[int] = field(default_factory=list)
    _column: list[int] = field(default_factory=list)
    _value: list[float] = field(default_factory=list)

    def add(self, wish: str, terms: Mapping[int, float], low: float, high: float) -> None:
        place = len(self.wishes)
        self.wishes.append(wish)
        self.low.append(low)
        self.high.append(high)
        self._row.extend([place] * len(terms))
        self._column.extend(terms.keys())
        self._value.extend(terms.values())

    def at_most(self, wish: str, columns: Iterable[int], high: float) -> None:
        self.add(wish, dict.fromkeys(columns, 1.0), -np.inf, high)

    def constraint(self, columns: int, without: frozenset[str] = frozenset()) -> LinearConstraint:
        """All rows but those of the wishes left out."""
        whole = csr_array((self._value, (self._row, self._column)), shape=(len(self.wishes), columns))
        kept = np.array([one not in without for one in self.wishes], dtype=bool)
        return LinearConstraint(whole[kept], np.array(self.low)[kept], np.array(self.high)[kept])
