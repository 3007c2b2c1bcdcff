"""The rotation in figures: what hay takes off, the share of land in cash crops, and years free of hosts.

A crop's year is the year of its harvest, rest years are calendar years without a cash harvest on that part,
and leaf and lead-in years count as rest (R10, R11).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

from shared.errors import OutOfRange
from shared.reckoning.computation import Computation, Input, checked, cite
from shared.units import GEOMETRY, Figure, Source

OHIO_HAY = Source("ohio_hay", "Ohio State, nutrients removed by a ton of grass hay as baled", None, "read")
UCONN = Source("uconn_rotation", "Univ. of Connecticut IPM, years without a host", None, "read")
UCONN_HOSTS = Source(
    "uconn_hosts", "hosts named beside eggplant's Verticillium years, UConn IPM", None, "derived"
)
RUTGERS_CAPSICI = Source("rutgers_capsici", "Rutgers, Gloucester County, Phytophthora capsici", None, "read")
ALLIUM_REST = Source("allium_rest", "white rot and bloat nematode of alliums", None, "memory")
NIGHTSHADE_REST = Source("nightshade_rest", "tomato and pepper in general", None, "memory")

P2O5_PER_TON = Figure(13.0, "lb P2O5/ton", OHIO_HAY)
K2O_PER_TON = Figure(50.0, "lb K2O/ton", OHIO_HAY)

Years = int | tuple[int, int | None] | None
Fit = Literal["meets", "shortest_only", "too_soon", "never"]


@dataclass(frozen=True, slots=True)
class Rest:
    """Years without a host: from ``least`` to ``most``. ``most`` None is *and more*, ``least`` None is
    *never again*."""

    least: Figure | None
    most: Figure | None

    @property
    def years(self) -> Years:
        """One number, (least, most) of a range, (least, None) for *and more*, None for never."""
        if self.least is None:
            return None
        least = int(self.least.value)
        most = None if self.most is None else int(self.most.value)
        return least if least == most else (least, most)

    def fit(self, free: int) -> Fit:
        if self.least is None:
            return "never"
        if free < self.least.value:
            return "too_soon"
        return "meets" if self.most is not None and free >= self.most.value else "shortest_only"


def _just(years: Figure) -> Rest:
    return Rest(years, years)


TWO, THREE = Figure(2, "years", UCONN), Figure(3, "years", UCONN)
FOUR, SEVEN = Figure(4, "years", UCONN), Figure(7, "years", UCONN)
CAPSICI = Rest(Figure(3, "years", RUTGERS_CAPSICI), Figure(5, "years", RUTGERS_CAPSICI))

RESTS: dict[tuple[str, str], Rest] = {
    ("nightshade", "verticillium"): _just(FOUR),
    ("nightshade", "fruit_rot"): _just(THREE),
    ("nightshade", "phytophthora_capsici"): CAPSICI,
    ("nightshade", "general"): Rest(Figure(3, "years", NIGHTSHADE_REST), Figure(4, "years", NIGHTSHADE_REST)),
    ("strawberry", "verticillium"): _just(Figure(4, "years", UCONN_HOSTS)),
    ("brassica", "black_rot"): Rest(TWO, THREE),
    ("brassica", "blackleg"): Rest(THREE, FOUR),
    ("brassica", "clubroot"): _just(SEVEN),
    ("cucurbit", "phytophthora_capsici"): CAPSICI,
    ("cucurbit", "scab"): _just(TWO),
    ("cucurbit", "leaf_spot"): Rest(TWO, None),
    ("allium", "white_rot"): Rest(Figure(20, "years", ALLIUM_REST), None),
    ("allium", "bloat_nematode"): _just(Figure(4, "years", ALLIUM_REST)),
    # Lima and snap beans are hosts too.
    ("legume", "phytophthora_capsici"): CAPSICI,
    ("legume", "anthracnose"): _just(TWO),
    ("legume", "bacterial_blight"): _just(TWO),
    ("beet", "cercospora"): _just(THREE),
    ("lettuce", "lettuce_drop"): _just(THREE),
    ("corn", "yellow_leaf_blight"): _just(THREE),
    ("asparagus", "fusarium"): Rest(None, None),
}
FAMILIES = tuple(dict.fromkeys(family for family, _ in RESTS))
DISEASES = tuple(dict.fromkeys(disease for _, disease in RESTS))

HAY_REMOVAL = (
    Input("tons_per_ac", unit="tons/ac a year", low=0.0, high=20.0, example="3"),
    Input("years", unit="years", low=0.0, high=50.0, example="1"),
)
HAY_REPAID = (Input("k2o_lb", unit="lb/ac", low=0.0, high=5000.0, example="183.1"),)
LAND_SHARE = (
    Input("cash_years", unit="years", low=0.0, above_low=True, high=50.0, example="1"),
    Input("rest_years", unit="years", low=0.0, high=50.0, example="3"),
    Input("area_ac", unit="ac", low=0.0, high=100_000.0, example="40"),
)
HOST_FREE = (
    Input("family", "choice", choices=FAMILIES, example="nightshade"),
    Input("disease", "choice", choices=DISEASES, example="verticillium"),
    Input("last_host_year", "count", unit="year", low=1900.0, high=2199.0, example="2022"),
    Input("plant_year", "count", unit="year", low=1900.0, high=2199.0, example="2026"),
)


@dataclass(frozen=True, slots=True)
class HayRemoval:
    """lb an acre taken off over all the years."""

    p2o5_lb: float
    k2o_lb: float


@dataclass(frozen=True, slots=True)
class HayRepaid:
    """Tons of hay, as baled, whose potash so many pounds repay."""

    tons: float


@dataclass(frozen=True, slots=True)
class LandShare:
    """The % of the land in cash crops each year, and the acres."""

    share_pct: float
    cash_ac: float


@dataclass(frozen=True, slots=True)
class HostFree:
    """``free_years`` between the two crop years; ``needed_years`` one number, [least, most] of a range
    ([least, null]: *and more*), null for never. ``fit`` *meets*, *shortest_only* (the shortest advice only),
    *too_soon* or *never*."""

    free_years: int
    needed_years: Years
    fit: Fit


def hay_removal(tons_per_ac: float, years: float) -> HayRemoval:
    """Phosphate and potash that hay takes off: 13 and 50 lb a ton as baled (R18). Source: Ohio State."""
    tons, seasons = checked(HAY_REMOVAL, locals()).values()
    return HayRemoval(P2O5_PER_TON.value * tons * seasons, K2O_PER_TON.value * tons * seasons)


def hay_repaid(k2o_lb: float) -> HayRepaid:
    """How many tons of hay ``k2o_lb`` of potash make good, at 50 lb a ton."""
    (potash,) = checked(HAY_REPAID, locals()).values()
    return HayRepaid(potash / K2O_PER_TON.value)


def land_share(cash_years: float, rest_years: float, area_ac: float) -> LandShare:
    """cash / (cash + rest): one cash year and three of rest is 25 %, a fifth needs four of rest (R10)."""
    cash, rest, area = checked(LAND_SHARE, locals()).values()
    share = cash / (cash + rest)
    return LandShare(100.0 * share, area * share)


def host_free(family: str, disease: str, last_host_year: int, plant_year: int) -> HostFree:
    """Years free of hosts between two crops, each by its year of harvest, against the advice in print.

    ``plant_year`` is the harvest year of the crop to plant (R11): garlic lifted in 2022 and, set in October
    2025, lifted in 2026 has three. Raises ``OutOfRange`` for a disease that this family isn't listed with,
    or a year that isn't later. Sources: UConn IPM, Rutgers; alliums and *general* from memory, unconfirmed.
    """
    kin, ill, last, now = checked(HOST_FREE, locals()).values()
    rest = RESTS.get((kin, ill))
    if rest is None:
        raise OutOfRange("disease", ill, f"with {kin}, one of " + ", ".join(diseases_of(kin)))
    if now <= last:
        raise OutOfRange("plant_year", now, f"a year after last_host_year, {last}")
    free = now - last - 1
    return HostFree(free, rest.years, rest.fit(free))


def diseases_of(family: str) -> tuple[str, ...]:
    """The diseases that a family is listed with."""
    return tuple(disease for kin, disease in RESTS if kin == family)


def hosts_of(disease: str) -> tuple[str, ...]:
    """The families that are listed as hosts of a disease."""
    return tuple(kin for kin, ill in RESTS if ill == disease)


@dataclass(frozen=True, slots=True)
class Grown:
    """A cash crop that was harvested: part of the field, family, last harvest day, acres."""

    part: str
    family: str
    harvested: date
    area_ac: float


def last_host_year(grown: Iterable[Grown], part: str, disease: str) -> int | None:
    """The last harvest year on ``part`` of any host of ``disease``, both crops of a double crop among them
    (R12); None without one."""
    hosts = hosts_of(disease)
    years = (crop.harvested.year for crop in grown if crop.part == part and crop.family in hosts)
    return max(years, default=None)


def rest_years(grown: Iterable[Grown], part: str, first: int, last: int) -> int:
    """Calendar years from ``first`` to ``last`` with no cash harvest on ``part`` (R10)."""
    cropped = {crop.harvested.year for crop in grown if crop.part == part}
    return sum(year not in cropped for year in range(first, last + 1))


def rest_from(grown: Iterable[Grown], part: str) -> date | None:
    """The day after the last harvest on ``part``, when its rest starts (R12); None without a harvest."""
    last = max((crop.harvested for crop in grown if crop.part == part), default=None)
    return None if last is None else last + timedelta(days=1)


def cash_acres(grown: Iterable[Grown], year: int) -> float:
    """Acres that carried cash crops in ``year``: a part that carried two counts once (R12)."""
    acres: dict[str, float] = {}
    for crop in grown:
        if crop.harvested.year == year:
            acres[crop.part] = max(crop.area_ac, acres.get(crop.part, 0.0))
    return sum(acres[part] for part in sorted(acres))


COMPUTATIONS: tuple[Computation, ...] = (
    Computation(
        "hay_removal",
        hay_removal,
        HAY_REMOVAL,
        {"p2o5_lb": "lb/ac", "k2o_lb": "lb/ac"},
        "p2o5_lb = 13 x tons x years; k2o_lb = 50 x tons x years",
        cite(OHIO_HAY),
        "reckoner.caution.not_a_rate",
    ),
    Computation(
        "hay_repaid",
        hay_repaid,
        HAY_REPAID,
        {"tons": "tons/ac"},
        "tons = k2o_lb / 50",
        cite(OHIO_HAY),
        "reckoner.caution.not_a_rate",
    ),
    Computation(
        "land_share",
        land_share,
        LAND_SHARE,
        {"share_pct": "%", "cash_ac": "ac"},
        "share_pct = 100 x cash_years / (cash_years + rest_years)",
        cite(GEOMETRY),
    ),
    Computation(
        "host_free",
        host_free,
        HOST_FREE,
        {"free_years": "years", "needed_years": "years"},
        "free_years = plant_year - last_host_year - 1, both years of harvest",
        cite(UCONN, RUTGERS_CAPSICI, UCONN_HOSTS, ALLIUM_REST, NIGHTSHADE_REST),
        "reckoner.caution.host_free",
    ),
)
