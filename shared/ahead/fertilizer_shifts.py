"""What leaves, covers, hay and what was spread did to a field's balance, in lb of nutrient an acre, as ranges.

A shift *gives* (it may stand in for fertilizer) or *takes* (it is to be put back). Phosphate and potash count only
from the day on which the soil was sampled: what came before is in the test. Leaves give no nitrogen to the first
crop after them, and later only a range that begins at nothing; no shift is a rate to apply.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

from shared.ahead.fertilizer_amount import NONE, Amount, Nutrient, exactly
from shared.ahead.fertilizer_tables import plain
from shared.reckoning.figures import LEAF_COMPOSITION
from shared.reckoning.litter import leaf_nutrients, tie_up
from shared.reckoning.nitrogen import PNW_636, cover_nitrogen
from shared.reckoning.rotation import K2O_PER_TON, P2O5_PER_TON
from shared.units import K2O_PER_K, LB_PER_TON, P2O5_PER_P, Figure, Source

Of = Literal["leaves", "cover", "hay", "fertilizer", "manure"]

TRI_STATE_HAY = Source("tri_state_hay", "Tri-state, nutrients removed by a ton of grass hay", None, "read")
FIRST_CROP = Source(
    "first_crop",
    "Heckman, Wyenandt & Provance-Bowley 2011, J. Sustainable Agric. (6):639-649: nitrogen tied up in the first "
    "crop, set free in the crop after it; Rutgers: for one or two seasons",
    2011,
    "read",
)
NITROGEN_WINDOW = Source(
    "nitrogen_window",
    "nitrogen spread counts for a crop from half a year before it is planted, common practice, no source",
    None,
    "practice",
)
LEAF_C_TO_N = Figure(48.5, "C:N", LEAF_COMPOSITION)
TIED_UP_DAYS = Figure(730.0, "days", FIRST_CROP)
LEGUME_MOST = Figure(100.0, "lb N/ac", PNW_636)
TRI_STATE_P2O5 = Figure(12.0, "lb P2O5/ton", TRI_STATE_HAY)
TRI_STATE_K2O = Figure(49.0, "lb K2O/ton", TRI_STATE_HAY)
N_WINDOW_DAYS = Figure(183.0, "days", NITROGEN_WINDOW)
DAYS_A_YEAR = Figure(365.25, "days/yr", NITROGEN_WINDOW)
GROWS_YEARS = Figure(0.5, "years", NITROGEN_WINDOW)
"""How long a crop takes nitrogen up, at the most."""

LEGUMES = frozenset(("vetch", "clover", "pea", "peas", "alfalfa", "lupin"))
CEREALS = frozenset(
    ("rye", "oat", "oats", "barley", "wheat", "triticale", "sorghum", "sudan", "sudangrass", "ryegrass")
)


@dataclass(frozen=True, slots=True)
class Shift:
    """``of`` what, ``lb`` an acre of ``nutrient``, and whether it ``takes`` off. ``measured``: from entries in the
    book; else it is modelled from the plan. ``why`` is a key of the languages that says how it was reckoned,
    ``source`` where its figure is from, ``on`` the day it happened."""

    of: Of
    nutrient: Nutrient
    lb: Amount
    takes: bool
    measured: bool
    why: str
    source: str
    on: date | None = None


@dataclass(frozen=True, slots=True)
class Leaves:
    """A layer of leaves: dry tons an acre as a range, the day it was spread, and whether another crop (hay, a
    smother crop) has stood there since and before the crop in question."""

    dry_tons: Amount
    on: date
    crop_since: bool
    measured: bool = True


@dataclass(frozen=True, slots=True)
class CoverStood:
    """A cover that stood before the crop: its name, and where it was weighed and analysed its % N and dry tons."""

    name: str
    on: date
    n_pct: float | None = None
    dry_tons: float | None = None
    measured: bool = True


@dataclass(frozen=True, slots=True)
class HayTaken:
    """Hay carried off: tons an acre as baled, and where it was analysed its P and K in per cent as baled."""

    tons: Amount
    on: date
    p_pct: float | None = None
    k_pct: float | None = None
    measured: bool = True


@dataclass(frozen=True, slots=True)
class Spread:
    """Fertilizer, manure or compost put on: lb an acre over the whole field, and its analysis in per cent."""

    job: Literal["fertilize", "manure", "compost"]
    on: date
    lb_per_ac: float
    n_pct: float
    p2o5_pct: float
    k2o_pct: float


def ties_up(leaves: Leaves, planted: date) -> bool:
    """Whether a crop planted on a day is the first after these leaves, or within the two seasons that they may
    tie nitrogen up."""
    return not leaves.crop_since or (planted - leaves.on).days <= TIED_UP_DAYS.value


def of_leaves(leaves: Leaves, planted: date, sampled: date | None) -> tuple[Shift, ...]:
    """No nitrogen for the first crop; later from nothing up to what pools of litter set free while the crop grows.
    Phosphate from nothing up to what is in the leaves, potash as it is in them; neither where the soil was sampled
    after they were spread. Source: medians of 100 samples, Heckman and Kluchinski 1996."""
    if leaves.on >= planted:
        return ()
    out = [_leaf_n(leaves, planted)]
    if sampled is not None and leaves.on >= sampled:
        least, most = leaf_nutrients(leaves.dry_tons.low), leaf_nutrients(leaves.dry_tons.high)
        title = LEAF_COMPOSITION.title
        held = {"P2O5": Amount(0.0, most.p2o5_lb), "K2O": Amount(least.k2o_lb, most.k2o_lb)}
        for nutrient, lb in held.items():
            why = f"fertilizer.shift.leaves_{nutrient.lower()}"
            out.append(Shift("leaves", nutrient, lb, False, leaves.measured, why, title, leaves.on))  # type: ignore[arg-type]
    return tuple(out)


def _leaf_n(leaves: Leaves, planted: date) -> Shift:
    if ties_up(leaves, planted):
        why, lb = "fertilizer.shift.leaves_n_first", NONE
    else:
        why, lb = "fertilizer.shift.leaves_n_later", Amount(0.0, _released(leaves, planted))
    return Shift("leaves", "N", lb, False, leaves.measured, why, FIRST_CROP.title, leaves.on)


def _released(leaves: Leaves, planted: date) -> float:
    """The most nitrogen that the pools set free while the crop grows, never less than nothing."""
    carbon = leaf_nutrients(leaves.dry_tons.high).c_lb
    before = (planted - leaves.on).days / DAYS_A_YEAR.value
    sums = [tie_up(carbon, LEAF_C_TO_N.value, years=one) for one in (before, before + GROWS_YEARS.value)]
    free = [max(0.0, one.high_n_lb) for one in sums]
    return max(0.0, free[1] - free[0])


def of_cover(cover: CoverStood) -> tuple[Shift, ...]:
    """Nitrogen from a cover that stood before the crop: by its weight and % N where both are known, else a legume
    from nothing up to 100 lb (PNW 636), and a cereal nothing. What it may tie up lowers no other credit."""
    words = set(plain(cover.name).split())
    legume, cereal = bool(words & LEGUMES), bool(words & CEREALS)
    told = (False, cover.measured)
    if cover.n_pct is not None and cover.dry_tons is not None:
        found = cover_nitrogen(cover.n_pct, cover.dry_tons, cereal and not legume)
        lb = Amount(found.low_n_lb, found.high_n_lb).not_under_0()
        why = "fertilizer.shift.cover_weighed"
    elif legume:
        lb, why = Amount(0.0, LEGUME_MOST.value), "fertilizer.shift.cover_legume"
    elif cereal:
        lb, why = NONE, "fertilizer.shift.cover_cereal"
    else:
        return ()
    return (Shift("cover", "N", lb, *told, why, PNW_636.title, cover.on),)


def of_hay(hay: HayTaken, sampled: date | None) -> tuple[Shift, ...]:
    """Phosphate and potash that hay carried off since the soil was sampled, to be put back: by its own analysis
    where there is one, else 12 to 13 and 49 to 50 lb a ton (tri-state and Ohio)."""
    if sampled is None or hay.on < sampled:
        return ()
    out = []
    for nutrient, pct, oxide, low, high in (
        ("P2O5", hay.p_pct, P2O5_PER_P, TRI_STATE_P2O5, P2O5_PER_TON),
        ("K2O", hay.k_pct, K2O_PER_K, TRI_STATE_K2O, K2O_PER_TON),
    ):
        if pct is not None:
            a_ton = exactly(LB_PER_TON.value * pct / 100.0 * oxide.value)
            why, source = "fertilizer.shift.hay_analysed", oxide.source.title
        else:
            a_ton = Amount(low.value, high.value)
            why, source = "fertilizer.shift.hay_published", f"{high.source.title}; {low.source.title}"
        lb = Amount(hay.tons.low * a_ton.low, hay.tons.high * a_ton.high)
        out.append(Shift("hay", nutrient, lb, True, hay.measured, why, source, hay.on))  # type: ignore[arg-type]
    return tuple(out)


def of_spread(spread: Spread, planted: date, sampled: date | None) -> tuple[Shift, ...]:
    """What was already put on. Nitrogen from half a year before planting: of fertilizer all of it, of manure and
    compost from nothing up to all. Phosphate and potash since the soil was sampled, all of it."""
    out = []
    bag = spread.job == "fertilize"
    of: Of = "fertilizer" if bag else "manure"
    why = f"fertilizer.shift.{of}"
    in_time = spread.on >= planted - timedelta(days=int(N_WINDOW_DAYS.value))
    n_lb = spread.lb_per_ac * spread.n_pct / 100.0
    if n_lb > 0.0 and in_time:
        out.append(Shift(of, "N", Amount(n_lb if bag else 0.0, n_lb), False, True, why, "", spread.on))
    if sampled is not None and spread.on >= sampled:
        held: tuple[tuple[Nutrient, float], ...] = (("P2O5", spread.p2o5_pct), ("K2O", spread.k2o_pct))
        for nutrient, pct in held:
            if pct > 0.0:
                lb = exactly(spread.lb_per_ac * pct / 100.0)
                out.append(Shift(of, nutrient, lb, False, True, why, "", spread.on))
    return tuple(out)
