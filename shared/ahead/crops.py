"""Cash crops as a plan knows them: their family, when they go in and when the last of them is off."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from shared.reckoning.rotation import diseases_of
from shared.units import Source
from shared.words.leg import Leg

CROP_DAYS = Source(
    "crop_days",
    "usual days to plant and to lift in the mid-Atlantic, common practice, no source",
    None,
    "practice",
)
FAMILY_OF: dict[str, str] = {
    "tomato": "nightshade", "pepper": "nightshade", "eggplant": "nightshade", "potato": "nightshade",
    "cabbage": "brassica", "broccoli": "brassica", "kale": "brassica", "cauliflower": "brassica",
    "squash": "cucurbit", "pumpkin": "cucurbit", "melon": "cucurbit", "cucumber": "cucurbit",
    "garlic": "allium", "onion": "allium", "leek": "allium",
    "bean": "legume", "beans": "legume", "pea": "legume", "peas": "legume",
    "beet": "beet", "beets": "beet", "chard": "beet", "spinach": "beet",
    "lettuce": "lettuce", "corn": "corn", "strawberry": "strawberry", "asparagus": "asparagus",
}  # fmt: skip
"""By the word of a crop's name that tells it (botany; *sweet corn* by *corn*, *winter squash* by *squash*)."""
SET_ON: dict[str, tuple[int, int, int]] = {"allium": (-1, 10, 12), "strawberry": (-1, 9, 1)}
OFF_ON: dict[str, tuple[int, int]] = {"allium": (7, 15), "strawberry": (6, 30), "corn": (8, 30)}
SET_FOR_NEXT_YEAR = 9
"""A cash crop that goes in from September on is lifted in the next year (``CROP_DAYS``)."""
USUAL_SET, USUAL_OFF = (0, 5, 15), (10, 31)
"""Years from the crop year, month and day; for crops that are not listed (``CROP_DAYS``)."""


@dataclass(frozen=True, slots=True)
class Crop:
    """A cash crop that may be planned. ``family`` empty where it is not known: then no interval is kept.
    ``set_on`` is years from its crop year (R11), month and day, ``off_on`` month and day. ``organic``: it may
    stand on organic ground only. ``want_ac``: acres of it a year that the grower would like, 0 for none."""

    name: str
    family: str = ""
    set_on: tuple[int, int, int] = USUAL_SET
    off_on: tuple[int, int] = USUAL_OFF
    organic: bool = False
    want_ac: float = 0.0

    def planted(self, year: int) -> date:
        """The day it goes in for a crop year."""
        before, month, day = self.set_on
        return date(year + before, month, day)

    def lifted(self, year: int) -> date:
        """The day the last of it is off."""
        return date(year, *self.off_on)

    def hosts(self, disease: str) -> bool:
        return bool(self.family) and disease in diseases_of(self.family)


def family_of(name: str) -> str:
    """A crop's family by a word of its name; empty where none tells it."""
    words = name.lower().replace("-", " ").replace("_", " ").split()
    found = (FAMILY_OF.get(word) or FAMILY_OF.get(word.removesuffix("s")) for word in words)
    return next((one for one in found if one), "")


def usual_crop(name: str, organic: bool = False, want_ac: float = 0.0) -> Crop:
    """A crop with the usual days of its family."""
    family = family_of(name)
    set_on, off_on = SET_ON.get(family, USUAL_SET), OFF_ON.get(family, USUAL_OFF)
    return Crop(name, family, set_on, off_on, organic, want_ac)


def crop_year(leg: Leg) -> int:
    """The year in which a cash leg's crop is lifted (R11)."""
    return leg.starts_on.year + (leg.starts_on.month >= SET_FOR_NEXT_YEAR)
