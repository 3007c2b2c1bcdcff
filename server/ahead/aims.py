"""What is wanted of each year, in acres: of the whole farm, or of a block of its fields."""

from __future__ import annotations

from dataclasses import dataclass

from shared.ahead.wishes import Ground, Wishes


@dataclass(frozen=True, slots=True)
class Aims:
    """The acres wanted of a year, or that it may have at the most (None: not limited). A block of fields has its
    own."""

    cash: float
    near: float
    band: float
    hay: float
    leaf: float | None
    organic_leaf: float | None
    crops: dict[str, float]


def aims_of(grounds: tuple[Ground, ...], wishes: Wishes) -> dict[int, Aims]:
    """What the wishes say of each year."""
    leaf = None if wishes.yards is None else wishes.yards / wishes.yards_per_ac
    organic = None if wishes.organic_yards is None else wishes.organic_yards / wishes.yards_per_ac
    crops = {one.name: one.want_ac for one in wishes.crops}
    return {
        year: Aims(
            wishes.target_ac(grounds, year),
            wishes.near_ac(grounds, year),
            wishes.band_ac(grounds, year),
            wishes.hay_ac,
            leaf,
            organic,
            crops,
        )
        for year in wishes.years
    }
