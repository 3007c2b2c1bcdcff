"""What the grower types, each row with its source: rates by crop and soil level, the words of a laboratory's
levels, materials with their prices, lime. None of it is shipped.

A laboratory's word for a level belongs to that laboratory, method and nutrient, and is never carried to another.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from shared.ahead.fertilizer_amount import Nutrient
from shared.units import LB_PER_TON


@dataclass(frozen=True, slots=True)
class Rate:
    """What a published table recommends for a crop: ``amount`` lb an acre of a nutrient, or the ``pH`` to lime to.

    ``level`` is the soil level's word at ``lab`` by ``method``, all three empty where the rate does not hang on
    the soil (nitrogen). ``source`` names the table, ``dated`` is its date."""

    crop: str
    nutrient: str
    amount: float
    source: str
    dated: date
    lab: str = ""
    method: str = ""
    level: str = ""
    yield_goal: str = ""


@dataclass(frozen=True, slots=True)
class LevelWord:
    """At this laboratory, by this method, a figure of ``starts_at`` or more is called ``word``, up to where the next
    word begins. ``nutrient`` is P or K as the laboratory prints it, in ``unit``. ``enough``: at this level none is
    called for, whatever the crop."""

    lab: str
    method: str
    nutrient: str
    unit: str
    word: str
    starts_at: float
    source: str
    dated: date
    enough: bool = False


@dataclass(frozen=True, slots=True)
class Material:
    """A bag: what is in it in per cent, how heavy it is in lb, and its price."""

    name: str
    n_pct: float
    p2o5_pct: float
    k2o_pct: float
    bag_lb: float
    price: float
    source: str
    dated: date

    def holds(self, nutrient: Nutrient) -> float:
        """lb of the nutrient in a bag."""
        share = {"N": self.n_pct, "P2O5": self.p2o5_pct, "K2O": self.k2o_pct}[nutrient]
        return self.bag_lb * share / 100.0

    @property
    def grade(self) -> str:
        """As a bag prints it: 10-20-20."""
        return "-".join(f"{one:g}" for one in (self.n_pct, self.p2o5_pct, self.k2o_pct))


@dataclass(frozen=True, slots=True)
class LimeProduct:
    """Lime by the ton: its calcium carbonate equivalent and its fineness factor in per cent (100 where the label
    states none), and its price a ton."""

    name: str
    cce_pct: float
    fineness_pct: float
    price: float
    source: str
    dated: date

    def tons(self, cce_tons: float) -> float:
        """Tons of this product for so many tons of pure, fine calcium carbonate: x 100 / CCE x 100 / fineness."""
        return cce_tons * 100.0 / self.cce_pct * 100.0 / self.fineness_pct

    def lb(self, cce_tons: float) -> float:
        return self.tons(cce_tons) * LB_PER_TON.value


@dataclass(frozen=True, slots=True)
class Tables:
    """All rows that stand on a day."""

    rates: tuple[Rate, ...] = ()
    levels: tuple[LevelWord, ...] = ()
    materials: tuple[Material, ...] = ()
    limes: tuple[LimeProduct, ...] = ()

    @property
    def crops(self) -> tuple[str, ...]:
        """The crops that a rate stands for, by name."""
        return tuple(sorted({plain(one.crop) for one in self.rates}))

    def knows(self, crop: str) -> bool:
        return plain(crop) in self.crops

    def rate(self, crop: str, nutrient: str, lab: str = "", method: str = "", level: str = "") -> Rate | None:
        """The rate for a crop at a level, else the one that hangs on no level; the newest of several. None where
        the table has none: a level of another laboratory or method never stands in."""
        mine = [one for one in self.rates if plain(one.crop) == plain(crop) and one.nutrient == nutrient]
        told = tuple(plain(one) for one in (lab, method, level))
        graded = [one for one in mine if level and _of(one) == told]
        return newest(graded) or newest(one for one in mine if not one.level)

    def grades(self, lab: str, method: str, nutrient: str) -> tuple[LevelWord, ...]:
        """The words of a laboratory's levels for P or K, the lowest first."""
        wanted = (plain(lab), plain(method), nutrient)
        mine = [one for one in self.levels if (plain(one.lab), plain(one.method), one.nutrient) == wanted]
        return tuple(sorted(mine, key=lambda one: (one.starts_at, one.dated)))


def _of(rate: Rate) -> tuple[str, str, str]:
    return (plain(rate.lab), plain(rate.method), plain(rate.level))


def plain(word: str) -> str:
    """A name as it is compared: small letters, one space between words, no underscores or hyphens."""
    return " ".join(word.lower().replace("_", " ").replace("-", " ").split())


def newest(rates: Iterable[Rate]) -> Rate | None:
    """The rate of the newest table; of one day the higher, so that the order of typing decides nothing."""
    return max(rates, key=lambda one: (one.dated, one.amount, one.source), default=None)
