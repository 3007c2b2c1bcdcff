"""A field's rest as a row of the report: soil figures by laboratory, told by a letter, and what is lacking."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from string import ascii_uppercase

from shared.ahead.worth import RoundsMove, SoilMove, Worth

LETTERS = ascii_uppercase
"""Laboratories are told by a letter; more than there are letters share none and stand without one."""
PLACES = {"om": 1, "ph": 1}


@dataclass(frozen=True, slots=True)
class SoilCell:
    """One laboratory's figure at both ends of the rest."""

    move: SoilMove
    letter: str
    places: int


@dataclass(frozen=True, slots=True)
class WorthRow:
    """What the table tells of a field."""

    worth: Worth
    letters: Mapping[str, str]

    def _soil(self, name: str) -> list[SoilCell]:
        places = PLACES.get(name, 0)
        return [SoilCell(one, self.letters.get(one.lab, ""), places) for one in self.worth.soil_of(name)]

    @property
    def om(self) -> list[SoilCell]:
        return self._soil("om")

    @property
    def nutrients(self) -> list[tuple[str, list[SoilCell]]]:
        """pH, phosphorus and potash, each by its laboratories."""
        return [(name, cells) for name in ("ph", "p", "k") if (cells := self._soil(name))]

    @property
    def weeds(self) -> RoundsMove | None:
        return self.worth.of("weeds")

    @property
    def firmness(self) -> RoundsMove | None:
        return self.worth.of("firmness")
