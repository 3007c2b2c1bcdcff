"""Walked rounds as a receiver tells them: NMEA 0183 sentences, one fix a second, with checksums.

``round.nmea`` goes from the gate along the lane, in at the gap in the hedge, and zigzags over the ten stops of a
cover round in the field that wants mowing, standing at each for a while. ``gate.nmea`` goes from the house to the
gate and stands there. The receiver wanders a metre or two, and its GST sentence says so.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from functools import reduce
from itertools import pairwise
from operator import xor
from pathlib import Path
from random import Random

from demo_fixtures import farm, ground
from demo_fixtures.ground import Spot
from demo_fixtures.seed import SEED, dice
from demo_fixtures.stands import DUE_TO_MOW
from demo_fixtures.walk import spots

WALK_M_S = 1.3
STAND_S = 30
STOPS = 10
WANDER_M, WANDER_HOLDS = 1.1, 0.97
"""How far the fix strays, and how much of it stays from one second to the next."""
KNOTS_PER_M_S = 3600 / 1852
HOUSE: Spot = (-35, -30)
FILES = ("round.nmea", "gate.nmea")


@dataclass(frozen=True, slots=True)
class Fix:
    """Where the receiver says it is, how fast and which way it says it goes."""

    at: datetime
    lat: float
    lon: float
    speed_m_s: float
    course_deg: float
    sd_m: float


def sentence(body: str) -> str:
    """A sentence with its ``$``, and the checksum: the exclusive or of the characters between ``$`` and ``*``."""
    return f"${body}*{reduce(xor, body.encode('ascii')):02X}"


def _angle(degrees: float, whole_digits: int, letters: str) -> str:
    """Degrees and minutes as NMEA writes them, with the letter of the half."""
    whole, minutes = divmod(round(abs(degrees) * 60, 6), 60)
    return f"{int(whole):0{whole_digits}d}{minutes:09.6f},{letters[degrees < 0]}"


def told(fix: Fix) -> tuple[str, str, str]:
    """GGA, RMC and GST of one second."""
    at = fix.at.astimezone(UTC)
    clock = at.strftime("%H%M%S") + ".00"
    lat, lon = _angle(fix.lat, 2, "NS"), _angle(fix.lon, 3, "EW")
    sd = f"{fix.sd_m:.1f}"
    gga = f"GPGGA,{clock},{lat},{lon},1,11,0.9,158.2,M,-33.6,M,,"
    rmc = f"GPRMC,{clock},A,{lat},{lon},{fix.speed_m_s * KNOTS_PER_M_S:.2f},{fix.course_deg:.1f},{at:%d%m%y},,,A"
    gst = f"GPGST,{clock},{fix.sd_m * 1.2:.1f},{sd},{sd},0.0,{sd},{sd},{fix.sd_m * 1.7:.1f}"
    return sentence(gga), sentence(rmc), sentence(gst)


def walked(way: Sequence[Spot], stand_at: Sequence[Spot], began: datetime, rolled: Random) -> Iterator[Fix]:
    """A fix a second along the way, standing at each of ``stand_at``."""
    at, stray = began, (0.0, 0.0)

    def fix(spot: Spot, speed: float, course: float) -> Fix:
        nonlocal at, stray
        fresh = WANDER_M * math.sqrt(1 - WANDER_HOLDS**2)
        stray = tuple(WANDER_HOLDS * part + rolled.gauss(0, fresh) for part in stray)  # type: ignore[assignment]
        lat, lon = ground.degrees((spot[0] + stray[0], spot[1] + stray[1]))
        out = Fix(at, lat, lon, speed, course, 1.5)
        at += timedelta(seconds=1)
        return out

    for here, there in pairwise(way):
        length = math.dist(here, there)
        east, north = there[0] - here[0], there[1] - here[1]
        course = (math.degrees(math.atan2(east, north) - ground.TURNED)) % 360
        steps = max(1, round(length / WALK_M_S))
        for step in range(steps):
            share = step / steps
            yield fix((here[0] + east * share, here[1] + north * share), WALK_M_S, course)
        if there in stand_at:
            for _ in range(STAND_S):
                yield fix(there, 0.0, course)


def round_way() -> tuple[tuple[Spot, ...], tuple[Spot, ...]]:
    """The way of the cover round, and where it stands: at the gate, at each stop."""
    plot = farm.BY_KEY[DUE_TO_MOW]
    stops = spots(plot.key, STOPS)
    way_in = plot.way_in
    return (farm.GATE, (0.0, 4.0), (way_in[0], 4.0), way_in, *stops), stops


def gate_way() -> tuple[tuple[Spot, ...], tuple[Spot, ...]]:
    return (HOUSE, (-20.0, -10.0), farm.GATE), (farm.GATE,)


def track(name: str, began: datetime, seed: int = SEED) -> str:
    """One file's sentences, each ended by CR LF as the standard has it."""
    way, stand_at = round_way() if name == "round.nmea" else gate_way()
    rolled = dice("track", name, seed=seed)
    lines = [line for fix in walked(way, stand_at, began, rolled) for line in told(fix)]
    return "".join(f"{line}\r\n" for line in lines)


def write(folder: Path, began: datetime, seed: int = SEED) -> tuple[Path, ...]:
    """Both files into a folder, which is made where it is not there."""
    folder.mkdir(parents=True, exist_ok=True)
    out = []
    for name in FILES:
        file = folder / name
        file.write_bytes(track(name, began, seed).encode("ascii"))
        out.append(file)
    return tuple(out)
