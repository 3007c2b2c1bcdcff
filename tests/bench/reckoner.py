"""Each computation of the reckoner against a plain loop of the same arithmetic, unchecked; and a walk's judging.

The floor is the formula alone, on values that need no checking: what ours costs above it is the checking of
every input by its range. A thousand stops are judged as the phone does after each save.
"""

from __future__ import annotations

import itertools
import math
import random
from collections.abc import Callable
from statistics import NormalDist

from geographiclib.geodesic import Geodesic

from shared.errors import MissingInput
from shared.reckoning.computation import Computation
from shared.reckoning.land import which_field
from shared.reckoning.leaf import depth_verdict
from shared.reckoning.plane import Plane
from shared.reckoning.round import enough_depth
from shared.reckoning.spreadable import KeepOff, spreadable
from shared.reckoning.stops import stops
from shared.reckoning.table import RECKONER
from shared.words.place import Polygon
from tests.bench.measure import pair, tell

TIMES = 300
FRAME_S = 1 / 60
CORNERS = [(39.70, -75.10), (39.70, -75.099), (39.701, -75.099), (39.701, -75.10)]
DEPTHS = [4, 5, 5, 6, 6, 6, 6, 6.4, 7, 5]
PEAKS = [120, 180, 250, 310, 320, 290, 330, 200, 210, 305, 340, 260]


def bare_area() -> float:
    around = Geodesic.WGS84.Polygon()
    for lat, lon in CORNERS:
        around.AddPoint(lat, lon)
    return abs(around.Compute()[2]) / 4046.8564224


def bare_depths() -> tuple[float, float]:
    middle = math.fsum(DEPTHS) / len(DEPTHS)
    spread = math.fsum((each - middle) ** 2 for each in DEPTHS) / (len(DEPTHS) - 1)
    reach = 1.8331129326536335 * math.sqrt(spread / len(DEPTHS))
    return middle - reach, middle + reach


def bare_share() -> tuple[float, float]:
    n, hits = len(PEAKS), sum(each > 300 for each in PEAKS)
    z2 = NormalDist().inv_cdf(0.975) ** 2
    p = hits / n
    middle = (p + z2 / (2 * n)) / (1 + z2 / n)
    reach = math.sqrt(z2 * (p * (1 - p) / n + z2 / (4 * n * n))) / (1 + z2 / n)
    return middle - reach, middle + reach


def bare_frost() -> list[float]:
    running, out = 0.0, []
    for mean in (27, 23, 34, 28, 18, 39, 30):
        running = max(0.0, running + 32 - mean)
        out.append(running)
    return out


LEAF_G_PER_KG = (9.4, 1.0, 3.6, 17.3, 2.4, 1.1, 0.038, 0.067, 0.406, 0.0081, 480.0)
PROFILE = ((0, 50), (3, 150), (6, 280), (9, 380), (12, 340), (15, 240))


def bare_pools() -> list[float]:
    pools, steps = [0.2, 0.8, 0.0, 0.0], [math.exp(-k / 12) for k in (10, 0.3, 0.66, 0.02)]
    for _ in range(12):
        left = [pool * step for pool, step in zip(pools, steps, strict=True)]
        stays = (sum(pools) - sum(left)) * 0.21532
        pools = [left[0], left[1], left[2] + 0.46 * stays, left[3] + 0.54 * stays]
    return pools


def bare_layer() -> list[float]:
    crossed = []
    for (d, p), (e, q) in itertools.pairwise(PROFILE):
        if (p > 300) != (q > 300):
            crossed.append(d + (e - d) * (300 - p) / (q - p))
    return crossed


