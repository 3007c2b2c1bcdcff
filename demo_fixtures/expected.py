"""What must come out of the season, by arithmetic of its own.

Nothing here asks ``shared.reckoning``, ``shared.rules`` or ``shared.status``: the tests hold their answers beside
these. Areas are geodesic by GeographicLib; the ground less setbacks is planar, by Shapely, on the farm's own plan
(a few parts in a million off the ellipsoid over a farm); yards are sums of the loads that were drawn.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Mapping
from datetime import datetime
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

from shapely.geometry import Polygon
from shapely.ops import unary_union

from demo_fixtures import farm, gate, leaves
from demo_fixtures.book import LAST_NIGHT, Line, book, facts, season_of
from demo_fixtures.fact import KIND_OF
from demo_fixtures.rotation import cash_crop, leg_on
from demo_fixtures.season import Season
from demo_fixtures.seed import SEED
from demo_fixtures.stands import DUE_TO_MOW
from demo_fixtures.towns import TOWNS
from shared.words.bodies.walked import Cover

FILE = Path(__file__).with_name("expected.json")
FT3_PER_YD3, IN_PER_FT, FT2_PER_ACRE = 27, 12, 43_560
SHEET_CAP_IN = 6
"""The cap of the sheet in force (about 800 yards an acre; 806.67 exactly)."""


@cache
def spreadable_ac(key: str) -> float:
    """A field less all that lies within a setback, corners round: that share of its geodesic area."""
    plot = farm.BY_KEY[key]
    land = unary_union([Polygon(outer, holes) for outer, holes in plot.pieces])
    off = [Polygon(one.ring).buffer(float(one.setback_ft) * farm.FT, quad_segs=90) for one in farm.KEEP_OFF]
    return farm.acres(plot) * float(land.difference(unary_union(off)).area / land.area)


def cap_in(plot: farm.Plot) -> float:
    return min(SHEET_CAP_IN, float(farm.cap_in(plot) or SHEET_CAP_IN))


def placed_yd3(season: Season, years: int, key: str, until: datetime) -> Decimal:
    """Truck yards on a field from one leaf season: its loads, and the pile's where that was spread."""
    sent = sum(
        (
            one.yards_yd3
            for one in gate.loads(season, years)
            if one.counts and one.to == key and one.at <= until
        ),
        Decimal(0),
    )
    drawn = [one for one in facts(until, season.seed) if one.key[0] == "spread pile" and one.plot == key]
    here = [one for one in drawn if one.at.year == season.year + years]
    return sent + (leaves.pile_yd3(season, years) if here else Decimal(0))


def _field(season: Season, plot: farm.Plot, until: datetime) -> dict[str, Any]:
    leg = leg_on(plot.key, until.date(), season.year)
    ground = spreadable_ac(plot.key)
    out: dict[str, Any] = {
        "name": plot.name,
        "area_ac": round(farm.acres(plot), 4),
        "spreadable_ac": round(ground, 4),
        "leg": leg.leg,
        "crop": leg.crop,
    }
    latest = 0 if until >= season.at(0, *gate.OPENS, 0) else -1
    for years in (-1, 0):
        placed = placed_yd3(season, years, plot.key, until)
        if placed:
            per_inch = ground * FT2_PER_ACRE / IN_PER_FT / FT3_PER_YD3
            told = {"placed_yd3": float(placed), "depth_in": round(float(placed) / per_inch, 4)}
            out[f"leaves_{season.year + years}"] = told
    if leg.leg == "leaf" and latest == 0 and plot.key in {turn.plot for turn in gate.TURNS[0]}:
        placed = placed_yd3(season, 0, plot.key, until)
        full = cap_in(plot) * ground * FT2_PER_ACRE / IN_PER_FT / FT3_PER_YD3
        out["room_yd3"] = round(max(0.0, full - float(placed)), 2)
    return out


def _towns(season: Season, years: int, until: datetime) -> dict[str, Any]:
    out = {}
    for town in TOWNS:
        mine = [
            one
            for one in gate.loads(season, years)
            if one.truck.town is town and one.at <= until and not one.double
        ]
        taken = [one for one in mine if one.outcome != "turned_back"]
        out[town.name] = {
            "taken": len(taken),
            "turned_back": len(mine) - len(taken),
            "yards_yd3": float(sum((one.yards_yd3 for one in taken), Decimal(0))),
        }
    return out


def _entries(lines: tuple[Line, ...]) -> dict[str, Any]:
    sound = [line for line in lines if line.fact.scribble is None]
    return {
        "all": len(lines),
        "held": len(lines) - len(sound),
        "by_phone": dict(sorted(Counter(line.phone for line in lines).items())),
        "by_kind": dict(sorted(Counter(KIND_OF[type(line.fact.body)] for line in sound).items())),
    }


def _due_to_mow(until: datetime, seed: int) -> dict[str, Any]:
    """The last round of cover heights in the field that wants mowing."""
    rounds = [one for one in facts(until, seed) if isinstance(one.body, Cover) and one.plot == DUE_TO_MOW]
    last = [one for one in rounds if one.round == rounds[-1].round]
    bodies = [one.body for one in last if isinstance(one.body, Cover)]
    return {
        "field": farm.BY_KEY[DUE_TO_MOW].name,
        "on": last[-1].at.date().isoformat(),
        "stops": len(bodies),
        "mean_in": float(sum(one.height_in for one in bodies) / len(bodies)),
        "stops_with_heads": sum(one.heads != "none" for one in bodies),
    }


def expected(until: datetime = LAST_NIGHT, seed: int = SEED) -> Mapping[str, Any]:
    """All that must come out of the season up to a moment."""
    season = season_of(until, seed)
    fields = {plot.key: _field(season, plot, until) for plot in farm.PLOTS}
    total = sum(farm.acres(plot) for plot in farm.PLOTS)
    cash = sum(farm.acres(plot) for plot in farm.PLOTS if cash_crop(plot.key, season.year, season.year))
    return {
        "seed": seed,
        "until": until.isoformat(),
        "acres": round(total, 4),
        "cash_acres": round(cash, 4),
        "fields": fields,
        "towns": {str(season.year + years): _towns(season, years, until) for years in (-1, 0)},
        "entries": _entries(book(until, seed)),
        "due_to_mow": _due_to_mow(until, seed),
    }


def text(until: datetime = LAST_NIGHT, seed: int = SEED) -> str:
    """As it stands in ``expected.json``."""
    return json.dumps(expected(until, seed), indent=1, ensure_ascii=False) + "\n"