BARE: dict[str, Callable[[], object]] = {
    "land_area": bare_area,
    "leaf_volume": lambda: 4.2 * 43_560 * 6 / 324,
    "leaf_depth": lambda: 3_100 * 324 / (4.2 * 43_560),
    "leaf_room": lambda: max(0.0, 6 * 4.2 * 43_560 / 324 - 2_000),
    "depth_verdict": bare_depths,
    "firmness": bare_share,
    "frost_index": bare_frost,
    "frost_depth": lambda: 12 * math.sqrt(48 * 0.8 * 1 * 100 / (144 * 0.15 * 100)),
    "quadrats_needed": lambda: math.ceil(1.383**2 * 8.4556 / (0.1 * 7.7) ** 2),
    "leaf_left": lambda: 100 * math.exp(-0.7 * 12 / 12),
    "pile_volume": lambda: math.pi * 36 * 100 / 2 / 27,
    "trash_weighed": lambda: 100 * 1.5 / 200,
    "radius95": lambda: 5 * math.sqrt(math.log(0.05) / math.log(0.32)),
    "load_volume": lambda: 25 * 80 / 100,
    "load_tons": lambda: (3_100 * 700 / 2_000, 2_000 / 700),
    "bed_volume": lambda: 18 * 7.5 * 5 / 27,
    "trash_by_volume": lambda: 100 * 15 / (20 * 201.974),
    "load_checks": lambda: max(1, math.ceil(30 / 100)),
    "truck_factor": bare_depths,
    "covered": lambda: (sum(each >= 0.5 for each in DEPTHS) / len(DEPTHS), sum(DEPTHS) / len(DEPTHS)),
    "leaf_dry_matter": lambda: 3_100 * 9 * 0.45 * 324 / (4 * 6) / 2_000,
    "leaf_nutrients": lambda: [20 * 2 * each for each in LEAF_G_PER_KG],
    "spreader_sheet": lambda: 10 * 43_560 / 2_000 / 21.78,
    "leaf_left_range": lambda: [100 * math.exp(-k) for k in (1.22, 0.7, 0.38)],
    "tie_up": bare_pools,
    "quadrats_needed_clumped": lambda: math.ceil((1 / 2 + 1 / 0.5) / 0.25**2),
    "occupied": bare_share,
    "cone_pressure": lambda: 150 / 0.5,
    "hard_layer": bare_layer,
    "sample_biomass": lambda: 45 / 0.25 * 8.922,
    "cover_nitrogen": lambda: min(35.0, max(0.0, 17.5 * (3.5 - 1.5))) * 2,
    "manganese_index": lambda: 101.7 + 3.75 * 10 - 15.2 * 6.5,
    "oxide": lambda: (40 * 2.2914, 152 * 1.2046),
    "organic_matter": lambda: 1.724 * 1.39,
    "hay_removal": lambda: (13 * 3 * 3, 50 * 3 * 3),
    "land_share": lambda: (100 / (1 + 3), 40 / (1 + 3)),
    "seedbank_left": lambda: 100 * 2 ** (-3 / 12),
}
"""The formula alone. The others are looked up in tables: they are timed against reading their text."""


def repeated(act: Callable[[], object]) -> Callable[[], None]:
    def many() -> None:
        for _ in range(TIMES):
            act()

    return many


def examples(of: Computation) -> dict[str, str]:
    texts = {one.name: one.example for one in of.inputs if not one.optional}
    try:
        of.answer(texts)
    except MissingInput as missing:
        texts[missing.name] = of.takes(missing.name).example
    return texts


def computations() -> None:
    for name, of in RECKONER.items():
        texts = examples(of)
        values = of.read(texts)
        bare = BARE.get(name)
        floor = repeated(bare) if bare else repeated(lambda of=of, texts=texts: of.read(texts))
        ours_s, floor_s = pair(repeated(lambda of=of, values=values: of.run(**values)), floor)
        tell(name, ours_s, "the bare formula" if bare else "reading its text", floor_s, "none stated", TIMES)


def a_walk() -> None:
    draw = random.Random(3)
    depths = [draw.gauss(5.0, 1.0) for _ in range(1_000)]

    def judged() -> None:
        depth_verdict(depths, 6.0)
        enough_depth(depths, 6.0)

    def bare() -> None:
        middle = sum(depths) / len(depths)
        reach = 1.6464 * math.sqrt(sum((each - middle) ** 2 for each in depths) / 999 / 1_000)
        _ = middle - reach > 6.0, sum(each > 6.0 for each in depths)

    judged()
    ours_s, floor_s = pair(judged, bare)
    tell("a thousand stops judged", ours_s, "a plain loop", floor_s, "under a frame")
    print(f"  that is {ours_s / FRAME_S:.2f} of a frame of 1/60 s on this machine; aim: under 1")


def the_land() -> None:
    home = Plane(40.0, -75.0)

    def ring(x: float, y: float, reach: float, corners: int) -> tuple[tuple[float, float], ...]:
        turns = (math.tau * k / corners for k in range(corners))
        return tuple(home.point((x + reach * math.cos(t), y + reach * math.sin(t))) for t in turns)

    fields = {f"{x} {y}": Polygon(ring(220.0 * x, 220.0 * y, 100.0, 24)) for x in range(7) for y in range(2)}
    here = home.point((230.0, 10.0))
    field = Polygon(ring(0.0, 0.0, 100.0, 48), (ring(20.0, 0.0, 15.0, 12),))
    off = [KeepOff(15.0, lines=((home.point((60.0, 40.0)),),)), KeepOff(10.0, lines=(ring(-60.0, 0, 90, 3),))]
    floor = repeated(lambda: Geodesic.WGS84.Inverse(40.0, -75.0, 40.001, -75.001))
    for what, act in (
        ("the field one stands in, of 14", lambda: which_field(here, 8.0, fields)),
        ("spreadable ground of a field with a pond and two buffers", lambda: spreadable(field, off)),
        ("twenty stops laid out in it", lambda: stops(field, 20, off)),
    ):
        ours_s, floor_s = pair(act, floor)
        tell(what, ours_s, f"{TIMES} geodesic distances", floor_s, "none stated")


def run() -> None:
    a_walk()
    the_land()
    computations()
